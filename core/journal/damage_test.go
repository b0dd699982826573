package journal_test

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

const history = 9 // entries, over three segments or more

func TestCutAtEveryByte(t *testing.T) {
	whole := written(t, history)
	where := places(t, whole, history)
	names, _ := whole.Names()
	cuts := 0
	for i, name := range names {
		for n := range whole.Bytes(name) {
			d := whole.Copy()
			d.Put(name, d.Bytes(name)[:n])
			gone := func(i int) bool { return where[i-1].name == name && where[i-1].to > n }
			_, r, got := opened(t, d)
			if want := entriesBut(history, gone); !same(got, want) {
				t.Fatalf("%s cut at %d: got %q, want %q", name, n, got, want)
			}
			atBorder := n == 0 || n == journal.HeaderLen || slices.ContainsFunc(where, func(p place) bool { return p.name == name && p.to == n })
			if last := i == len(names)-1; last && r.TornTail == atBorder {
				t.Fatalf("%s cut at %d: torn tail %v", name, n, r.TornTail)
			} else if !last && r.Missing == 0 {
				t.Fatalf("%s cut at %d: acknowledged entries are gone and nobody says so: %+v", name, n, r)
			}
			goesOn(t, d)
			cuts++
		}
	}
	t.Logf("%d cut points tried", cuts)
}

func TestEveryByteAltered(t *testing.T) {
	whole := written(t, history)
	where := places(t, whole, history)
	names, _ := whole.Names()
	tried := 0
	for _, name := range names {
		for at := range whole.Bytes(name) {
			for _, x := range []byte{0x01, 0x02, 0x10, 0x80, 0xff, whole.Bytes(name)[at]} {
				if x == 0 {
					continue // a zero turned to zero is no change
				}
				d := whole.Copy()
				b := d.Bytes(name)
				b[at] ^= x
				d.Put(name, b)
				_, r, got := opened(t, d)
				want := entriesBut(history, func(i int) bool {
					return where[i-1].name == name && where[i-1].from <= at && at < where[i-1].to
				})
				if !same(got, want) {
					t.Fatalf("%s byte %d ^ %#x: got %q, want %q", name, at, x, got, want)
				}
				if lost := history - len(got); !r.TornTail && (r.WholeFrom == 0 || r.WholeFrom > history+2 || lost > 0 && r.WholeFrom <= 1) {
					t.Fatalf("%s byte %d ^ %#x: whole from %d, and %d entries are gone", name, at, x, r.WholeFrom, lost)
				}
				if len(r.Damaged) == 0 && !r.TornTail {
					t.Fatalf("%s byte %d ^ %#x: nobody says so: %+v", name, at, x, r)
				}
				goesOn(t, d)
				tried++
			}
		}
	}
	t.Logf("%d alterations tried", tried)
}

func TestDamageSaysWhere(t *testing.T) {
	d := written(t, history)
	p := places(t, d, history)[1]
	b := d.Bytes(p.name)
	b[p.from+13] ^= 1
	d.Put(p.name, b)
	_, r, _ := opened(t, d)
	want := journal.Damage{Name: p.name, Offset: int64(p.from), Bytes: int64(p.to - p.from)}
	if len(r.Damaged) != 1 || r.Damaged[0] != want || r.Missing != 1 || r.TornTail || r.WholeFrom != 3 {
		t.Errorf("got %+v, want one damage %+v", r, want)
	}
}

func TestAFrameInsideADamagedPayloadIsNotTakenForOneOfOurs(t *testing.T) {
	d := journaltest.New()
	j, _, _ := opened(t, d)
	inside := journal.AppendFrame([]byte("a copy of a frame: "), 1000, []byte("not an entry"))
	if err := errors.Join(j.Append(entry(1)), j.Append(inside), j.Append(entry(3)), j.Close()); err != nil {
		t.Fatal(err)
	}
	name := "journal-00000001"
	at := bytes.Index(d.Bytes(name), inside)
	d.Put(name, altered(d.Bytes(name), at))
	if _, r, got := opened(t, d); !same(got, [][]byte{entry(1), entry(3)}) || r.Missing != 1 {
		t.Errorf("got %q, %+v", got, r)
	}
}

func TestAnAlteredLastEntryStaysMissing(t *testing.T) {
	d := written(t, history)
	p := places(t, d, history)[history-1]
	b := d.Bytes(p.name)
	b[p.from+13] ^= 1
	d.Put(p.name, b)
	for range 2 {
		if _, r, _ := opened(t, d); len(r.Damaged) != 1 || r.TornTail {
			t.Errorf("%+v", r)
		}
		goesOn(t, d)
		if _, r, _ := opened(t, d); r.Missing != 1 {
			t.Errorf("the gap must stay to be seen: %+v", r)
		}
	}
}

func TestATornEntryIsNotHeldAgainstTheJournalForEver(t *testing.T) {
	d := written(t, history)
	p := places(t, d, history)[history-1]
	d.Put(p.name, d.Bytes(p.name)[:p.to-1])
	if _, r, _ := opened(t, d); !r.TornTail || len(r.Damaged) > 0 || r.WholeFrom > 0 {
		t.Errorf("%+v", r)
	}
	goesOn(t, d)
	if _, r, _ := opened(t, d); r.TornTail || len(r.Damaged) > 0 || r.Missing > 0 {
		t.Errorf("%+v", r)
	}
}

func TestALostSegmentIsNoticed(t *testing.T) {
	whole := written(t, history)
	names, _ := whole.Names()
	for _, name := range names[:len(names)-1] {
		d := whole.Copy()
		if err := d.Remove(name); err != nil {
			t.Fatal(err)
		}
		if _, r, got := opened(t, d); r.Missing == 0 || int(r.Missing)+len(got) != history || int(r.WholeFrom) <= 1 {
			t.Errorf("without %s: %d entries, %+v", name, len(got), r)
		}
		goesOn(t, d)
	}
}

func TestUnwrittenSpaceIsNoDamage(t *testing.T) {
	for _, zeros := range []int{1, 15, 16, 17, 100, 300_000} {
		d := written(t, history)
		names, _ := d.Names()
		last := names[len(names)-1]
		d.Put(last, append(d.Bytes(last), make([]byte, zeros)...))
		if _, r, got := opened(t, d); len(got) != history || r.TornTail || len(r.Damaged) > 0 {
			t.Errorf("%d zeros at the end: %d entries, %+v", zeros, len(got), r)
		}
		goesOn(t, d)

		d = written(t, history)
		next := "journal-0000000" + string(rune('1'+len(names)))
		d.Put(next, make([]byte, zeros))
		if _, r, got := opened(t, d); len(got) != history || r.TornTail || len(r.Damaged) > 0 {
			t.Errorf("a segment of %d zeros: %d entries, %+v", zeros, len(got), r)
		}
		goesOn(t, d)
	}
}

func TestThreeAnswers(t *testing.T) {
	ours := written(t, 1).Bytes("journal-00000001")
	newer := bytes.Clone(ours)
	newer[8] = 2
	prefix := journal.AppendHeader(nil, 1, 1)[:8]
	prefix = append(prefix, 2, 0, 0, 0)
	newer = append(prefix, crc(prefix)...)
	newer = append(newer, "whatever a newer version writes here"...)

	for _, c := range []struct {
		name string
		b    []byte
		want error
	}{
		{"too new", newer, journal.ErrTooNew},
		{"too new, not a byte more than the prefix", newer[:16], journal.ErrTooNew},
		{"not ours", []byte("A letter that somebody kept under this name."), journal.ErrNotOurs},
		{"not ours, short", []byte("A letter"), journal.ErrNotOurs},
		{"not ours, binary", bytes.Repeat([]byte{0x89, 'P', 'N', 'G'}, 100), journal.ErrNotOurs},
		{"a damaged version is not a newer one", altered(ours, 8), nil},
		{"a damaged magic is not another's", altered(ours, 3), nil},
	} {
		d := journaltest.New()
		d.Put("journal-00000001", c.b)
		j, r, err := journal.Open(d)
		if !errors.Is(err, c.want) || (err != nil) != (c.want != nil) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
		if c.want == nil && (len(r.Damaged) != 1 || len(all(t, j)) != 1) {
			t.Errorf("%s: %+v", c.name, r)
		}
		if c.want != nil && (j != nil || !bytes.Equal(d.Bytes("journal-00000001"), c.b) || d.Count(journaltest.Write)+d.Count(journaltest.Truncate) > 0) {
			t.Errorf("%s: refused and yet touched", c.name)
		}
	}
}

func TestANewerSegmentAmongOldOnesIsTooNew(t *testing.T) {
	d := written(t, history)
	prefix := append(journal.AppendHeader(nil, 1, 1)[:8], 9, 0, 0, 0)
	d.Put("journal-00000099", append(prefix, crc(prefix)...))
	writes := d.Count(journaltest.Write)
	if _, _, err := journal.Open(d); !errors.Is(err, journal.ErrTooNew) || d.Count(journaltest.Write) != writes {
		t.Errorf("%v", err)
	}
}

func TestAForeignSegmentAmongOursIsDamage(t *testing.T) {
	d := written(t, history)
	names, _ := d.Names()
	d.Put(names[0], bytes.Repeat([]byte("garbage "), 12))
	if _, r, got := opened(t, d); len(got) == 0 || len(r.Damaged) != 1 || r.Damaged[0].Bytes != 96 || r.Missing == 0 {
		t.Errorf("%d entries, %+v", len(got), r)
	}
	goesOn(t, d)
}

func TestAReadThatFailsIsAnErrorAndTouchesNothing(t *testing.T) {
	whole := written(t, history)
	probe := whole.Copy()
	opened(t, probe)
	for n := 1; n <= probe.Count(journaltest.Read); n++ {
		d := whole.Copy()
		d.Fault = &journaltest.Fault{Op: journaltest.Read, At: n}
		j, r, err := journal.OpenSmall(d, journal.Plain{}, small)
		if err == nil && r.Unconfirmed == nil {
			err = j.Each(func(uint64, []byte) error { return nil })
		} else if err == nil {
			err = r.Unconfirmed
		}
		if !errors.Is(err, journaltest.ErrFault) {
			t.Errorf("read %d failed: %v", n, err)
		}
		goesOn(t, d)
	}
}
