package exchange_test

import (
	"bytes"
	"errors"
	"hash/crc32"
	"testing"

	"fourchette/core/exchange"
)

func checksum(b []byte) uint32 { return crc32.Checksum(b, crc32.MakeTable(crc32.Castagnoli)) }

// FuzzTake reads a file in which some bytes were written over, and which was
// cut; or, from a negative place, those bytes alone. Whatever they are, no entry
// comes out that did not go in.
func FuzzTake(f *testing.F) {
	file := written(f, 1, []byte("an entry"), []byte("another"))
	f.Add(0, []byte{}, len(file), 8192)
	f.Add(0, []byte{}, 9000, 1)
	f.Add(8, []byte{2, 0, 0, 0}, 124, 16)
	f.Add(30, []byte{1, 2, 3}, len(file), 4096)
	f.Add(4126, []byte{1, 2, 3}, len(file), 70_000)
	f.Add(8192, []byte{1, 0}, len(file), 5000)
	f.Add(-1, []byte("somebody else's"), 15, 3)
	f.Add(-1, append(bytes.Clone(file[:124]), file[:16]...), 140, 16)
	f.Fuzz(func(t *testing.T, at int, patch []byte, length, cut int) {
		b := patch
		if at >= 0 {
			b = bytes.Clone(file)
			copy(b[min(at, len(b)):], patch)
			b = b[:max(0, min(length, len(b)))]
		}
		takesNothingElse(t, b, max(0, min(cut, len(b))))
	})
}

// takesNothingElse reads a file in two pieces.
func takesNothingElse(t *testing.T, b []byte, cut int) {
	r, err := exchange.NewReader(code)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	take := func(piece []byte) error {
		return r.Take(piece, func(list [][]byte) error {
			for _, e := range list {
				n++
				if s := string(e); s != "an entry" && s != "another" {
					t.Fatalf("%q never went in", s)
				}
			}
			return nil
		})
	}
	err = errors.Join(take(b[:cut]), take(b[cut:]))
	report, closing := r.Close()
	if uint64(n) != report.Entries || report.Whole() != (n == 2) || err != nil && (closing == nil || n > 0) {
		t.Fatalf("%d entries, %+v, %v, %v", n, report, err, closing)
	}
}

// FuzzBlock reads any bytes as the inside of a block: what is taken reads the
// same when it is laid out again.
func FuzzBlock(f *testing.F) {
	f.Add([]byte{1, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 'a'})
	f.Add([]byte{0, 9, 0, 0, 0, 0, 0, 0, 0, 3, 0, 'a', 'b', 'c', 2, 0, 'd', 'e', 0, 0, 0, 1})
	f.Add([]byte{2})
	f.Add([]byte{1, 0, 0, 0, 0, 0, 0, 0, 0, 0xff, 0xff})
	f.Fuzz(func(t *testing.T, b []byte) {
		full := make([]byte, exchange.PlainBytes)
		if copy(full, b) < len(b) {
			full = b
		}
		again, entries, err := exchange.ReadBlock(full)
		if err != nil {
			return
		}
		if !bytes.Equal(again, full) {
			t.Fatal("laid out again, it reads otherwise")
		}
		for _, e := range entries {
			if len(e) == 0 || len(e) > exchange.MaxEntry {
				t.Fatalf("an entry of %d bytes", len(e))
			}
		}
	})
}
