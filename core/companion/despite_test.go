package companion_test

import (
	"slices"
	"strings"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestLayersInTheOrderOfClosing: whatever their names and the clocks are. One
// that was not closed after all comes where it was closed at last.
func TestLayersInTheOrderOfClosing(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for _, layer := range []string{"vaginal_mucosa", "perineal_skin", "perineal_muscle"} {
		layerDone(t, c, id, layer)
	}
	save(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: "perineal_skin"})
	layerDone(t, c, id, "perineal_skin")
	for _, c := range []*companion.Companion{c, open(t, disk)} {
		var order []string
		for _, l := range show(t, c, id).Layers {
			order = append(order, l.Layer)
		}
		if got := strings.Join(order, " "); got != "vaginal_mucosa perineal_muscle perineal_skin" {
			t.Errorf("closed in the order %s", got)
		}
	}
}

// TestATornLayerIsNotOnlyIfTorn: a sphincter that was seen torn is closed; of
// the one that nobody could judge the plan says to look first.
func TestATornLayerIsNotOnlyIfTorn(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	found(t, c, id, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "unsure",
		"rectal_exam", "done", "external_sphincter", "half_or_more", "internal_sphincter", "unsure", "anorectal_mucosa", "torn")
	want := map[string]bool{"internal_sphincter": true, "perineal_muscle": true}
	plan := ask[*companion.BirthRequest, companion.RepairReply](t, c, "birth.repair", &companion.BirthRequest{Birth: id})
	for _, l := range plan.Layers {
		if l.IfTorn != want[l.Layer] {
			t.Errorf("%s: only if torn %v", l.Layer, l.IfTorn)
		}
	}
	if len(plan.Layers) != 6 {
		t.Errorf("%d layers", len(plan.Layers))
	}
}

// TestNoStitchPassesAnOpenGate: what was done is always written down, and only
// once each open gate was named; that is in the record for good.
func TestNoStitchPassesAnOpenGate(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	q := &companion.LayerRequest{Birth: id, Layer: "perineal_skin", Done: true}
	all := "consent rectal_before ceiling counted_in operator"
	if got := strings.Join(openGates(walk(t, c, id)), " "); got != all {
		t.Errorf("open before a layer: %s", got)
	}
	q.Despite = []string{"consent", "rectal_before", "ceiling", "counted_in"}
	refused(t, c, "birth.layer", q, "gate_open", "despite")
	refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "repair_finished", Value: "yes"}, "gate_open", "despite")
	if n := len(show(t, c, id).Log); n != 1 {
		t.Fatalf("%d lines written by what was refused", n-1)
	}
	q.Despite = strings.Fields(all)
	save(t, c, "birth.layer", q)
	for _, c := range []*companion.Companion{c, open(t, disk)} {
		b := show(t, c, id)
		if len(b.Despites) != 1 || b.Despites[0].Of != "perineal_skin" || strings.Join(b.Despites[0].Open, " ") != all || !b.Layers[0].Done {
			t.Errorf("%+v, %+v", b.Despites, b.Layers)
		}
		if l := b.Log[1]; l.Kind != "despite" || l.Name != "layer" || l.Value != "perineal_skin" || strings.Join(l.Open, " ") != all {
			t.Errorf("%+v", l)
		}
	}
	if w := walk(t, c, id); !slices.Contains(w.Warnings, "count_never") {
		t.Errorf("stitched, nobody counted, and it warns %q", w.Warnings)
	}
	save(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: "perineal_skin"}) // taking back waits for nothing
}

// TestALayerSaidTwiceIsOneLine: a tap that comes twice is no second stitch; what
// is said again after something else is.
func TestALayerSaidTwiceIsOneLine(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	q := &companion.LayerRequest{Birth: id, Layer: "perineal_skin", Done: true, Despite: openGates(walk(t, c, id))}
	first := save(t, c, "birth.layer", q)
	lines := len(show(t, c, id).Log)
	if again := save(t, c, "birth.layer", q); again != first || len(show(t, c, id).Log) != lines {
		t.Errorf("said twice: %+v and %+v, %d lines after %d", first, again, len(show(t, c, id).Log), lines)
	}
	say(t, c, id, "light", "yes")
	if later := save(t, c, "birth.layer", q); later.Event == first.Event {
		t.Error("stitched once more after something else, and nothing is written")
	}
}

// TestEachGateHolds: all is in order but one thing.
func TestEachGateHolds(t *testing.T) {
	ready := func(t *testing.T, spoil func(c *companion.Companion, id string)) (*companion.Companion, string) {
		c := open(t, journaltest.New())
		id := newBirth(t, c)
		safe(t, c, id)
		found(t, c, id, secondDegree...)
		say(t, c, id, "decision", "repair_here", "consent_repair", "yes", "laid_out", "yes")
		save(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: 5}, companion.CountLine{Item: "needle", N: 2}))
		numbed(t, c, id)
		say(t, c, id, "numb_felt", "no", "looked_again", "same")
		spoil(c, id)
		return c, id
	}
	back := func(question string) func(*companion.Companion, string) {
		return func(c *companion.Companion, id string) {
			save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: question, TakeBack: true})
		}
	}
	for _, x := range []struct {
		open  string
		spoil func(*companion.Companion, string)
	}{
		{"", func(*companion.Companion, string) {}},
		{"consent", back("consent_exam")},
		{"consent", back("consent_repair")},
		{"consent", func(c *companion.Companion, id string) { say(t, c, id, "consent_repair", "declined") }},
		{"consent", func(c *companion.Companion, id string) { say(t, c, id, "consent_exam", "declined") }},
		{"ceiling", func(c *companion.Companion, id string) {
			save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "50"})
		}},
		{"operator", func(c *companion.Companion, id string) { found(t, c, id, "external_sphincter", "half_or_more") }},
		{"rectal_before operator", func(c *companion.Companion, id string) { found(t, c, id, "rectal_exam", "") }},
	} {
		c, id := ready(t, x.spoil)
		if got := strings.Join(openGates(walk(t, c, id)), " "); got != x.open {
			t.Errorf("open %q, want %q", got, x.open)
		}
	}
	c, id := ready(t, func(*companion.Companion, string) {})
	for _, layer := range []string{"vaginal_mucosa", "perineal_muscle", "perineal_skin"} {
		save(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: layer, Done: true})
	}
	refused(t, c, "birth.layer", &companion.LayerRequest{Birth: id, Layer: "external_sphincter", Done: true}, "gate_open", "despite")
}

// TestNothingIsClosedSilently: a tampon inside and a swab missing.
func TestNothingIsClosedSilently(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	save(t, c, "birth.count", count("in", id, companion.CountLine{Item: "swab", N: 10}, companion.CountLine{Item: "needle", N: 1}))
	layerDone(t, c, id, "perineal_skin")
	save(t, c, "birth.count", count("out", id, companion.CountLine{Item: "swab", N: 9}, companion.CountLine{Item: "needle", N: 1}))
	say(t, c, id, "tampon", "in")
	want := []string{"tampon_inside", "count_open", "grade_not_written", "urine_open", "medicines_open", "advice_open", "visits_open"}
	if got := show(t, c, id).StillOpen; !slices.Equal(got, want) {
		t.Errorf("still open: %q, want %q", got, want)
	}
	refused(t, c, "birth.close", &companion.CloseRequest{Birth: id}, "still_open", "open_known")
	refused(t, c, "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: want[1:]}, "still_open", "open_known")
	save(t, c, "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: want})
	for _, c := range []*companion.Companion{c, open(t, disk)} {
		list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{})
		if b := show(t, c, id); !b.Closed || !slices.Equal(b.StillOpen, want) || !slices.Equal(list.Births[0].LeftOpen, want) {
			t.Errorf("closed, and it says %q, the list %q", b.StillOpen, list.Births[0].LeftOpen)
		}
	}
	save(t, c, "birth.reopen", &companion.BirthRequest{Birth: id})
	say(t, c, id, "tampon", "out", "final_count_search", "not_found")
	if got := show(t, c, id).StillOpen; slices.Contains(got, "tampon_inside") || !slices.Contains(got, "piece_missing") {
		t.Errorf("searched, and still open: %q", got)
	}
}
