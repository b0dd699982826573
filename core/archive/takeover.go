package archive

import "errors"

// ErrTaken: an archive that holds something cannot take another one over.
var ErrTaken = errors.New("the archive is not empty")

// TakeOver makes an empty archive hold what another one holds, which has not
// handed out its live items yet: volumes, live items, note and start, in one
// commit, sealed for this one. It is for the day on which records that lay open
// are sealed. The other archive stays as it is; what of it cannot be read is
// given up, and the keys say so. Segments that the other one keeps are left to
// the caller. Its errors are ErrTaken and those of disk and sealer.
func (a *Archive) TakeOver(from *Archive) error {
	if a.dir.commit > 0 {
		return ErrTaken
	}
	if err := a.beginAnew(); err != nil {
		return err
	}
	d := *from.dir
	d.keep, d.volumes = nil, nil
	for _, v := range from.dir.volumes {
		lines, err := from.known(v)
		if err != nil {
			return err
		}
		var list []*origin
		for _, e := range lines {
			list = append(list, &origin{entry: e, from: &v})
		}
		written, err := a.anew(from, v, list, uint64(len(lines)))
		if err != nil {
			return err
		}
		d.volumes = append(d.volumes, written...)
	}
	if err := a.publish(&d, from.wholeLive()); err != nil {
		return err
	}
	a.dir = &d
	return a.sweep()
}

// wholeLive are the live items, in the order in which the directory names them;
// one that could not be read is there without entries.
func (a *Archive) wholeLive() (list []Item) {
	read := map[string]Item{}
	for _, it := range a.live {
		read[it.Key] = it
	}
	for _, key := range a.dir.live {
		it := read[key]
		it.Key = key
		list = append(list, it)
	}
	return list
}
