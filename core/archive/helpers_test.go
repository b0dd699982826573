package archive_test

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc64"
	"reflect"
	"slices"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// bound stands for encryption: it hides nothing, and opens nothing that was
// altered or moved.
type bound struct{}

var errBound = errors.New("it was not sealed for this place")

func (bound) Seal(name string, seq uint64, plain []byte) ([]byte, error) {
	sum := crc64.Checksum(fmt.Appendf(nil, "%s %d %s", name, seq, plain), crc64.MakeTable(crc64.ECMA))
	b := fmt.Appendf(nil, "%016x", sum)
	for _, c := range plain {
		b = append(b, c^0x5a)
	}
	return b, nil
}

func (s bound) Open(name string, seq uint64, sealed []byte) ([]byte, error) {
	if len(sealed) < 16 {
		return nil, errBound
	}
	plain := make([]byte, 0, len(sealed))
	for _, c := range sealed[16:] {
		plain = append(plain, c^0x5a)
	}
	if again, _ := s.Seal(name, seq, plain); !bytes.Equal(again, sealed) {
		return nil, errBound
	}
	return plain, nil
}

const (
	fullVolume = 3000
	fullPage   = 120
)

func opened(t testing.TB, d journal.Disk) (*archive.Archive, archive.Report) {
	t.Helper()
	a, r, err := archive.OpenSmall(d, bound{}, fullVolume, fullPage)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	return a, r
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// item is the n-th item of a history; lengths differ.
func item(n, version int) archive.Item {
	it := archive.Item{Key: keyOf(n), Mark: uint64(n)}
	for i := range 1 + n%4 + version {
		it.Entries = append(it.Entries, archive.Entry{Seq: uint64(n*10 + i), Payload: fmt.Appendf(nil, "event %d of %d, written %d", i, n, version)})
	}
	return it
}

func keyOf(n int) string { return fmt.Sprintf("key%04d", n) }

func moved(n, version int) archive.Moved {
	return archive.Moved{Item: item(n, version), Summary: summary(n, version)}
}

func summary(n, version int) []byte { return fmt.Appendf(nil, "summary %d/%d", n, version) }

// several moves the items from one to another.
func several(from, to int) (list []archive.Moved) {
	for n := from; n <= to; n++ {
		list = append(list, moved(n, 0))
	}
	return list
}

// holds checks that an archive has exactly these items, found and listed.
func holds(t testing.TB, what string, a *archive.Archive, want map[int]int) {
	t.Helper()
	for n := range 80 {
		it, err := a.Find(keyOf(n))
		version, there := want[n]
		if !there {
			if !errors.Is(err, archive.ErrNone) {
				t.Fatalf("%s: item %d should not be there: %v", what, n, err)
			}
			continue
		}
		if err != nil || !reflect.DeepEqual(it, item(n, version)) {
			t.Fatalf("%s: item %d: %+v, %v", what, n, it, err)
		}
		if l, err := a.Lookup(keyOf(n)); err != nil || l.Key != keyOf(n) || !bytes.Equal(l.Summary, summary(n, version)) {
			t.Fatalf("%s: line %d: %+v, %v", what, n, l, err)
		}
	}
	var keys []string
	for below := "z"; ; below = keys[len(keys)-1] {
		list, err := a.Before(below, 7)
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if len(list) == 0 {
			break
		}
		for _, l := range list {
			keys = append(keys, l.Key)
		}
	}
	var all []string
	for n := range want {
		all = append(all, keyOf(n))
	}
	slices.Sort(all)
	slices.Reverse(all)
	if !slices.Equal(keys, all) {
		t.Fatalf("%s: listed %q, want %q", what, keys, all)
	}
}

// made is a disk with three commits: items 1 to 20, then 21 to 30 with 5 anew,
// then 31; two are live.
func made(t testing.TB) (*journaltest.Disk, map[int]int) {
	t.Helper()
	d := journaltest.New()
	a, _ := opened(t, d)
	live := []archive.Item{item(90, 0), item(91, 0)}
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 2, Sequence: 100}, Note: []byte("one"), Live: live[:1], Move: several(1, 20)}))
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 3, Sequence: 200}, Note: []byte("two"), Live: live, Move: append(several(21, 30), moved(5, 2))}))
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 4, Sequence: 300}, Keep: []uint64{2}, Note: []byte("three"), Live: live, Move: several(31, 31)}))
	want := map[int]int{}
	for n := 1; n <= 31; n++ {
		want[n] = 0
	}
	want[5] = 2
	return d, want
}
