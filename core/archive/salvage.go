package archive

import (
	"errors"
	"fmt"
	"math"

	"fourchette/core/arrange"
	"fourchette/core/journal"
)

// Salvage is for an archive whose directory is lost: Open answers ErrDamaged.
// It writes new volumes with all items that the old ones and the live ones of
// any directory file still have, entries of the same key together; line gets
// each of them and gives its line for lists. Nothing is removed and no directory
// written: commit what it returns, or leave it. Its errors are those of the disk
// and of the sealer's Seal.
func Salvage(d journal.Disk, s journal.Sealer, line func(Item) []byte) (*Archive, error) {
	a := empty(d, s, usual)
	a.dir.commit = 1 // there was one: what is left of it stays until the next one stands
	there, err := a.list()
	if err != nil {
		return nil, err
	}
	found := map[string]Item{} // live ones: few, or the program could not have held them
	for _, n := range there[tablePrefix] {
		t, err := a.readTable(n)
		if err != nil {
			return nil, err
		}
		for _, it := range t.live {
			found[it.Key] = together(found[it.Key], it)
		}
	}
	for at := len(there[volumePrefix]) - 1; at >= 0; at-- {
		if err := a.salvage(volume{number: there[volumePrefix][at]}, found, line); err != nil {
			return nil, err
		}
	}
	var rest []Moved
	for _, it := range found {
		rest = append(rest, Moved{it, line(it)})
	}
	if len(rest) == 0 {
		return a, nil
	}
	added, err := a.merge(nil, rest)
	a.dir.volumes = append(a.dir.volumes, added...)
	return a, err
}

// salvage writes anew what can be read of a volume. What of it is live too, or
// was read from an older volume, waits in found until all is there.
func (a *Archive) salvage(v volume, found map[string]Item, line func(Item) []byte) error {
	m, err := a.mend(v)
	if err != nil {
		return err
	}
	var kept []*origin
	for _, e := range m.list {
		it, err := a.item(v, e)
		if err != nil && !errors.Is(err, ErrDamaged) {
			return err
		}
		_, waits := found[e.key]
		if older, err := a.Find(e.key); err == nil {
			it, waits = together(older, it), true
		}
		if waits {
			found[e.key] = together(found[e.key], it)
			continue
		}
		kept = append(kept, &origin{entry: &entry{e.key, e.item, line(it)}, from: &v})
	}
	written, err := a.anew(a, v, kept, math.MaxUint64)
	a.dir.volumes = append(a.dir.volumes, written...)
	return err
}

// together are the entries of two items of one key, each once, in order.
func together(a, b Item) Item {
	seen := map[string]bool{}
	it := Item{Key: b.Key, Mark: max(a.Mark, b.Mark)}
	for _, e := range append(append([]Entry(nil), a.Entries...), b.Entries...) {
		id := fmt.Sprintf("%d %s", e.Seq, e.Payload)
		if !seen[id] {
			it.Entries = append(it.Entries, e)
		}
		seen[id] = true
	}
	arrange.By(it.Entries, func(x, y Entry) int {
		switch {
		case x.Seq < y.Seq:
			return -1
		case x.Seq > y.Seq:
			return 1
		}
		return 0
	})
	return it
}
