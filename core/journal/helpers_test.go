package journal_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// small is the size above which the tests' segments end.
const small = 150

// entry is the n-th payload of a history, counted from 1; lengths differ.
func entry(n int) []byte {
	return bytes.Repeat(fmt.Appendf(nil, "<%d>", n), 1+n%4)
}

// opened opens a journal that must open and returns all its payloads.
func opened(t testing.TB, d journal.Disk) (*journal.Journal, journal.Report, [][]byte) {
	t.Helper()
	j, r, err := journal.OpenSmall(d, journal.Plain{}, small)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	return j, r, all(t, j)
}

func all(t testing.TB, j *journal.Journal) [][]byte {
	t.Helper()
	var list [][]byte
	err := j.Each(func(_ uint64, p []byte) error {
		list = append(list, p)
		return nil
	})
	if err != nil {
		t.Fatalf("each: %v", err)
	}
	return list
}

// written makes a disk with a journal of the entries 1 to n.
func written(t testing.TB, n int) *journaltest.Disk {
	t.Helper()
	d := journaltest.New()
	j, _, _ := opened(t, d)
	for i := 1; i <= n; i++ {
		if err := j.Append(entry(i)); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	return d
}

// place is where an entry's frame stands.
type place struct {
	name     string
	from, to int
}

// places finds the frames of the entries 1 to n by writing them out anew.
func places(t testing.TB, d *journaltest.Disk, n int) []place {
	t.Helper()
	names, _ := d.Names()
	var list []place
	for _, name := range names {
		b := d.Bytes(name)
		at := journal.HeaderLen
		for at < len(b) {
			frame := journal.AppendFrame(nil, uint64(len(list)+1), entry(len(list)+1))
			if !bytes.HasPrefix(b[at:], frame) {
				t.Fatalf("no frame for entry %d in %s at byte %d", len(list)+1, name, at)
			}
			list = append(list, place{name, at, at + len(frame)})
			at += len(frame)
		}
	}
	if len(list) != n {
		t.Fatalf("%d frames, want %d", len(list), n)
	}
	return list
}

// entriesBut is what is left of the entries 1 to n without some.
func entriesBut(n int, gone func(i int) bool) [][]byte {
	var list [][]byte
	for i := 1; i <= n; i++ {
		if !gone(i) {
			list = append(list, entry(i))
		}
	}
	return list
}

func same(a, b [][]byte) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !bytes.Equal(a[i], b[i]) {
			return false
		}
	}
	return true
}

// goesOn appends one more entry and wants it after all that was there.
func goesOn(t testing.TB, d *journaltest.Disk) {
	t.Helper()
	before := map[string][]byte{}
	names, _ := d.Names()
	for _, name := range names {
		before[name] = d.Bytes(name)
	}
	j, _, was := opened(t, d)
	if err := j.Append([]byte("one more")); err != nil {
		t.Fatalf("append: %v", err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	_, _, is := opened(t, d)
	if !same(is, append(was, []byte("one more"))) {
		t.Fatalf("after one more: %q, before it %q", is, was)
	}
	for name, b := range before {
		if !bytes.HasPrefix(d.Bytes(name), b) {
			t.Fatalf("%s was changed, not only added to", name)
		}
	}
}

func altered(b []byte, at int) []byte {
	b = bytes.Clone(b)
	b[at] ^= 0x04
	return b
}

// crc is CRC-32C as the format has it, little-endian.
func crc(b []byte) []byte {
	return binary.LittleEndian.AppendUint32(nil, crc32.Checksum(b, crc32.MakeTable(crc32.Castagnoli)))
}
