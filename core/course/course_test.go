package course

import (
	"slices"
	"strings"
	"testing"

	"fourchette/core/tear"
)

func TestTheTableIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, q := range Questions() {
		if seen[q.Key] || !slices.Contains(StageKeys(), q.Stage) {
			t.Errorf("%s of stage %q", q.Key, q.Stage)
		}
		seen[q.Key] = true
		if q.Kind == Choice && len(q.Words) == 0 || q.Kind == Number && q.Most == 0 || q.Kind == Text && q.Most == 0 {
			t.Errorf("%+v", q)
		}
		if found, ok := Find(q.Key); !ok || found.Key != q.Key {
			t.Errorf("%s is not found", q.Key)
		}
	}
	if _, ok := Find("rescue"); ok || len(seen) < 30 {
		t.Errorf("%d questions", len(seen))
	}
}

// TestEveryAskCanBeAnswered: nothing is asked that is neither in the table nor
// one of the things that are done; nothing asked speaks of a rescue.
func TestEveryAskCanBeAnswered(t *testing.T) {
	done := []string{AskRectalExam, AskWeight, AskPrior, AskLabel, AskCountIn, AskCountOut, "note_grade", "second_look", "found_now", "inject", "layer", "visit",
		tear.PerinealSkin, tear.VaginalMucosa, tear.PerinealMuscle, tear.ExternalSphincter, tear.InternalSphincter, tear.AnorectalMucosa}
	for _, c := range cases() {
		p := Walk(c.facts)
		var all []string
		for _, s := range p.Stages {
			all = append(all, s.Ask...)
		}
		for _, g := range p.Gates {
			all = append(all, g.Ask...)
		}
		for _, key := range all {
			if _, ok := Find(key); !ok && !slices.Contains(done, key) || strings.Contains(key, "rescue") {
				t.Errorf("%s asks %q, which nobody can answer", c.name, key)
			}
		}
	}
}

type way struct {
	name  string
	facts Facts
	stage string
	open  string // gates that are open
}

func facts(f tear.Findings, change func(*Facts)) Facts {
	all := Facts{Findings: f, Verdict: tear.Judge(f), GradeChanged: 0, Opened: 0, Born: -1, Moments: []Moment{{}}}
	change(&all)
	return all
}

// answers appends answers, each after what was there before.
func answers(f *Facts, pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		f.Answers = slices.DeleteFunc(f.Answers, func(a Answer) bool { return a.Question == pairs[i] })
		f.Moments = append(f.Moments, Moment{})
		f.Answers = append(f.Answers, Answer{Question: pairs[i], Value: pairs[i+1], Number: 1, At: 1, Place: len(f.Moments) - 1})
	}
}

var safeNow = []string{"arrived_from", "here", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "yes", "bleeding_looked", "settled",
	"loss_ml", "", "pulse", "", "systolic", "", "instrumental", "none", "genital_cutting", "no", "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", "local"}

var (
	whole  = tear.Findings{PerinealSkin: "intact", VaginalMucosa: "intact", PerinealMuscle: "intact", ExternalSphincter: "intact", InternalSphincter: "intact", AnorectalMucosa: "intact", RectalExam: "done"}
	second = tear.Findings{PerinealSkin: "torn", VaginalMucosa: "torn", PerinealMuscle: "torn", ExternalSphincter: "intact", InternalSphincter: "intact", AnorectalMucosa: "intact", RectalExam: "done"}
	third  = tear.Findings{PerinealSkin: "torn", VaginalMucosa: "torn", PerinealMuscle: "torn", ExternalSphincter: "half_or_more", InternalSphincter: "intact", AnorectalMucosa: "intact", RectalExam: "done"}
)

func noted(f *Facts) {
	f.Moments = append(f.Moments, Moment{})
	f.Notes, f.NoteStands = append(f.Notes, Note{len(f.Moments) - 1, f.Findings, f.Verdict}), true
}

func cases() []way {
	safe := func(more ...string) func(*Facts) {
		return func(f *Facts) { answers(f, safeNow...); noted(f); answers(f, more...) }
	}
	return []way{
		{"nothing said", facts(tear.Findings{}, func(*Facts) {}), Safe, "consent rectal_before ceiling counted_in counted_out tampon rectal_after final_check"},
		{"not firm", facts(second, safe("uterus_firm", "no")), Safe, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"safe", facts(tear.Findings{}, func(f *Facts) { answers(f, safeNow...) }), Examine, "rectal_before ceiling counted_in counted_out tampon rectal_after final_check"},
		{"nothing torn", facts(whole, safe()), Check, "tampon final_check"},
		{"second degree, to be decided", facts(second, safe()), Decide, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"repair without her yes", facts(second, safe("decision", "repair_here")), Decide, "consent ceiling counted_in counted_out tampon rectal_after final_check"},
		{"repair here", facts(second, safe("decision", "repair_here", "consent_repair", "yes")), Prepare, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"she wants no repair", facts(second, safe("decision", "repair_here", "consent_repair", "declined")), Check, "tampon final_check"},
		{"third degree without an operator", facts(third, safe("trained_operator_here", "no", "decision", "repair_here")), Decide, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"third degree, nobody asked for one", facts(third, safe("decision", "repair_here")), Decide, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"third degree with one", facts(third, safe("trained_operator_here", "yes", "decision", "repair_here", "consent_repair", "yes")), Prepare, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"referred, nobody told", facts(third, safe("trained_operator_here", "no", "decision", "refer", "transport", "found")), Decide, "tampon final_check"},
		{"referred, allergy not asked", facts(third, safe("trained_operator_here", "no", "decision", "refer", "transport", "found", "told_receiver", "yes")), Decide, "tampon final_check"},
		{"cannot travel, allergy not asked", facts(third, safe("trained_operator_here", "no", "decision", "cannot_travel")), Decide, "tampon final_check"},
		{"referred", facts(third, safe("trained_operator_here", "no", "decision", "refer", "allergy", "none", "transport", "found", "told_receiver", "yes", "tampon", "none", "final_firm", "yes", "final_bleeding", "settled")), Done, ""},
		{"cannot travel, nobody says why", facts(third, safe("trained_operator_here", "no", "decision", "cannot_travel", "allergy", "none")), Decide, "tampon final_check"},
		{"cannot travel", facts(third, safe("trained_operator_here", "no", "decision", "cannot_travel", "travel_barrier", "road", "allergy", "unknown", "tampon", "none", "final_firm", "yes", "final_bleeding", "settled")), After, ""},
		{"examination refused", facts(tear.Findings{}, func(f *Facts) {
			answers(f, safeNow...)
			answers(f, "consent_exam", "declined", "trained_operator_here", "yes", "decision", "leave_open")
		}), Check, "tampon final_check"},
		{"refused and yet repaired", facts(tear.Findings{}, func(f *Facts) {
			answers(f, safeNow...)
			answers(f, "consent_exam", "declined", "trained_operator_here", "yes", "decision", "repair_here", "consent_repair", "yes")
		}), Decide, "ceiling counted_in counted_out tampon rectal_after final_check"},
		{"other pain relief", facts(second, safe("pain_relief", "working", "decision", "repair_here", "consent_repair", "yes")), Prepare, "counted_in counted_out tampon rectal_after final_check"},
		{"tampon left without a receiver", facts(whole, safe("tampon", "left", "tampon_number", "", "tampon_at", "", "final_firm", "yes", "final_bleeding", "settled")), Check, "tampon"},
		{"tampon left", facts(whole, safe("tampon", "left", "tampon_number", "", "tampon_at", "", "tampon_why", "other", "tampon_receiver", "", "final_firm", "yes", "final_bleeding", "settled")), After, ""},
		{"tampon left, nobody says why", facts(whole, safe("tampon", "left", "tampon_number", "", "tampon_at", "", "tampon_receiver", "", "final_firm", "yes", "final_bleeding", "settled")), Check, "tampon"},
		{"told before it was said that it stays", facts(whole, safe("tampon_number", "", "tampon_at", "", "tampon_receiver", "", "tampon", "left", "final_firm", "yes", "final_bleeding", "settled")), Check, "tampon"},
	}
}

func TestWays(t *testing.T) {
	for _, c := range cases() {
		p := Walk(c.facts)
		var open []string
		for _, g := range p.Gates {
			if g.State == GateOpen {
				open = append(open, g.Key)
			}
			if (g.State == GateOpen) != (len(g.Ask) > 0) {
				t.Errorf("%s: gate %+v", c.name, g)
			}
		}
		if p.Stage != c.stage || strings.Join(open, " ") != c.open {
			t.Errorf("%s: stage %s, open %q\nwant %s, %q", c.name, p.Stage, strings.Join(open, " "), c.stage, c.open)
		}
	}
}

// TestAChangedGradeAsksAnew: decision, operator and lay-out rested on the old
// one; what was counted in is still on the table.
func TestAChangedGradeAsksAnew(t *testing.T) {
	f := facts(second, func(f *Facts) {
		answers(f, safeNow...)
		noted(f)
		answers(f, "trained_operator_here", "yes", "decision", "repair_here", "consent_repair", "yes", "laid_out", "yes")
		f.Counts = []Count{{In, []CountItem{{"swab", 5}, {"needle", 1}}, len(f.Moments)}}
		f.Moments = append(f.Moments, Moment{})
		f.WeightSaid, f.PriorSaid, f.LimitStands, f.Injections = true, true, true, []int{len(f.Moments)}
		f.Moments = append(f.Moments, Moment{})
		answers(f, "numb_felt", "no", "looked_again", "changed")
	})
	if p := Walk(f); p.Stage != Again {
		t.Errorf("changed, and stage %s", p.Stage)
	}
	noted(&f)
	if p := Walk(f); p.Stage != Again || !slices.Equal(p.Stages[5].Ask, []string{"found_now"}) {
		t.Errorf("the old grade was written once more, and stage %s asks %q", p.Stage, p.Stages[5].Ask)
	}
	f.Findings, f.Verdict, f.GradeChanged, f.NoteStands = third, tear.Judge(third), len(f.Moments), false
	f.Found = f.GradeChanged
	f.Moments = append(f.Moments, Moment{})
	if p := Walk(f); p.Stage != Examine || p.Was.Verdict.Grade != tear.Second || !slices.Equal(p.Changed, []string{"external_sphincter", "grade", "treat_as"}) {
		t.Errorf("stage %s, changed %q", p.Stage, p.Changed)
	}
	noted(&f)
	p := Walk(f)
	if p.Stage != Decide || !slices.Equal(p.Stages[2].Ask, []string{"trained_operator_here", "decision"}) || len(p.Changed) == 0 {
		t.Errorf("stage %s asks %q, changed %q", p.Stage, p.Stages[2].Ask, p.Changed)
	}
	answers(&f, "decision", "repair_here")
	if p := Walk(f); !slices.Equal(p.Stages[2].Ask, []string{"trained_operator_here", "decision"}) || !slices.Contains(p.Warnings, OperatorUnknown) {
		t.Errorf("decided on an operator of before: asks %q, warns %q", p.Stages[2].Ask, p.Warnings)
	}
	answers(&f, "trained_operator_here", "yes")
	p = Walk(f)
	if p.Stage != Prepare || !slices.Equal(p.Stages[3].Ask, []string{"laid_out"}) || p.Changed != nil {
		t.Errorf("stage %s asks %q, changed %q", p.Stage, p.Stages[3].Ask, p.Changed)
	}
}

func TestCountsAreComparedOnlyAfterTheLastStitch(t *testing.T) {
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(second), Moments: make([]Moment, 9)}
	f.Counts = []Count{
		{In, []CountItem{{"swab", 5}, {"needle", 1}, {"tampon", 1}}, 0}, {Added, []CountItem{{"swab", 5}}, 1},
		{Out, []CountItem{{"swab", 10}, {"tampon", 0}}, 3},
	}
	f.Layers = []Layer{{"perineal_skin", true, 2}}
	if f.OutKnown() {
		t.Error("needles were not counted out")
	}
	f.Counts = append(f.Counts, Count{Out, []CountItem{{"needle", 1}}, 4})
	f.Answers = []Answer{{Question: "tampon", Value: "left", Place: 5}, {Question: "tampon_number", Number: 1, Place: 6}, {Question: "tampon_at", At: 1, Place: 7}}
	if got := f.Tallies()[2]; !f.OutKnown() || got.Item != "tampon" || got.Out != 0 {
		t.Errorf("%+v", f.Tallies())
	}
	f.Answers = append(f.Answers, Answer{Question: "tampon_receiver", Text: "night shift", Place: 8})
	if got := f.Tallies()[2]; got.Out != 1 || got.Left != 1 || f.Tallies()[1].In != 10 {
		t.Errorf("left on purpose with all that must be told: %+v", f.Tallies())
	}
	f.Layers[0].Place = 8
	if f.OutKnown() {
		t.Error("another stitch, and the old count still stands")
	}
}

// TestALayerTakenBackIsNoStitch: a slip of the finger asks for nothing more.
func TestALayerTakenBackIsNoStitch(t *testing.T) {
	f := facts(whole, func(f *Facts) { answers(f, safeNow...); noted(f) })
	f.Layers = []Layer{{"perineal_skin", false, len(f.Moments)}}
	f.Moments = append(f.Moments, Moment{})
	if g := Walk(f).Gates[6]; g.Key != RectalAfter || g.State != GateNotNeeded {
		t.Errorf("%+v", g)
	}
}

// TestNotCountedIsNotNought: swabs balance, needles nobody counted.
func TestNotCountedIsNotNought(t *testing.T) {
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(second), Moments: make([]Moment, 9), Reconciled: true}
	f.Layers = []Layer{{"perineal_skin", true, 1}}
	f.Counts = []Count{{In, []CountItem{{"swab", 5}}, 0}, {Out, []CountItem{{"swab", 5}}, 2}}
	if g := Walk(f).Gates[4]; g.State != GateOpen || g.Ask[0] != AskCountIn {
		t.Errorf("%+v", g)
	}
	before := append(f.Counts, Count{In, []CountItem{{"needle", 0}}, 0})
	if f.Counts = before; Walk(f).Gates[4].State != GatePassed {
		t.Errorf("none was opened: %+v", Walk(f).Gates[4])
	}
}

// TestCountedInAfterTheStitches: made up to come out even. It is searched for,
// and the warning stands, also where the last word on the layer is a later one.
func TestCountedInAfterTheStitches(t *testing.T) {
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(second), Moments: make([]Moment, 9), Reconciled: true}
	f.Layers, f.Stitches = []Layer{{"perineal_skin", true, 4}}, []int{1, 4}
	f.Counts = []Count{{In, []CountItem{{"swab", 5}, {"needle", 2}}, 2}, {Out, []CountItem{{"swab", 5}, {"needle", 2}}, 5}}
	if g := Walk(f).Gates[4]; g.Key != CountedOut || g.State != GateOpen || g.Ask[0] != "final_count_search" || !slices.Contains(Walk(f).Warnings, CountedLate) {
		t.Errorf("%+v, %q", g, Walk(f).Warnings)
	}
	f.Answers = []Answer{{Question: "final_count_search", Value: "not_found", Place: 6}}
	if w := Walk(f); w.Gates[4].State != GatePassed || !slices.Contains(w.Warnings, CountedLate) || slices.Contains(w.Warnings, PieceMissing) {
		t.Errorf("searched: %+v, %q", w.Gates[4], w.Warnings)
	}
	f.Counts[0].Place = 0
	f.Counts = append(f.Counts, Count{Added, []CountItem{{"swab", 0}}, 3})
	if f.CountedLate() {
		t.Error("counted in before, and opened since")
	}
}

// TestANoIsNoLeaveToStitch: declined passes the gate of consent, and no longer
// once a layer was closed against it.
func TestANoIsNoLeaveToStitch(t *testing.T) {
	for _, q := range []string{"consent_exam", "consent_repair"} {
		f := facts(second, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "decision", "repair_here", "consent_repair", "yes")
		})
		answers(&f, q, "declined")
		warning := map[string]string{"consent_exam": ExamDeclined, "consent_repair": RepairDeclined}[q]
		if w := Walk(f); w.Gates[0].State != GatePassed || !slices.Contains(w.Warnings, warning) {
			t.Errorf("%s declined: %+v, %q", q, w.Gates[0], w.Warnings)
		}
		f.Layers = []Layer{{"perineal_skin", true, len(f.Moments)}}
		f.Moments = append(f.Moments, Moment{})
		if g := Walk(f).Gates[0]; g.State != GateOpen || !slices.Contains(g.Ask, q) {
			t.Errorf("%s declined, and stitched: %+v", q, g)
		}
	}
}

// TestAMissingPieceIsSearchedFor: never silently closed.
func TestAMissingPieceIsSearchedFor(t *testing.T) {
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(second), Moments: make([]Moment, 9)}
	f.Layers = []Layer{{"perineal_skin", true, 1}}
	f.Counts = []Count{{In, []CountItem{{"swab", 5}, {"needle", 1}}, 0}, {Out, []CountItem{{"swab", 4}, {"needle", 1}}, 2}}
	gate := func() Gate { return Walk(f).Gates[4] }
	if g := gate(); g.State != GateOpen || g.Ask[0] != "final_count_search" {
		t.Errorf("%+v", g)
	}
	f.Answers = []Answer{{Question: "final_count_search", Value: "found", Place: 3}}
	if g := gate(); g.State != GateOpen || g.Ask[0] != AskCountOut {
		t.Errorf("found: count once more, %+v", g)
	}
	f.Answers[0].Value = "not_found"
	if g := gate(); g.State != GatePassed || !slices.Contains(Walk(f).Warnings, PieceMissing) {
		t.Errorf("not found and written down: %+v, %q", g, Walk(f).Warnings)
	}
	f.Layers[0].Place = 4
	if g := gate(); g.State != GateOpen || g.Ask[0] != AskCountOut {
		t.Errorf("stitched since: %+v", g)
	}
}

func TestAStitchInTheRectum(t *testing.T) {
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(third), Layers: []Layer{{"perineal_skin", true, 0}}, Moments: make([]Moment, 1)}
	for _, step := range []struct{ question, word, ask string }{
		{"rectal_after", "done", "stitch_felt"}, {"stitch_felt", "yes", "stitch_removed"}, {"stitch_removed", "removed", "stitch_felt"},
		{"stitch_felt", "no", ""}, {"stitch_felt", "yes", "stitch_removed"}, {"stitch_removed", "refer", ""}, {"stitch_felt", "yes", "stitch_removed"}, {"rectal_after", "declined", ""},
	} {
		answers(&f, step.question, step.word)
		if g := Walk(f).Gates[6]; strings.Join(g.Ask, " ") != step.ask {
			t.Errorf("%s %s: asks %q, want %q", step.question, step.word, g.Ask, step.ask)
		}
	}
}

// TestEachAllergyIsTold: one that is named is followed by the question for
// another, and "other" by the question which; silence ends nothing.
func TestEachAllergyIsTold(t *testing.T) {
	for _, c := range []struct{ told, asked string }{
		{"", "allergy"},
		{"allergy none", ""},
		{"allergy unknown", ""},
		{"allergy penicillin", "allergy_second"},
		{"allergy penicillin allergy_second none", ""},
		{"allergy penicillin allergy_second other", "allergy_which allergy_third"},
		{"allergy other allergy_which nuts", "allergy_second"},
		{"allergy penicillin allergy_second ibuprofen allergy_third clindamycin", ""},
		{"allergy_second none", "allergy"},
	} {
		f := facts(third, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "trained_operator_here", "no", "decision", "refer", "transport", "found", "told_receiver", "yes")
			answers(f, strings.Fields(c.told)...)
		})
		for _, s := range Walk(f).Stages {
			if got := strings.Join(s.Ask, " "); s.Key == Decide && got != c.asked {
				t.Errorf("told %q: asks %q, want %q", c.told, got, c.asked)
			}
		}
	}
}
