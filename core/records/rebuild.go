package records

import (
	"errors"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
)

// Rebuild is for records of which Open says archive.ErrDamaged: nothing tells
// any more what there was. It puts together what can still be read, and removes
// nothing before that is on the disk. Which births are whole nobody knows then:
// all are Damaged until somebody has looked through them. Summary is what a list
// needs of a birth, as in Tidy. Device is a new id, under which this phone
// writes from now on: what it wrote last under the old one may be lost.
func Rebuild(d journal.Disk, s journal.Sealer, device string, summary func(*birth.Birth) []byte) error {
	if r, _, err := Open(d, s); err == nil {
		return errors.Join(errors.New("the records can be read: there is nothing to rebuild"), r.Close())
	} else if !errors.Is(err, archive.ErrDamaged) {
		return err
	}
	n := note{device: device, own: []string{device}}
	last := uint64(0)
	var open []archive.Item
	a, err := archive.Salvage(d, s, func(it archive.Item) []byte {
		aside := &Records{kept: map[string]*kept{}}
		var list []birth.Record
		aside.takeItem(it, &list)
		for _, e := range it.Entries {
			last = max(last, e.Seq)
		}
		for _, e := range list {
			n.lamport = max(n.lamport, e.Event.Lamport)
		}
		id := idOf(it.Key)
		if id == "" {
			return nil
		}
		n.count(id)
		births := birth.Replay(list).Births
		if len(births) == 0 {
			return line{deleted: len(list) > 0}.bytes()
		}
		if n.archived++; !births[0].Closed {
			open = append(open, it)
		}
		return aside.kept[id].item(&births[0], summary(&births[0])).Summary
	})
	if err != nil {
		return err
	}
	n.wholeFrom = last + 1
	return a.Commit(archive.Change{Start: journal.Start{Segment: 1, Sequence: last + 1}, Note: n.bytes(), Live: open})
}
