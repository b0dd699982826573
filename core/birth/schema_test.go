package birth

import (
	"bytes"
	"errors"
	"testing"
)

// TestAnOlderReader reads what this version writes as a program of schema 1
// does: what was there in its day it takes in full, the rest it keeps and
// counts, and then it settles nothing.
func TestAnOlderReader(t *testing.T) {
	var list []Record
	newer := 0
	for _, r := range history(t) {
		got, err := decode(r.Raw, 1)
		if err != nil {
			t.Errorf("%s is refused, as damage would be: %v", r.Event.Kind, err)
			continue
		}
		if !bytes.Equal(got.Raw, r.Raw) || got.Newer != (r.Event.Schema >= 2) {
			t.Errorf("%s in schema %d: newer %v", r.Event.Kind, r.Event.Schema, got.Newer)
		}
		if got.Newer {
			newer++
		}
		list = append(list, got)
	}
	if b := Replay(list).Births[0]; newer != 9 || b.Unknown != newer || b.GivenKnown() || len(b.Doses) != 2 || b.Findings.RectalExam != "done" {
		t.Errorf("%d of a newer version, state %+v", newer, b)
	}
}

// TestEachKindKeepsItsSchema: the kinds of schema 1 are written in 1 for ever.
func TestEachKindKeepsItsSchema(t *testing.T) {
	for _, r := range append(history(t), deletion(t, 40, deviceB), moving(t, KindMoved), moving(t, KindDoubted)) {
		want := map[string]uint8{KindAnswer: 2, KindCount: 2, KindLayer: 2, KindVisit: 2, KindDespite: 3, KindLookedThrough: 3, KindDeleted: 4, KindMoved: 4, KindDoubted: 4}[r.Event.Kind]
		if want = max(want, 1); r.Event.Schema != want {
			t.Errorf("%s is written in schema %d", r.Event.Kind, r.Event.Schema)
		}
		wrong := bytes.Replace(r.Raw, []byte{0xa1, 'v', want}, []byte{0xa1, 'v', want%Schema + 1}, 1)
		if _, err := Decode(wrong); bytes.Equal(wrong, r.Raw) || !errors.Is(err, ErrMalformed) {
			t.Errorf("%s in the other schema, which nobody writes: %v", r.Event.Kind, err)
		}
	}
}

// TestWhatWasLeftOpenBelongsToOneClosing: to the event right after it, by the
// same device; opened again, and closed with nothing open, it is gone.
func TestWhatWasLeftOpenBelongsToOneClosing(t *testing.T) {
	w := &Writer{Device: deviceA}
	var list []Record
	write := func(kind string) Birth {
		e := w.Next(BirthID(deviceA, 1), kind, clock)
		if kind == KindDespite {
			e.Despite = &Despite{Deed: DeedClosed, Open: []string{"count_open"}}
		}
		list = append(list, recorded(t, e))
		return Replay(list).Births[0]
	}
	if b := write(KindDespite); b.LeftOpen != nil || len(b.Despites) != 1 {
		t.Errorf("not closed: %+v", b)
	}
	if b := write(KindClosed); len(b.LeftOpen) != 1 || b.LeftOpen[0] != "count_open" {
		t.Errorf("closed: %+v", b.LeftOpen)
	}
	if b := write(KindReopened); b.LeftOpen != nil {
		t.Errorf("opened again: %+v", b.LeftOpen)
	}
	if b := write(KindClosed); b.LeftOpen != nil || len(b.Despites) != 1 {
		t.Errorf("closed with nothing open: %+v", b.LeftOpen)
	}
}

func TestTheLastAnswerStandsAndMayBeTakenBack(t *testing.T) {
	w := &Writer{Device: deviceA}
	var list []Record
	say := func(a Answer) *Answered {
		e := w.Next(BirthID(deviceA, 1), KindAnswer, Now{Wall: clock.Wall - int64(w.Seq)}) // the clock runs backwards
		e.Answer = &a
		list = append(list, recorded(t, e))
		b := Replay(list).Births[0]
		return b.AnswerTo("light")
	}
	if a := say(Answer{Question: "light", Kind: AnswerChoice, Value: "no"}); a.Value != "no" || a.Place != 0 {
		t.Errorf("%+v", a)
	}
	if a := say(Answer{Question: "light", Kind: AnswerChoice, Value: "yes"}); a.Value != "yes" || a.Place != 1 {
		t.Errorf("%+v", a)
	}
	if a := say(Answer{Question: "light", Kind: AnswerTakenBack}); a != nil {
		t.Errorf("taken back, and still %+v", a)
	}
	if b := Replay(list).Births[0]; b.Answers != nil || len(b.Log) != 3 {
		t.Errorf("%+v", b)
	}
}

// TestNewerAnswersTakeOlderOnesBack: as for findings, what this version cannot
// read must not leave an older answer standing.
func TestNewerAnswersTakeOlderOnesBack(t *testing.T) {
	w := &Writer{Device: deviceA}
	old := w.Next(BirthID(deviceA, 1), KindAnswer, clock)
	old.Answer = &Answer{Question: "tampon", Kind: AnswerChoice, Value: "out"}
	later := w.Next(old.Birth, KindAnswer, clock)
	later.Schema, later.Answer = Schema+1, &Answer{Question: "tampon", Kind: "choices"}
	raw, err := later.MarshalMsg(nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := Decode(raw)
	if err != nil || !r.Newer {
		t.Fatalf("%+v, %v", r, err)
	}
	if b := Replay([]Record{recorded(t, old), r}).Births[0]; b.AnswerTo("tampon") != nil || b.Unknown != 1 {
		t.Errorf("%+v", b.Answers)
	}
}
