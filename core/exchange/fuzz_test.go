package exchange_test

import (
	"bytes"
	"errors"
	"hash/crc32"
	"testing"

	"fourchette/core/exchange"
)

func checksum(b []byte) uint32 { return crc32.Checksum(b, crc32.MakeTable(crc32.Castagnoli)) }

// FuzzTake reads any bytes as a file, in two pieces: whatever they are, no entry
// comes out that did not go in.
func FuzzTake(f *testing.F) {
	file := written(f, 1, []byte("an entry"), []byte("another"))
	f.Add(file, 8192)
	f.Add(file[:9000], 1)
	f.Add(file[:124], 16)
	f.Add(append(bytes.Clone(file), 0), 70_000)
	f.Add([]byte("somebody else's"), 3)
	f.Add(make([]byte, 8192), 0)
	damaged := bytes.Clone(file)
	damaged[30] ^= 1
	f.Add(damaged, 4096)
	f.Fuzz(func(t *testing.T, b []byte, cut int) {
		r, err := exchange.NewReader(code)
		if err != nil {
			t.Fatal(err)
		}
		cut = max(0, min(cut, len(b)))
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
		if uint64(n) != report.Entries || (err == nil && closing == nil) != (errors.Join(err, closing) == nil) || report.Whole() && n != 2 {
			t.Fatalf("%d entries, %+v, %v, %v", n, report, err, closing)
		}
	})
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
