package records

import (
	"errors"
	"fmt"
	"slices"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
)

// tidyBytes is how much moves at a time, so that a commit ends soon.
const tidyBytes = 4 << 20

// Tidy moves births to the archive: those of which move says so, with what a
// list needs of them, a hundred bytes or so. What "closed for a while" means is
// move's to say; nothing here looks at a clock. It moves at most 4 MiB of events
// and tells whether more births wait. When it returns an error other than
// archive.ErrLeft nothing has moved.
//
// Of births that were deleted it leaves nothing but the deletion, in no file.
// Call it after a deletion, and again until it has returned nil; after a stop in
// between, at the next start.
//
// The journal's segments are removed when a complete copy is on the disk. One in
// which something cannot be read stays, until a birth is deleted: it may be hers.
func (r *Records) Tidy(move func(b *birth.Birth) (summary []byte, yes bool)) (moved int, more bool, err error) {
	var list []archive.Moved
	size := 0
	for _, k := range r.order {
		b := k.birth()
		summary, yes := move(b)
		if !yes || k.lost > 0 && b.Damaged {
			continue // a part that the archive cannot read must not be replaced by less
		}
		if size >= tidyBytes {
			more = true
			break
		}
		m := k.item(b, summary)
		for _, e := range m.Entries {
			size += len(e.Payload)
		}
		list = append(list, m)
	}
	graves := r.graves()
	r.purge = r.purge || len(graves) > 0
	var keep []uint64
	if !r.purge {
		keep = append(append(keep, r.archive.Keep()...), r.journal.Unread()...)
	}
	return len(list), more, r.commit(list, graves, keep)
}

// graves are what stays of the births that were deleted: their deletions.
func (r *Records) graves() (list []archive.Moved) {
	for id, k := range r.kept {
		if k.birth() != nil {
			continue
		}
		var grave kept
		for _, e := range k.entries {
			if record, err := birth.Decode(e.Payload); err == nil && record.Event.Kind == birth.KindDeleted {
				grave.entries = append(grave.entries, e)
			}
		}
		it := grave.live(key(id), false)
		list = append(list, archive.Moved{Item: it, Summary: line{deleted: true}.bytes()})
	}
	return list
}

// item is a birth on its way into a volume.
func (k *kept) item(b *birth.Birth, summary []byte) archive.Moved {
	l := line{vouched: k.vouched, lost: k.lost, rest: summary}
	if len(b.Log) > 0 {
		l.lamport = b.Opening().Event.Lamport
	}
	return archive.Moved{Item: k.live(key(b.ID), true), Summary: l.bytes()}
}

// live is what a birth is kept as: its entries in order, each once.
func (k *kept) live(key string, moved bool) archive.Item {
	var entries []archive.Entry
	seen := map[string]bool{}
	for _, e := range k.entries { // nearly in order
		if seen[string(e.Payload)] {
			continue
		}
		seen[string(e.Payload)] = true
		entries = append(entries, e)
		for i := len(entries) - 1; i > 0 && entries[i-1].Seq > entries[i].Seq; i-- {
			entries[i-1], entries[i] = entries[i], entries[i-1]
		}
	}
	mark := k.lost << 1
	if moved || k.moved {
		mark |= 1
	}
	return archive.Item{Key: key, Mark: mark, Entries: entries}
}

// commit hands everything that the journal has over to the archive.
func (r *Records) commit(list, graves []archive.Moved, keep []uint64) error {
	if r.broken != nil {
		return fmt.Errorf("%w: %w", journal.ErrBroken, r.broken)
	}
	start, err := r.journal.End()
	if err != nil {
		return err
	}
	moves := map[string]bool{}
	all := append(append([]archive.Moved(nil), list...), graves...)
	for _, m := range all {
		moves[idOf(m.Key)] = true
	}
	n := r.noteAfter(list, graves)
	c := archive.Change{Start: start, Keep: keep, Note: n.bytes(), Live: r.live(moves), Move: all}
	for _, g := range graves {
		c.Forget = append(c.Forget, g.Key)
	}
	err = r.archive.Commit(c)
	if err != nil && !errors.Is(err, archive.ErrLeft) {
		return err
	}
	r.note = n
	r.settle(moves)
	if err != nil {
		return err // files of an older commit may be there: it needs the segments
	}
	if err := r.journal.Drop(start, keep); err != nil {
		return fmt.Errorf("%w: %w", archive.ErrLeft, err)
	}
	r.purge = false
	return nil
}

// noteAfter is the note of a commit that moves these.
func (r *Records) noteAfter(list, graves []archive.Moved) note {
	n := r.note
	n.highest = append([]counted(nil), n.highest...)
	n.device, n.seq, n.lamport = r.writer.Device, r.writer.Seq, r.writer.Lamport
	for _, m := range list {
		if !r.kept[idOf(m.Key)].moved {
			n.archived++
		}
	}
	for _, g := range graves {
		if r.kept[idOf(g.Key)].moved {
			n.archived -= min(n.archived, 1)
		}
	}
	return n
}

// live are the items that stay live but for those that move.
func (r *Records) live(moves map[string]bool) (list []archive.Item) {
	if aside := append(append([]archive.Entry(nil), r.strays...), r.aside...); len(aside) > 0 {
		list = append(list, (&kept{entries: aside}).live("", false))
	}
	for _, k := range r.order {
		if id := k.birth().ID; !moves[id] {
			list = append(list, k.live(key(id), false))
		}
	}
	for _, id := range r.gone {
		if !moves[id] {
			list = append(list, archive.Item{Key: key(id)})
		}
	}
	return list
}

// settle lets go of the births that moved.
func (r *Records) settle(moved map[string]bool) {
	r.shown = birth.Birth{}
	r.order = slices.DeleteFunc(r.order, func(k *kept) bool { return moved[k.birth().ID] })
	for id := range moved {
		delete(r.kept, id)
	}
	r.gone = slices.DeleteFunc(r.gone, func(id string) bool { return moved[id] })
}
