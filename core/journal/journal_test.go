package journal_test

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

func TestEntriesComeBackInOrder(t *testing.T) {
	d := written(t, 12)
	j, r, got := opened(t, d)
	if !same(got, entriesBut(12, func(int) bool { return false })) {
		t.Errorf("got %q", got)
	}
	if r.Frames != 12 || r.Segments < 3 || len(r.Damaged) > 0 || r.TornTail || r.Missing > 0 || r.Unconfirmed != nil {
		t.Errorf("%+v", r)
	}
	want := uint64(0)
	if err := j.Each(func(seq uint64, _ []byte) error {
		if want++; seq != want {
			t.Errorf("sequence %d, want %d", seq, want)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if names, _ := d.Names(); !slices.Equal(names[:2], []string{"journal-00000001", "journal-00000002"}) {
		t.Errorf("names %q", names)
	}
	if d.Unsynced() > 0 {
		t.Errorf("%d writes not synced", d.Unsynced())
	}
	if err := j.Append([]byte("x")); err != nil || len(all(t, j)) != 13 {
		t.Errorf("the journal must read what it has just written: %v", err)
	}
}

func TestBytesAreAsDrawn(t *testing.T) {
	d := journaltest.New()
	j, _, _ := opened(t, d)
	if err := j.Append([]byte("abc")); err != nil {
		t.Fatal(err)
	}
	b := d.Bytes("journal-00000001")
	want := "f746434a0d0a1a0a" + "01000000" // magic, version
	if got := fmt.Sprintf("%x", b[:12]); got != want {
		t.Errorf("begins %s, want %s", got, want)
	}
	// number 1, first sequence 1
	if got := fmt.Sprintf("%x", b[16:32]); got != "0100000000000000"+"0100000000000000" {
		t.Errorf("number and first %s", got)
	}
	// length 3, sequence 1, payload
	if got := fmt.Sprintf("%x", b[36:51]); got != "03000000"+"0100000000000000"+"616263" || len(b) != 55 {
		t.Errorf("frame %s, %d bytes", got, len(b))
	}
}

func TestNothingIsMadeBeforeTheFirstEntry(t *testing.T) {
	d := journaltest.New()
	j, r, got := opened(t, d)
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	if names, _ := d.Names(); len(names) != 0 || len(got) != 0 || r.Segments != 0 {
		t.Errorf("%q %q %+v", names, got, r)
	}
}

func TestOtherFilesAreLeftAlone(t *testing.T) {
	d := written(t, 3)
	for _, name := range []string{"keys", "journal-1", "journal-00000000", "journal-+0000001", "journal-000000001", "journal-99999999999999999999", "journal-18446744073709551615", "Journal-00000009"} {
		d.Put(name, []byte("not a journal"))
	}
	_, r, got := opened(t, d)
	if len(got) != 3 || r.Segments != 1 {
		t.Errorf("%d entries, %+v", len(got), r)
	}
	goesOn(t, d)
}

func TestPayloadsOfNoUseAreRefusedAndNothingBreaks(t *testing.T) {
	j, _, _ := opened(t, journaltest.New())
	for _, p := range [][]byte{nil, {}, make([]byte, journal.MaxPayload+1)} {
		if err := j.Append(p); !errors.Is(err, journal.ErrPayload) {
			t.Errorf("%d bytes: %v", len(p), err)
		}
	}
	largest := bytes.Repeat([]byte{0}, journal.MaxPayload)
	if err := j.Append(largest); err != nil {
		t.Fatal(err)
	}
	if got := all(t, j); len(got) != 1 || !bytes.Equal(got[0], largest) {
		t.Errorf("%d entries", len(got))
	}
}

func TestAfterAFailureOrCloseNoMoreEntries(t *testing.T) {
	d := written(t, 2)
	j, _, _ := opened(t, d)
	d.Fault = &journaltest.Fault{Op: journaltest.Write, At: d.Count(journaltest.Write) + 1}
	if err := j.Append(entry(3)); !errors.Is(err, journaltest.ErrFault) || errors.Is(err, journal.ErrBroken) {
		t.Errorf("the first failure: %v", err)
	}
	if err := j.Append(entry(3)); !errors.Is(err, journal.ErrBroken) || !errors.Is(err, journaltest.ErrFault) {
		t.Errorf("after it: %v", err)
	}
	if got := all(t, j); !same(got, entriesBut(2, func(int) bool { return false })) {
		t.Errorf("a broken journal still reads, got %q", got)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	j, r, _ := opened(t, d)
	if r.TornTail || r.Segments != 1 {
		t.Errorf("the failed entry was not cut off: %+v", r)
	}
	if err := errors.Join(j.Append(entry(3)), j.Close(), j.Close()); err != nil {
		t.Fatal(err)
	}
	if err := j.Append(entry(4)); !errors.Is(err, journal.ErrBroken) {
		t.Errorf("closed: %v", err)
	}
}

func TestAnotherWriterIsNoticedAndNotOverwritten(t *testing.T) {
	d := written(t, 1)
	one, _, _ := opened(t, d)
	two, _, _ := opened(t, d)
	if err := one.Append(entry(2)); err != nil {
		t.Fatal(err)
	}
	if err := two.Append(entry(3)); err == nil || !strings.Contains(err.Error(), "something else writes") {
		t.Errorf("the second writer: %v", err)
	}
	if _, _, got := opened(t, d); !same(got, entriesBut(2, func(int) bool { return false })) {
		t.Errorf("left %q", got)
	}
}

func TestAnErrorOfTheCalleeEndsEach(t *testing.T) {
	j, _, _ := opened(t, written(t, 5))
	stop := errors.New("stop")
	n := 0
	err := j.Each(func(uint64, []byte) error { n++; return stop })
	if !errors.Is(err, stop) || n != 1 {
		t.Errorf("%v after %d", err, n)
	}
}

// bound is a sealer that writes down what a payload is bound to.
type bound struct{ refuse string }

func (bound) Seal(segment string, seq uint64, plain []byte) ([]byte, error) {
	return fmt.Appendf(nil, "%s/%d:%s", segment, seq, plain), nil
}

func (b bound) Open(segment string, seq uint64, sealed []byte) ([]byte, error) {
	plain, ok := bytes.CutPrefix(sealed, fmt.Appendf(nil, "%s/%d:", segment, seq))
	if !ok || string(plain) == b.refuse {
		return nil, errors.New("the seal is broken")
	}
	return plain, nil
}

func TestPayloadsAreSealed(t *testing.T) {
	d := journaltest.New()
	j, _, err := journal.OpenSmall(d, bound{}, small)
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i <= 8; i++ {
		if err := j.Append(entry(i)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Contains(d.Bytes("journal-00000001"), []byte("journal-00000001/2:<2>")) {
		t.Error("not sealed with the segment's name and the sequence")
	}
	if got := all(t, j); !same(got, entriesBut(8, func(int) bool { return false })) {
		t.Errorf("got %q", got)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	j, r, err := journal.OpenSealed(d, bound{refuse: string(entry(3))})
	if err != nil || r.Frames != 8 {
		t.Fatalf("%+v, %v", r, err)
	}
	var got [][]byte
	err = j.Each(func(_ uint64, p []byte) error { got = append(got, p); return nil })
	if err == nil || !same(got, entriesBut(8, func(i int) bool { return i == 3 })) {
		t.Errorf("one broken seal: %v, %q", err, got)
	}
	if err := j.Append(make([]byte, journal.MaxPayload)); !errors.Is(err, journal.ErrPayload) {
		t.Errorf("too large once sealed: %v", err)
	}
	if err := j.Append(entry(9)); err != nil {
		t.Errorf("after a payload too large: %v", err)
	}
}

func TestPayloadsBelongToTheCallee(t *testing.T) {
	j, _, got := opened(t, written(t, 4))
	for _, p := range got {
		clear(p)
	}
	if !same(all(t, j), entriesBut(4, func(int) bool { return false })) {
		t.Error("changing a payload changed the journal")
	}
}

func TestFullDisk(t *testing.T) {
	whole := written(t, 9)
	names, _ := whole.Names()
	total := 0
	for _, name := range names {
		total += len(whole.Bytes(name))
	}
	for capacity := 1; capacity < total; capacity++ {
		d := journaltest.New()
		d.Capacity = int64(capacity)
		j, _, _ := opened(t, d)
		kept := 0
		var err error
		for err == nil && kept < 9 {
			if err = j.Append(entry(kept + 1)); err == nil {
				kept++
			}
		}
		if !errors.Is(err, journal.ErrFull) {
			t.Fatalf("capacity %d: %v", capacity, err)
		}
		files, _ := d.Names()
		for range 3 { // trying again must not fill the disk further
			j, r, got := opened(t, d)
			if !same(got, entriesBut(kept, func(int) bool { return false })) || r.TornTail || r.Unconfirmed != nil {
				t.Fatalf("capacity %d: %q, %+v", capacity, got, r)
			}
			if err := j.Append(entry(kept + 1)); !errors.Is(err, journal.ErrFull) {
				t.Fatalf("capacity %d: %v", capacity, err)
			}
		}
		if again, _ := d.Names(); len(again) > len(files) {
			t.Fatalf("capacity %d: %d files became %d", capacity, len(files), len(again))
		}
		d.Capacity = 0 // room was made
		goesOn(t, d)
	}
}

func TestClaimedSizesAreNotAllocated(t *testing.T) {
	d := written(t, 1)
	d.Put("journal-00000001", append(d.Bytes("journal-00000001"), 0xff, 0xff, 0xff, 0x7f, 2, 0, 0, 0, 0, 0, 0, 0))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	opened(t, d)
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<20 {
		t.Errorf("%d bytes allocated for a journal of 100", grown)
	}
}

// TestReadingIsTakenUpAgain at every place, with entries appended since and
// holes between.
func TestReadingIsTakenUpAgain(t *testing.T) {
	d := written(t, history)
	hole := places(t, d, history)[history/2]
	spoilt := d.Bytes(hole.name)
	spoilt[hole.from+13] ^= 1
	d.Put(hole.name, spoilt)
	j, _, want := opened(t, d)
	for stop := 1; stop <= history; stop++ {
		var got [][]byte
		var at journal.Place
		enough := errors.New("enough")
		for {
			n := 0
			err := j.EachFrom(at, func(_ uint64, p []byte, after journal.Place) error {
				if n == stop {
					return enough
				}
				got, at = append(got, p), after
				n++
				return nil
			})
			if err == nil {
				break
			}
			if !errors.Is(err, enough) {
				t.Fatal(err)
			}
		}
		if !same(got, want) {
			t.Fatalf("by %d: got %q, want %q", stop, got, want)
		}
		late := entry(stop)
		if err := j.Append(late); err != nil {
			t.Fatal(err)
		}
		want, got = append(want, late), nil
		if err := j.EachFrom(at, func(_ uint64, p []byte, _ journal.Place) error { got = append(got, p); return nil }); err != nil || !same(got, [][]byte{late}) {
			t.Fatalf("appended since: %q, %v", got, err)
		}
	}
}
