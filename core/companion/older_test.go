package companion_test

import (
	"slices"
	"testing"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// TestRecordsOfOlderVersionsKeepTheirMeaning: a pulse of 0 was not to be felt,
// a layer and a closing came without a word on what was open, and pressures that
// were changed over were taken.
func TestRecordsOfOlderVersionsKeepTheirMeaning(t *testing.T) {
	disk := journaltest.New()
	j, _, err := journal.Open(disk)
	if err != nil {
		t.Fatal(err)
	}
	w := &birth.Writer{Device: "k7qmz3wd"}
	id := birth.BirthID(w.Device, 1)
	add := func(kind string, body func(*birth.Event)) {
		t.Helper()
		e := w.Next(id, kind, birth.Now{Wall: noon.UnixMilli(), Run: "old"})
		body(&e)
		r, err := e.Record()
		if err == nil {
			err = j.Append(r.Raw)
		}
		if err != nil || e.Schema > 2 {
			t.Fatalf("%s in schema %d: %v", kind, e.Schema, err)
		}
	}
	add(birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{BornAt: noon.UnixMilli(), BornKnown: true} })
	for _, a := range []birth.Answer{
		{Question: "pulse", Kind: birth.AnswerNumber},
		{Question: "systolic", Kind: birth.AnswerNumber, Number: 80},
		{Question: "diastolic", Kind: birth.AnswerNumber, Number: 120},
		{Question: "uterus_firm", Kind: birth.AnswerChoice, Value: "no"},
		{Question: "pain_relief", Kind: birth.AnswerChoice, Value: "none"},
		{Question: "urine_passed", Kind: birth.AnswerTime, At: noon.UnixMilli()},
		{Question: "tampon", Kind: birth.AnswerChoice, Value: "in"},
	} {
		add(birth.KindAnswer, func(e *birth.Event) { e.Answer = &a })
	}
	add(birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: "perineal_skin", Done: true} })
	c := open(t, disk)
	r := walk(t, c, id)
	for _, key := range []string{"alarm_crisis", "pressure_again", "not_firm", "tampon_inside", "count_never"} {
		if !slices.Contains(r.Warnings, key) {
			t.Errorf("no warning %s in %q", key, r.Warnings)
		}
	}
	if r.Alarm != "crisis" || r.Stage != "safe" {
		t.Errorf("alarm %s, stage %s", r.Alarm, r.Stage)
	}
	add(birth.KindClosed, func(*birth.Event) {})
	c = open(t, disk)
	b := show(t, c, id)
	if !b.Closed || len(b.Layers) != 1 || len(b.Despites) != 0 || !slices.Contains(b.StillOpen, "tampon_inside") || !slices.Contains(b.StillOpen, "count_never") {
		t.Errorf("closed by an older version: %+v, still open %q", b.Despites, b.StillOpen)
	}
	if b.Newer != 0 {
		t.Errorf("an older record is taken for a newer one: %d lines", b.Newer)
	}
}
