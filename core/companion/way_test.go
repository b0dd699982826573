package companion_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

func walk(t testing.TB, c *companion.Companion, id string) companion.WalkReply {
	t.Helper()
	return ask[*companion.BirthRequest, companion.WalkReply](t, c, "course.walk", &companion.BirthRequest{Birth: id})
}

func counts(t testing.TB, c *companion.Companion, id string) companion.CountsReply {
	t.Helper()
	return ask[*companion.BirthRequest, companion.CountsReply](t, c, "birth.counts", &companion.BirthRequest{Birth: id})
}

// closed closes a record, knowing all that is open in it.
func closed(t testing.TB, c *companion.Companion, id string) {
	t.Helper()
	save(t, c, "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: show(t, c, id).StillOpen})
}

// layerDone writes a layer down, whatever gates are open.
func layerDone(t testing.TB, c *companion.Companion, id, layer string) {
	t.Helper()
	save(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: layer, Done: true, Despite: openGates(walk(t, c, id))})
}

func openGates(w companion.WalkReply) (keys []string) {
	for _, g := range w.BeforeLayer {
		keys = append(keys, g.Key)
	}
	return keys
}

// say answers questions with words; the clock stands still in most tests, so a
// pinch is confirmed.
func say(t testing.TB, c *companion.Companion, id string, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: pairs[i], Value: pairs[i+1], Confirmed: pairs[i] == "numb_felt"})
	}
}

func number(n int) *int { return &n }

func found(t testing.TB, c *companion.Companion, id string, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: pairs[i], Value: pairs[i+1]})
	}
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
}

var secondDegree = []string{"episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn",
	"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact"}

func safe(t testing.TB, c *companion.Companion, id string) {
	t.Helper()
	say(t, c, id, "arrived_from", "here", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "yes", "bleeding_looked", "settled",
		"loss_ml", "not_measured", "systolic", "not_measured", "instrumental", "none", "genital_cutting", "no", "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", "local")
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: number(88)})
}

func count(phase string, id string, items ...companion.CountLine) *companion.CountRequest {
	return &companion.CountRequest{Birth: id, Phase: phase, Items: items}
}

// numbed writes the limit and an injection.
func numbed(t testing.TB, c *companion.Companion, id string) {
	t.Helper()
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	save(t, c, "birth.note_limit", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
}

// TestSecondDegreeFromFirstToLast walks the straight way, stage by stage.
func TestSecondDegreeFromFirstToLast(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	at := func(stage string) {
		t.Helper()
		if w := walk(t, c, id); w.Stage != stage {
			t.Fatalf("stage %s, want %s: %+v", w.Stage, stage, w.Stages)
		}
	}
	at("safe")
	safe(t, c, id)
	at("examine")
	found(t, c, id, secondDegree...)
	at("decide")
	say(t, c, id, "decision", "repair_here", "consent_repair", "yes")
	at("prepare")
	save(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: 5}, companion.CountLine{Item: "needle", N: 2}))
	say(t, c, id, "laid_out", "yes")
	at("numb")
	numbed(t, c, id)
	say(t, c, id, "numb_felt", "yes")
	at("numb")
	say(t, c, id, "numb_felt", "no")
	at("again")
	say(t, c, id, "looked_again", "same")
	at("repair")
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "2", StrengthPercent: "1"})
	at("numb") // more was needed: test anew, look anew
	say(t, c, id, "numb_felt", "no")
	at("again")
	say(t, c, id, "looked_again", "same")
	for _, layer := range []string{"vaginal_mucosa", "perineal_muscle", "perineal_skin"} {
		at("repair")
		save(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: layer, Done: true})
	}
	at("check")
	save(t, c, "birth.count", count("out", id, companion.CountLine{Item: "swab", N: 5}, companion.CountLine{Item: "needle", N: 2}))
	say(t, c, id, "tampon", "none", "rectal_after", "done", "stitch_felt", "no", "final_firm", "yes", "final_bleeding", "settled")
	at("after")
	say(t, c, id, "allergy", "none", "breastfeeding", "yes", "medicines_seen", "yes", "advice_told", "yes")
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "urine_passed", At: noon.Format(time.RFC3339)})
	at("visits")
	say(t, c, id, "today_right", "yes")
	save(t, c, "birth.visit", &companion.VisitRequest{Birth: id, Key: "day_3", Date: "2026-03-17", Confirmed: true})
	at("done")
	for _, g := range walk(t, c, id).Gates {
		if g.State != "passed" {
			t.Errorf("gate %+v", g)
		}
	}
	b := show(t, c, id)
	if b.Where != "done" || len(b.Answers) < 20 || len(b.Layers) != 3 || b.Visits[0].Date != "2026-03-17" {
		t.Errorf("the record shows %+v", b)
	}
	if again := show(t, open(t, disk), id); len(again.Log) != len(b.Log) || again.Where != "done" {
		t.Errorf("opened again: %s, %d lines of %d", again.Where, len(again.Log), len(b.Log))
	}
	list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{})
	if s := list.Births[0]; s.Where != "done" || len(s.Overdue) != 0 {
		t.Errorf("the list says %q, overdue %q", s.Where, s.Overdue)
	}
	closed(t, c, id)
	if list = ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}); list.Births[0].Where != "closed" {
		t.Errorf("closed, and the list says %q", list.Births[0].Where)
	}
}

// TestCountFirstCompareAfter: no number that went in is anywhere in a reply
// before all of it was counted out.
func TestCountFirstCompareAfter(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	swabs := func(n int) companion.CountLine { return companion.CountLine{Item: "swab", N: n} }
	needles := func(n int) companion.CountLine { return companion.CountLine{Item: "needle", N: n} }
	blind := func(when string) {
		t.Helper()
		r := counts(t, c, id)
		if r.Compared || r.Complete || r.Items != nil || r.Missing != nil || r.Extra != nil || len(r.OutOpen) == 0 {
			t.Errorf("%s: %+v", when, r)
		}
		for _, l := range show(t, c, id).Log {
			if l.Kind == "count" && (l.Counted != nil || l.Value != "") {
				t.Errorf("%s: the record says %+v", when, l)
			}
		}
	}
	save(t, c, "birth.count", count("in", id, swabs(10), needles(2)))
	blind("counted in")
	save(t, c, "birth.count", count("added", id, swabs(5)))
	blind("added")
	save(t, c, "birth.count", count("out", id, swabs(15)))
	blind("swabs counted out, needles not")
	save(t, c, "birth.count", count("out", id, needles(1)))
	r := counts(t, c, id)
	if !r.Compared || r.Complete || len(r.Missing) != 1 || r.Missing[0] != (companion.PieceReply{Item: "needle", Count: 1}) || r.Items[1] != (companion.CountedLine{Item: "swab", In: 15, Out: 15}) {
		t.Errorf("%+v", r)
	}
	if l := show(t, c, id).Log[1]; len(l.Counted) != 2 || l.Counted[0] != swabs(10) {
		t.Errorf("after the count the record keeps no number: %+v", l)
	}
	save(t, c, "birth.count", count("added", id, swabs(5)))
	blind("added after counting out")
	save(t, c, "birth.count", count("out", id, swabs(20), needles(2)))
	if r := counts(t, c, id); !r.Complete || r.Missing != nil || r.Extra != nil {
		t.Errorf("%+v", r)
	}
	layerDone(t, c, id, "perineal_skin")
	blind("stitched after counting out")
}

// TestFewerInIsAskedAbout: putting the count in right downwards could hide what
// is still in her.
func TestFewerInIsAskedAbout(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: 10}))
	fewer := count("in", id, companion.CountLine{Item: "needle", N: 1}, companion.CountLine{Item: "swab", N: 9})
	refused(t, c, "birth.count", fewer, "confirm_lower", "items.1.n")
	fewer.Confirmed = true
	save(t, c, "birth.count", fewer)
}

// TestATamponLeftOnPurposeIsAccountedFor: with number, hour and receiver.
func TestATamponLeftOnPurposeIsAccountedFor(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	in := []companion.CountLine{{Item: "swab", N: 5}, {Item: "needle", N: 1}, {Item: "tampon", N: 1}}
	save(t, c, "birth.count", count("in", id, in...))
	out := slices.Clone(in)
	out[2].N = 0
	save(t, c, "birth.count", count("out", id, out...))
	say(t, c, id, "tampon", "left")
	if r := counts(t, c, id); r.Complete {
		t.Errorf("left, and nothing told: %+v", r)
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_number", Number: number(1)})
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_at", At: noon.Format(time.RFC3339)})
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_receiver", Text: "night shift"})
	r := counts(t, c, id)
	if !r.Complete || r.Items[2] != (companion.CountedLine{Item: "tampon", In: 1, Out: 1, Left: 1}) {
		t.Errorf("%+v", r)
	}
	if w := walk(t, c, id); !slices.Contains(w.Warnings, "tampon_inside") {
		t.Errorf("a tampon is in her, and nothing warns: %q", w.Warnings)
	}
	say(t, c, id, "tampon", "out")
	if counts(t, c, id).Complete {
		t.Error("it is out, and was not counted out")
	}
}

// TestAGradeThatChangesOnceNumb: plan, operator and referral are asked anew,
// and what changed is said.
func TestAGradeThatChangesOnceNumb(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	safe(t, c, id)
	found(t, c, id, secondDegree...)
	say(t, c, id, "trained_operator_here", "yes", "decision", "repair_here", "consent_repair", "yes", "laid_out", "yes")
	save(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: 5}, companion.CountLine{Item: "needle", N: 2}))
	numbed(t, c, id)
	say(t, c, id, "numb_felt", "no", "looked_again", "changed")
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "external_sphincter", Value: "half_or_more"})
	w := walk(t, c, id)
	if w.Stage != "examine" || w.WasGrade != "2" || w.Grade != "3b" || strings.Join(w.Changed, " ") != "external_sphincter grade treat_as" {
		t.Errorf("%+v", w)
	}
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	w = walk(t, c, id)
	if w.Stage != "decide" || strings.Join(w.Stages[2].Ask, " ") != "trained_operator_here decision" || w.WasGrade != "2" {
		t.Errorf("yesterday's operator counts for today's grade: %+v", w)
	}
	say(t, c, id, "trained_operator_here", "no", "decision", "refer", "allergy", "none", "transport", "found", "told_receiver", "yes")
	w = walk(t, c, id)
	if w.Stage != "check" || !slices.Contains(w.Ways, "refer") || len(w.Changed) != 0 {
		t.Errorf("%+v", w)
	}
}

func TestAnswersAreRefused(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	for _, x := range []struct {
		q           companion.AnswerRequest
		code, field string
	}{
		{companion.AnswerRequest{Question: "hair", Value: "yes"}, "question_unknown", "question"},
		{companion.AnswerRequest{Question: "light"}, "key_missing", "value"},
		{companion.AnswerRequest{Question: "light", Value: "perhaps"}, "word_unknown", "value"},
		{companion.AnswerRequest{Question: "light", Number: number(1)}, "answer_kind", "question"},
		{companion.AnswerRequest{Question: "light", Value: "yes", TakeBack: true}, "answer_kind", "question"},
		{companion.AnswerRequest{Question: "pulse", Value: "yes"}, "word_unknown", "value"},
		{companion.AnswerRequest{Question: "pulse", Number: number(19)}, "out_of_range", "number"},
		{companion.AnswerRequest{Question: "pulse", Number: number(301)}, "out_of_range", "number"},
		{companion.AnswerRequest{Question: "pulse", Number: number(-1)}, "out_of_range", "number"},
		{companion.AnswerRequest{Question: "tampon_number", Number: number(0)}, "out_of_range", "number"},
		{companion.AnswerRequest{Question: "urine_passed", At: "soon"}, "time_malformed", "at"},
		{companion.AnswerRequest{Question: "urine_passed", At: "2026-03-14T13:00:00Z"}, "time_in_future", "at"},
		{companion.AnswerRequest{Question: "urine_passed", At: "2025-03-14T13:00:00Z"}, "time_too_long_ago", "at"},
		{companion.AnswerRequest{Question: "tampon_receiver", Text: strings.Repeat("a", 61)}, "too_long", "text"},
		{companion.AnswerRequest{Question: "tampon_receiver", Text: "two\nlines"}, "word_unknown", "answer"},
	} {
		x.q.Birth = id
		refused(t, c, "birth.answer", &x.q, x.code, x.field)
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "systolic", Number: number(90)})
	for _, x := range []struct {
		question string
		n        int
		code     string
	}{{"pulse", 0, "zero_in_words"}, {"systolic", 0, "zero_in_words"}, {"second_diastolic", 0, "zero_in_words"}, {"diastolic", 90, "pressure_implausible"}, {"second_diastolic", 120, "pressure_implausible"}} {
		refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: x.question, Number: number(x.n)}, x.code, "number")
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "systolic", TakeBack: true})
	refused(t, c, "birth.count", count("between", id, companion.CountLine{Item: "swab"}), "word_unknown", "phase")
	refused(t, c, "birth.count", count("in", id), "key_missing", "items")
	refused(t, c, "birth.count", count("in", id, companion.CountLine{Item: "spoon", N: 1}), "item_unknown", "items.0.item")
	refused(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: -1}), "out_of_range", "items.0.n")
	refused(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab"}, companion.CountLine{Item: "swab"}), "item_twice", "items.1.item")
	refused(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: "hymen", Done: true}, "layer_unknown", "layer")
	refused(t, c, "birth.visit", &companion.VisitRequest{Birth: id, Key: "day_3", Date: "17.3."}, "time_malformed", "date")
	if n := len(show(t, c, id).Log); n != 3 { // opened, and the pressure
		t.Errorf("%d lines written by what was refused", n-3)
	}
	say(t, c, id, "pulse", "none")
	if w := walk(t, c, id); w.Alarm != "crisis" || !slices.Equal(w.AlarmOn, []string{"no_pulse"}) {
		t.Errorf("no pulse to be felt: %+v", w)
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", TakeBack: true})
	if a := show(t, c, id).Answers; len(a) != 0 {
		t.Errorf("taken back: %+v", a)
	}
	closed(t, c, id)
	refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "light", Value: "yes"}, "birth_closed", "birth")
}

// TestOverdueIsOnTheList: first urine within six hours (WHO 2022), an hour of
// birth that nobody knows counted from the opening at the latest.
func TestOverdueIsOnTheList(t *testing.T) {
	for _, hour := range []string{"now", "not_known"} {
		running := time.Hour
		h := host(journaltest.New())
		h.Running = func() time.Duration { return running }
		c, err := companion.Open(h)
		if err != nil {
			t.Fatal(err)
		}
		save(t, c, "birth.open", &companion.OpenRequest{Born: hour})
		overdue := func() []string {
			return ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}).Births[0].Overdue
		}
		if got := overdue(); len(got) != 0 {
			t.Errorf("%s: %q at once", hour, got)
		}
		running += 6 * time.Hour // the wall clock stands
		if got := overdue(); !slices.Contains(got, "first_urine") || !slices.Contains(got, "second_pressure") {
			t.Errorf("%s: after six hours %q", hour, got)
		}
	}
}
