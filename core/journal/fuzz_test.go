package journal_test

import (
	"bytes"
	"errors"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// FuzzOpen opens a journal of two segments with any bytes in them.
func FuzzOpen(f *testing.F) {
	d := written(f, 6)
	one, two := d.Bytes("journal-00000001"), d.Bytes("journal-00000002")
	f.Add(one, two)
	f.Add(one[:50], []byte{})
	f.Add(altered(one, 2), altered(two, 40))
	f.Add([]byte("somebody else's"), []byte{})
	f.Add(make([]byte, 40), two)
	f.Add(one, append(bytes.Clone(two), 9, 0, 0, 0, 7, 0, 0, 0))
	f.Add(journal.AppendFrame(nil, 5, entry(5)), journal.AppendFrame(nil, 5, entry(5)))
	f.Fuzz(func(t *testing.T, one, two []byte) {
		d := journaltest.New()
		d.Put("journal-00000001", one)
		d.Put("journal-00000002", two)
		j, r, err := journal.OpenSmall(d, journal.Plain{}, small)
		if err != nil {
			if j != nil || !errors.Is(err, journal.ErrNotOurs) && !errors.Is(err, journal.ErrTooNew) {
				t.Fatalf("%v", err)
			}
			if d.Count(journaltest.Write)+d.Count(journaltest.Truncate) > 0 {
				t.Fatal("refused, and yet written to")
			}
			return
		}
		if got := all(t, j); len(got) != r.Frames {
			t.Fatalf("%d entries, reported %d", len(got), r.Frames)
		}
		if !bytes.Equal(d.Bytes("journal-00000001"), one) || !bytes.Equal(d.Bytes("journal-00000002"), two) {
			t.Fatal("opening changed a byte")
		}
		goesOn(t, d)
	})
}

// FuzzAppend writes any payloads and reads the same ones.
func FuzzAppend(f *testing.F) {
	f.Add([]byte("a"), []byte{0})
	f.Add(journal.AppendFrame(nil, 2, []byte("x")), journal.AppendHeader(nil, 1, 1))
	f.Fuzz(func(t *testing.T, a, b []byte) {
		d := journaltest.New()
		j, _, _ := opened(t, d)
		var want [][]byte
		for _, p := range [][]byte{a, b, a} {
			if err := j.Append(p); err == nil {
				want = append(want, p)
			} else if !errors.Is(err, journal.ErrPayload) {
				t.Fatal(err)
			}
		}
		if _, _, got := opened(t, d); !same(got, want) {
			t.Fatalf("got %q, want %q", got, want)
		}
	})
}
