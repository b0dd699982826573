package journal_test

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// moved appends entries 1 to n, ends the segment, appends up to m and returns
// where those after n start.
func moved(t *testing.T, n, m int) (*journaltest.Disk, *journal.Journal, journal.Start) {
	t.Helper()
	d := written(t, n)
	j, _, _ := opened(t, d)
	at, err := j.End()
	if err != nil {
		t.Fatal(err)
	}
	for i := n + 1; i <= m; i++ {
		if err := j.Append(entry(i)); err != nil {
			t.Fatal(err)
		}
	}
	return d, j, at
}

func openedFrom(t *testing.T, d journal.Disk, at journal.Start) (*journal.Journal, journal.Report, [][]byte) {
	t.Helper()
	j, r, err := journal.OpenSmallFrom(d, journal.Plain{}, at, small)
	if err != nil {
		t.Fatal(err)
	}
	return j, r, all(t, j)
}

func TestFromAStartOnlyWhatFollowsIsReadAndMissed(t *testing.T) {
	d, j, at := moved(t, 9, 14)
	if at.Sequence != 10 || j.Next() != 15 {
		t.Errorf("%+v, next %d", at, j.Next())
	}
	for _, dropped := range []bool{false, true} {
		if dropped {
			if err := j.Drop(at, nil); err != nil {
				t.Fatal(err)
			}
		}
		before := d.Count(journaltest.Open)
		_, r, got := openedFrom(t, d, at)
		if !same(got, entriesBut(14, func(i int) bool { return i < 10 })) || r.Missing > 0 || r.WholeFrom > 0 || r.Frames != 5 {
			t.Errorf("dropped %v: %q, %+v", dropped, got, r)
		}
		if n := d.Count(journaltest.Open) - before; n > 2*r.Segments+1 {
			t.Errorf("%d files were opened for %d segments", n, r.Segments)
		}
	}
	if got := all(t, j); len(got) != 5 {
		t.Errorf("after dropping it hands out %q", got)
	}
	_, r, _ := opened(t, d) // from the beginning, they are missing
	if r.Missing != 9 || r.WholeFrom != 10 {
		t.Errorf("%+v", r)
	}
}

// With all segments dropped, the next one has a number and sequence that were
// never used.
func TestNothingIsUsedTwice(t *testing.T) {
	d, j, at := moved(t, 9, 9)
	if err := errors.Join(j.Drop(at, nil), j.Close()); err != nil {
		t.Fatal(err)
	}
	if names, _ := d.Names(); len(names) > 0 {
		t.Errorf("%q are left", names)
	}
	j, r, got := openedFrom(t, d, at)
	if len(got) > 0 || j.Next() != 10 || r.Missing > 0 {
		t.Errorf("%q, next %d, %+v", got, j.Next(), r)
	}
	if err := j.Append(entry(10)); err != nil {
		t.Fatal(err)
	}
	names, _ := d.Names()
	if want := []string{journal.SegmentName(at.Segment)}; !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
}

func TestEndingTwiceOrWithNothingIsNothing(t *testing.T) {
	d := journaltest.New()
	j, _, _ := opened(t, d)
	for range 2 {
		if at, err := j.End(); err != nil || at != (journal.Start{Segment: 1, Sequence: 1}) {
			t.Errorf("%+v, %v", at, err)
		}
	}
	if err := j.Append(entry(1)); err != nil {
		t.Fatal(err)
	}
	one, err1 := j.End()
	two, err2 := j.End()
	if one != two || one != (journal.Start{Segment: 2, Sequence: 2}) || err1 != nil || err2 != nil {
		t.Errorf("%+v, %+v, %v, %v", one, two, err1, err2)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := j.End(); !errors.Is(err, journal.ErrBroken) {
		t.Errorf("%v", err)
	}
}

// Segments to be kept stay, and are not seen from the start.
func TestSegmentsWithDamageAreKept(t *testing.T) {
	d := written(t, 9)
	p := places(t, d, 9)[1]
	d.Put(p.name, altered(d.Bytes(p.name), p.from+13))
	j, _, _ := opened(t, d)
	if !slices.Equal(j.Unread(), []uint64{1}) {
		t.Errorf("%v", j.Unread())
	}
	at, err := j.End()
	if err != nil {
		t.Fatal(err)
	}
	kept := d.Bytes(p.name)
	if err := j.Drop(at, j.Unread()); err != nil {
		t.Fatal(err)
	}
	if names, _ := d.Names(); !slices.Equal(names, []string{p.name}) || !bytes.Equal(d.Bytes(p.name), kept) {
		t.Errorf("%q", names)
	}
	if _, r, got := openedFrom(t, d, at); len(got) > 0 || len(r.Damaged) > 0 {
		t.Errorf("%q, %+v", got, r)
	}
}

func TestDroppingSaysWhatIsLeft(t *testing.T) {
	d, j, at := moved(t, 9, 10)
	d.Fault = &journaltest.Fault{Op: journaltest.Remove, At: 1}
	if err := j.Drop(at, nil); !errors.Is(err, journaltest.ErrFault) {
		t.Errorf("%v", err)
	}
	if _, _, got := openedFrom(t, d, at); len(got) != 1 {
		t.Errorf("%q", got)
	}
}

func TestFramesOfAnotherKind(t *testing.T) {
	kind := journal.Kind{Magic: [8]byte{0xf7, 't', 'e', 's', 't', '\r', '\n', 0x1a}, Version: 3}
	d := journaltest.New()
	b := kind.AppendHeader(nil, 7, 1)
	for i := range 3 {
		b = journal.AppendFrame(b, uint64(i+1), entry(i+1))
	}
	look := func(b []byte) (look journal.Look, got [][]byte, is bool, err error) {
		d.Put("other", b)
		f, _ := d.Open("other")
		look, err = kind.Frames(f, "other", 7, func(at int64, seq uint64, p []byte) error {
			got = append(got, bytes.Clone(p))
			return nil
		})
		is, isErr := kind.Is(f, "other", 7)
		return look, got, is, errors.Join(err, isErr)
	}
	l, got, is, err := look(b)
	if err != nil || !is || l != (journal.Look{Ours: true, Whole: true}) || !same(got, entriesBut(3, func(int) bool { return false })) {
		t.Errorf("%+v, %q, %v", l, got, err)
	}
	for at := range b {
		l, got, is, err := look(altered(b, at))
		if err != nil || l.Whole || !is || len(got) < 2 {
			t.Fatalf("byte %d altered: %+v, %d frames, %v", at, l, len(got), err)
		}
		if l, _, _, err := look(b[:at]); err != nil || l.Whole && at != journal.HeaderBytes && !slices.Contains(ends(b), at) {
			t.Fatalf("cut at %d: %+v, %v", at, l, err)
		}
	}
	if l, _, is, err := look([]byte("another's words, thirty-six bytes and more")); err != nil || l.Ours || is {
		t.Errorf("%+v, %v", l, err)
	}
	newer := journal.Kind{Magic: kind.Magic, Version: 4}
	if _, _, _, err := look(newer.AppendHeader(nil, 7, 1)); !errors.Is(err, journal.ErrTooNew) {
		t.Errorf("%v", err)
	}
}

// ends are the places where a frame ends.
func ends(b []byte) (list []int) {
	size := len(b)
	for b = b[journal.HeaderBytes:]; len(b) > 0; {
		_, _, b, _ = journal.CutFrame(b)
		list = append(list, size-len(b))
	}
	return list
}

func TestCutFrame(t *testing.T) {
	b := journal.AppendFrame(nil, 5, []byte("payload"))
	seq, p, rest, ok := journal.CutFrame(append(bytes.Clone(b), 1, 2))
	if !ok || seq != 5 || string(p) != "payload" || !bytes.Equal(rest, []byte{1, 2}) {
		t.Errorf("%d %q %v %v", seq, p, rest, ok)
	}
	for at := range b {
		if _, _, _, ok := journal.CutFrame(altered(b, at)); ok {
			t.Errorf("byte %d altered, and it is a frame", at)
		}
		if _, _, _, ok := journal.CutFrame(b[:at]); ok {
			t.Errorf("cut at %d, and it is a frame", at)
		}
	}
	if _, _, _, ok := journal.CutFrame([]byte{0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}); ok {
		t.Error("a length beyond the end")
	}
}
