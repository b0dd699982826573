package archive

import "fmt"

// Entry is one payload as the journal had it.
type Entry struct {
	Seq     uint64 // the journal's sequence of it
	Payload []byte
}

// Item is what is kept under one key: entries in the order of their sequences.
type Item struct {
	Key string // up to MaxKey bytes
	// Mark is a number of the caller's, kept with the item.
	Mark    uint64
	Entries []Entry
}

// An item is the content of a sheet of kind itemSheet.
func (it Item) append(b []byte) []byte {
	b = appendBytes(b, it.Key)
	b = appendNumber(b, it.Mark)
	b = appendNumber(b, uint64(len(it.Entries)))
	last := uint64(0)
	for _, e := range it.Entries {
		b = appendNumber(b, e.Seq-last)
		b = appendBytes(b, e.Payload)
		last = e.Seq
	}
	return b
}

// check says what of an item cannot be kept.
func (it Item) check() error {
	if len(it.Key) > MaxKey {
		return fmt.Errorf("%w: a key of %d bytes, at most %d", ErrTooLarge, len(it.Key), MaxKey)
	}
	size, last := len(it.Key)+30, uint64(0)
	for _, e := range it.Entries {
		if e.Seq < last || e.Seq > maxCount || len(e.Payload) == 0 {
			return fmt.Errorf("entry %d of an item is empty or not in order", e.Seq)
		}
		last = e.Seq
		size += len(e.Payload) + 20
		if size > maxSheet {
			return fmt.Errorf("%w: the entries of one item have more than %d bytes", ErrTooLarge, maxSheet)
		}
	}
	return nil
}

func readItem(b []byte) (Item, bool) {
	r := in{b: b}
	it := Item{Key: r.key(), Mark: r.number()}
	n := r.count()
	if n > 0 {
		it.Entries = make([]Entry, 0, min(n, 4096))
	}
	last := uint64(0)
	for range n {
		step := r.number()
		if step > maxCount-last {
			return Item{}, false
		}
		last += step
		payload := r.bytes()
		if len(payload) == 0 {
			return Item{}, false
		}
		it.Entries = append(it.Entries, Entry{last, payload})
	}
	return it, r.done()
}
