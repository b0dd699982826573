package archive

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fourchette/core/arrange"
	"fourchette/core/journal"
)

// Moved is an item on its way into a volume, with its line for lists.
type Moved struct {
	Item
	Summary []byte // up to 16 KiB; better a hundred bytes
}

// Change is what a commit makes of the archive.
type Change struct {
	// Start is where the journal goes on: everything before it is in Live, in Move
	// or in the archive already. Keep are the segments before it that stay.
	Start journal.Start
	Keep  []uint64
	// Note is kept with the commit.
	Note []byte
	// Live replaces all live items.
	Live []Item
	// Move goes into a volume. It takes the place of what was kept under the same
	// key, so it holds that, too.
	Move []Moved
	// Forget are keys of which no copy may stay in any volume but what Move has.
	Forget []string
}

// Commit writes a new generation whole: volumes, then the two files of its
// directory, each synced before the next step, and only then removes what it
// made superfluous. After an error other than ErrLeft the archive is what it
// was, in this program; which of the two the next Open finds is open, and
// either is complete as long as the journal still has what was before Start.
func (a *Archive) Commit(c Change) error {
	if err := c.check(); err != nil {
		return err
	}
	if err := a.beginAnew(); err != nil {
		return err
	}
	d := &directory{start: c.Start, keep: c.Keep, note: c.Note}
	for _, it := range c.Live {
		d.live = append(d.live, it.Key)
	}
	var err error
	if d.volumes, err = a.shelve(c); err != nil {
		return err
	}
	if err := a.publish(d, c.Live); err != nil {
		return err
	}
	a.dir, a.live = d, nil
	return a.sweep()
}

func (c *Change) check() error {
	for _, it := range c.Live {
		if err := it.check(); err != nil {
			return err
		}
	}
	for _, m := range c.Move {
		if err := m.check(); err != nil {
			return err
		}
		if len(m.Summary) > maxSummary {
			return fmt.Errorf("%w: a summary of %d bytes, at most %d", ErrTooLarge, len(m.Summary), maxSummary)
		}
	}
	return nil
}

// beginAnew removes what a first commit that was cut left, so that the first
// is number 1 again: see neverMade.
func (a *Archive) beginAnew() error {
	if a.dir.commit > 0 {
		return nil
	}
	there, err := a.list()
	if err != nil {
		return err
	}
	for _, n := range there[tablePrefix] {
		if err := a.remove(tables, tablePrefix, n); err != nil {
			return err
		}
	}
	delete(a.lastOf, tablePrefix)
	_, err = a.list()
	return err
}

// origin is where an item of a new volume comes from: a volume, or Move.
type origin struct {
	*entry
	from  *volume // nil: move
	moved *Moved
}

// shelve writes the volumes of a change and lists all there are then.
func (a *Archive) shelve(c Change) ([]volume, error) {
	var list []volume
	for _, v := range a.dir.volumes {
		without, err := a.without(v, c.Forget)
		if err != nil {
			return nil, err
		}
		list = append(list, without...)
	}
	if len(c.Move) == 0 {
		return list, nil
	}
	for {
		tail := a.tail(list, c.Move)
		added, err := a.merge(list[tail:], c.Move)
		if err == nil {
			return append(list[:tail], added...), nil
		}
		if !errors.Is(err, ErrDamaged) {
			return nil, err
		}
		if tail == len(list) {
			return nil, err
		}
		// One of them cannot be read: it stays as it is, and what is older too.
	}
}

// tail is from which volume on a new one takes up what is there: the newest
// ones that are not much larger than all that comes after them.
func (a *Archive) tail(list []volume, move []Moved) int {
	sum := int64(0)
	for _, m := range move {
		sum += 200 // for frame, seal and line
		for _, e := range m.Entries {
			sum += int64(len(e.Payload))
		}
	}
	tail := len(list)
	for tail > 0 {
		v := list[tail-1]
		if v.size >= a.full || v.size > 2*sum || v.missing > 0 || a.spoilt[v.number] || a.lost[v.number] {
			break
		}
		sum += v.size
		tail--
	}
	return tail
}

// merge writes the items of some volumes, the oldest first, and those that
// move, as one volume or several full ones.
func (a *Archive) merge(from []volume, move []Moved) ([]volume, error) {
	var all []*origin
	for i := range from {
		lines, err := a.lines(from[i])
		if err != nil {
			a.spoilt[from[i].number] = true
			return nil, err
		}
		for _, e := range lines {
			all = append(all, &origin{entry: e, from: &from[i]})
		}
	}
	for i := range move {
		all = append(all, &origin{entry: &entry{key: move[i].Key, summary: move[i].Summary}, moved: &move[i]})
	}
	arrange.By(all, func(x, y *origin) int { return cmp.Compare(x.key, y.key) })
	kept := all[:0]
	for i, o := range all {
		if i+1 == len(all) || all[i+1].key != o.key {
			kept = append(kept, o)
		}
	}
	return a.write(a, kept, false)
}

// without writes a volume anew without some keys; unchanged when it has none
// of them. What of it cannot be read is given up: its keys stay and say so.
func (a *Archive) without(v volume, keys []string) ([]volume, error) {
	has := false
	for _, key := range keys {
		_, found, err := a.seek(v, key)
		if err != nil && !errors.Is(err, ErrDamaged) {
			return nil, err
		}
		has = has || found || err != nil
	}
	if !has {
		return []volume{v}, nil
	}
	lines, err := a.known(v)
	if err != nil {
		return nil, err
	}
	var kept []*origin
	for _, e := range lines {
		if !slices.Contains(keys, e.key) {
			kept = append(kept, &origin{entry: e, from: &v})
		}
	}
	if len(kept) == len(lines) {
		return []volume{v}, nil
	}
	return a.anew(a, v, kept, uint64(len(lines)))
}

// anew writes what is kept of a volume of which so many lines are known.
func (a *Archive) anew(from *Archive, v volume, kept []*origin, known uint64) ([]volume, error) {
	written, err := a.write(from, kept, true)
	if missing := v.missing + v.items - min(v.items, known); missing > 0 && len(written) > 0 {
		written[0].missing, written[0].first, written[0].last = missing, v.first, v.last
	}
	return written, err
}

// known are the lines of a volume that can be had, from the items themselves
// where need be.
func (a *Archive) known(v volume) ([]*entry, error) {
	lines, err := a.lines(v)
	if !errors.Is(err, ErrDamaged) {
		return lines, err
	}
	m, err := a.mend(v)
	if err != nil {
		return nil, err
	}
	return m.list, nil
}

// write writes items with ascending keys, from volumes of one archive. An item
// that cannot be read ends it with ErrDamaged, unless it may be given up.
func (a *Archive) write(from *Archive, list []*origin, giveUp bool) (written []volume, err error) {
	r := reading{archive: from, open: map[uint64]journal.File{}}
	defer func() { err = errors.Join(err, r.close()) }()
	var b *binder
	for _, o := range list {
		if b == nil {
			if b, err = a.bind(); err != nil {
				return nil, err
			}
		}
		packed, err := r.packed(o)
		if errors.Is(err, ErrDamaged) && giveUp {
			packed, err = nil, nil
		}
		if err == nil {
			err = b.add(o.key, o.summary, packed)
		}
		if err != nil {
			return nil, errors.Join(err, b.w.file.Close())
		}
		if b.bytes() >= a.full {
			v, err := b.bound()
			if err != nil {
				return nil, err
			}
			written, b = append(written, v), nil
		}
	}
	if b == nil {
		return written, nil
	}
	v, err := b.bound()
	return append(written, v), err
}

// reading keeps volumes open while their items are taken one by one.
type reading struct {
	archive *Archive
	open    map[uint64]journal.File
}

func (r *reading) packed(o *origin) ([]byte, error) {
	switch {
	case o.moved != nil:
		return packed(o.moved.append(nil)), nil
	case o.item.n == 0:
		return nil, nil
	case r.archive.lost[o.from.number]:
		return nil, fmt.Errorf("%w: %s is not there", ErrDamaged, o.from.name())
	}
	f := r.open[o.from.number]
	if f == nil {
		var err error
		if f, err = r.archive.disk.Open(o.from.name()); err != nil {
			return nil, fmt.Errorf("open %s: %w", o.from.name(), err)
		}
		r.open[o.from.number] = f
	}
	s := source{f, o.from.name(), r.archive.sealer}
	sh, err := s.sheet(o.item)
	if err == nil {
		if _, ok := sh.item(o.key); ok {
			return sh.packed, nil
		}
		err = s.damaged(o.item)
	}
	if errors.Is(err, ErrDamaged) {
		r.archive.spoilt[o.from.number] = true
	}
	return nil, err
}

func (r *reading) close() (err error) {
	for _, f := range r.open {
		err = errors.Join(err, f.Close())
	}
	return err
}

// publish writes the live items and the directory, twice. From the first of the
// two on the commit may be found; from the second on it stands.
func (a *Archive) publish(d *directory, live []Item) error {
	d.commit = a.lastOf[tablePrefix] + 1
	content := packed(d.append(nil))
	if len(content) > maxSheet {
		return fmt.Errorf("%w: a directory of %d bytes", ErrTooLarge, len(content))
	}
	for range 2 {
		a.lastOf[tablePrefix]++
		n := a.lastOf[tablePrefix]
		w, err := begin(a.disk, a.sealer, tables, fileName(tablePrefix, n), n)
		if err != nil {
			return err
		}
		if err := fill(w, live, content); err != nil {
			return errors.Join(err, w.file.Close())
		}
		if err := w.finish(); err != nil {
			return err
		}
	}
	return nil
}

func fill(w *writer, live []Item, directory []byte) error {
	for _, it := range live {
		if _, err := w.sheet(itemSheet, packed(it.append(nil))); err != nil {
			return err
		}
	}
	_, err := w.sheet(directorySheet, directory)
	return err
}

// sweep removes the files that the commit made superfluous, those of earlier
// commits first: while one of them is whole, all that it needs is there. A file
// with our name and another's bytes stays.
func (a *Archive) sweep() error {
	there, err := a.list()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrLeft, err)
	}
	var left error
	for _, n := range there[tablePrefix] {
		if n < a.dir.commit {
			left = errors.Join(left, a.remove(tables, tablePrefix, n))
		}
	}
	if left != nil {
		return fmt.Errorf("%w: %w", ErrLeft, left)
	}
	for _, n := range there[volumePrefix] {
		if !a.dir.names(n) {
			left = errors.Join(left, a.remove(volumes, volumePrefix, n))
			delete(a.mended, n)
			delete(a.spoilt, n)
			delete(a.lost, n)
		}
	}
	if left != nil {
		return fmt.Errorf("%w: %w", ErrLeft, left)
	}
	return nil
}

// names reports whether the directory names the volume of a number.
func (d *directory) names(n uint64) bool {
	for _, v := range d.volumes {
		if v.number == n {
			return true
		}
	}
	return false
}

func (a *Archive) remove(k journal.Kind, prefix string, n uint64) error {
	name := fileName(prefix, n)
	ours := true
	err := a.with(name, func(f journal.File) (err error) {
		ours, err = k.Is(f, name, n)
		return err
	})
	if err != nil || !ours {
		return err
	}
	if err := a.disk.Remove(name); err != nil {
		return fmt.Errorf("remove %s: %w", name, err)
	}
	return nil
}
