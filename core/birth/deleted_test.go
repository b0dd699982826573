package birth

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// deletion is one of the birth of history, at this Lamport time.
func deletion(t testing.TB, lamport uint64, device string) Record {
	w := &Writer{Device: device, Seq: lamport, Lamport: lamport - 1}
	e := w.Next(BirthID(deviceA, 12), KindDeleted, clock)
	e.Deleted = &Deleted{Reason: "kept_long_enough"}
	return recorded(t, e)
}

func moving(t testing.TB, kind string) Record {
	w := &Writer{Device: deviceB, Lamport: 60}
	return recorded(t, w.Next(BirthID(deviceA, 12), kind, clock))
}

// TestADeletedBirthStaysDeleted whatever of it arrives, before or after; its
// number is never given again.
func TestADeletedBirthStaysDeleted(t *testing.T) {
	list := history(t)
	s := Replay(list)
	before := s
	s.Add(deletion(t, 40, deviceB))
	if len(s.Births) != 0 || !s.IsDeleted(list[0].Event.Birth) || len(before.Births) != 1 || before.IsDeleted(list[0].Event.Birth) {
		t.Fatalf("%d births, deleted %q; before it %d", len(s.Births), s.Deleted, len(before.Births))
	}
	s.Add(list...)
	s.Add(deletion(t, 41, deviceA), moving(t, KindMoved))
	if len(s.Births) != 0 || len(s.Deleted) != 1 || s.NextBirth(deviceA) != BirthID(deviceA, 13) {
		t.Errorf("%d births, deleted %q, next %s", len(s.Births), s.Deleted, s.NextBirth(deviceA))
	}
}

func TestADeletionSaysAWord(t *testing.T) {
	for name, spoil := range map[string]func(*Event){
		"no reason":   func(e *Event) { e.Deleted = &Deleted{} },
		"free text":   func(e *Event) { e.Deleted = &Deleted{"Because I say so"} },
		"no body":     func(e *Event) { e.Deleted = nil },
		"moved, body": func(e *Event) { e.Kind = KindMoved },
	} {
		e := deletion(t, 40, deviceB).Event
		spoil(&e)
		if _, err := e.Record(); !errors.Is(err, ErrMalformed) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestAnOlderProgramKeepsWhatWasDeleted: it does not know the kind. It shows
// what it holds, counts one record as not understood and settles nothing; and
// where the journal was compacted it shows a birth of which it knows nothing.
func TestAnOlderProgramKeepsWhatWasDeleted(t *testing.T) {
	for schema := uint8(1); schema < Schema; schema++ {
		r, err := decode(deletion(t, 40, deviceB).Raw, schema)
		if err != nil || !r.Newer {
			t.Fatalf("schema %d: newer %v, %v", schema, r.Newer, err)
		}
		r.Event.Kind = "as if unknown" // this program's fold knows the word
		if b := Replay(append(history(t), r)).Births[0]; b.Unknown != 1 || b.Complete() || b.GivenKnown() || len(b.Doses) != 2 {
			t.Errorf("schema %d: %+v", schema, b)
		}
		if b := Replay([]Record{r}).Births[0]; b.Unknown != 1 || b.Complete() || b.OpenedAt != 0 {
			t.Errorf("schema %d, compacted: %+v", schema, b)
		}
	}
}

// TestCompactingChangesNoState: without what is superfluous, in any order and
// beside any other journal, the state and the next ids are the same.
func TestCompactingChangesNoState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := anyRecords(t)
		w := Writer{Device: deviceA}
		for _, r := range list {
			w.Saw(r)
		}
		s := Replay(list)
		less := slices.DeleteFunc(slices.Clone(list), func(r Record) bool { return s.Superfluous(r, w) })
		after := Writer{Device: deviceA}
		for _, r := range less {
			after.Saw(r)
		}
		other := anyRecords(t)
		if !reflect.DeepEqual(Replay(less), s) || after.Seq != w.Seq || Replay(less).NextBirth(deviceA) != s.NextBirth(deviceA) {
			t.Fatalf("%d records became %d and another state", len(list), len(less))
		}
		if got, want := Replay(append(less, other...)), Replay(append(list, other...)); !reflect.DeepEqual(got, want) {
			t.Fatalf("merged: got %+v, want %+v", got, want)
		}
	})
}

// TestTheSameIdTwiceIsTold: both count, so that no dose is lost.
func TestTheSameIdTwiceIsTold(t *testing.T) {
	list := history(t)
	e := list[8].Event // a dose
	other := *e.Dose
	other.Micrograms *= 2
	e.Dose = &other
	clash := recorded(t, e)
	b := Replay(append(list, clash)).Births[0]
	if b.Twice != 2 || len(b.Doses) != 3 || len(b.Log) != len(list)+1 || !b.IsTwice(clash) || b.IsTwice(list[0]) {
		t.Errorf("twice %d, doses %d, log %d", b.Twice, len(b.Doses), len(b.Log))
	}
	e.Birth = BirthID(deviceA, 13)
	elsewhere := recorded(t, e)
	if got := Replay(append(list, elsewhere)).Clashing(); !slices.Equal(got, []string{"k7qmz3wd-12", "k7qmz3wd-13"}) {
		t.Errorf("of two births: %q", got)
	}
	if got := Replay(append(list, clash)).Clashing(); !slices.Equal(got, []string{"k7qmz3wd-12"}) {
		t.Errorf("of one: %q", got)
	}
	if got := Replay(append(list, list...)).Clashing(); got != nil {
		t.Errorf("of none: %q", got)
	}
	if b := Replay(append(list, list...)).Births[0]; b.Twice != 0 {
		t.Errorf("the very same record again: %d", b.Twice)
	}
}

// TestADoubtStandsUntilSomebodyLooks through the record.
func TestADoubtStandsUntilSomebodyLooks(t *testing.T) {
	w := &Writer{Device: deviceA, Seq: 70, Lamport: 70}
	list := append(history(t), moving(t, KindDoubted))
	if b := Replay(list).Births[0]; !b.Doubted || !b.WasDoubted || b.Complete() || b.GivenKnown() {
		t.Errorf("doubted %v, complete %v", b.Doubted, b.Complete())
	}
	list = append(list, recorded(t, w.Next(list[0].Event.Birth, KindLookedThrough, clock)))
	if b := Replay(list).Births[0]; b.Doubted || !b.WasDoubted || !b.Complete() {
		t.Errorf("looked through: doubted %v, complete %v", b.Doubted, b.Complete())
	}
}
