package companion_test

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// A told is what this test was told, kept apart from the program: for each
// thing the last word and its place among the events.
type told struct {
	word  map[string]string
	place map[string]int
	next  int

	in, out    map[string]int
	inAt       map[string]int // last in or added
	outAt      map[string]int
	lastCount  int
	layers     map[string]int // standing layers and their places
	injections map[string]int // standing doses given here
	prior      int            // standing doses given before
	events     []string
	graded     companion.GradeReply
	changed    int // the place of the last change of what is planned for
	injected   time.Duration
}

func newTold() *told {
	return &told{word: map[string]string{}, place: map[string]int{}, next: 1, in: map[string]int{}, out: map[string]int{}, inAt: map[string]int{},
		outAt: map[string]int{}, lastCount: -1, layers: map[string]int{}, injections: map[string]int{}, changed: -1}
}

func (o *told) say(key, word string) { o.word[key], o.place[key] = word, o.next }

// after: the word was said after a place, and is one of these (any if none).
func (o *told) after(place int, key string, words ...string) bool {
	w, said := o.word[key]
	return said && o.place[key] > place && (len(words) == 0 || slices.Contains(words, w))
}

func (o *told) stitch() int {
	last := -1
	for _, place := range o.layers {
		last = max(last, place)
	}
	if o.word["repair_finished"] == "yes" {
		last = max(last, o.place["repair_finished"])
	}
	return last
}

// passed is, for each gate, what must have been said for it to be passed: the
// rules of the issue and no more.
func (o *told) passed(gate string) bool {
	switch gate {
	case "consent":
		repair := o.after(-1, "decision", "repair_here") && o.stitch() >= 0
		return o.after(-1, "consent_exam", "yes", "declined") && (!repair || o.after(-1, "consent_repair", "yes", "declined"))
	case "rectal_before":
		return o.after(-1, "rectal_exam", "done", "declined") || o.after(-1, "consent_exam", "declined")
	case "ceiling":
		return o.after(-1, "weighed") && (o.after(-1, "prior", "nothing", "nobody_knows") || o.after(-1, "prior", "listed") && o.prior > 0) && o.after(-1, "limit")
	case "counted_in":
		_, swab := o.inAt["swab"]
		_, needle := o.inAt["needle"]
		return swab && needle
	case "counted_out":
		return o.countedOut()
	case "tampon":
		return o.after(o.stitch(), "tampon", "none", "out", "never_in") || o.after(o.stitch(), "tampon", "left") && o.left()
	case "rectal_after":
		return o.after(o.stitch(), "rectal_after", "declined") || o.after(o.stitch(), "rectal_after", "done") &&
			(o.after(o.stitch(), "stitch_felt", "no") || o.after(o.stitch(), "stitch_felt", "yes") && o.after(o.place["stitch_felt"], "stitch_removed", "refer"))
	case "final_check":
		return o.after(o.stitch(), "final_firm", "yes") && o.after(o.stitch(), "final_bleeding", "settled")
	}
	return false
}

// left: a tampon stays in her on purpose, and all that must be told was told.
func (o *told) left() bool {
	from := o.place["tampon"]
	return o.after(-1, "tampon", "left") && o.after(from, "tampon_number") && o.after(from, "tampon_at") && o.after(from, "tampon_receiver")
}

func (o *told) countedOut() bool {
	if o.after(max(o.lastCount, o.stitch()), "final_count_search", "not_found") {
		return true
	}
	if len(o.outAt) == 0 {
		return false
	}
	for item, n := range o.in {
		left := 0
		if item == "tampon" && o.left() {
			left = 1
		}
		at, counted := o.outAt[item]
		if n != o.out[item]+left || n > 0 && (!counted || at < max(o.inAt[item], o.stitch())) {
			return false
		}
	}
	return true
}

// A hand does things at random.
type hand struct {
	t     *rapid.T
	c     *companion.Companion
	id    string
	o     *told
	table []companion.QuestionReply
	wall  time.Time
	runs  time.Duration
}

func (h *hand) save(topic string, q any) {
	var s companion.SavedReply
	if f := h.c.Ask(topic, q, &s); f != nil {
		h.t.Fatalf("%s: %v", topic, f)
	}
	h.o.events = append(h.o.events, s.Event)
}

func pick[T any](h *hand, of ...T) T { return rapid.SampledFrom(of).Draw(h.t, "pick") }

// step does one thing and notes it: what is asked for, or anything.
func (h *hand) step() {
	asked := h.walk()
	var ask []string
	for _, s := range asked.Stages {
		if s.State == "open" {
			ask = append(ask, s.Ask...)
		}
	}
	for _, g := range asked.Gates {
		ask = append(ask, g.Ask...)
	}
	if len(ask) > 0 && rapid.IntRange(0, 3).Draw(h.t, "anything") > 0 {
		h.follow(rapid.SampledFrom(ask).Draw(h.t, "asked"))
	} else {
		h.anything()
	}
	h.o.next++
}

// follow does what was asked for.
func (h *hand) follow(ask string) {
	switch ask {
	case "note_grade":
		h.save("birth.note_grade", &companion.BirthRequest{Birth: h.id})
	case "weight":
		h.weigh()
	case "prior":
		h.tell()
	case "label":
		h.limit()
	case "inject":
		h.inject()
	case "count_in":
		h.count("in")
	case "count_out":
		h.count("out")
	case "layer":
		h.layer()
	case "found_now":
		h.find(pick(h, "external_sphincter", "perineal_muscle"))
	case "second_look":
		h.save("birth.find", &companion.FindRequest{Birth: h.id, Finding: "second_look_done", Value: "yes"})
	case "visit":
		h.save("birth.visit", &companion.VisitRequest{Birth: h.id, Key: "day_3", Date: "2026-03-17", Confirmed: true, OddMeant: true})
	default:
		if i := slices.IndexFunc(h.table, func(q companion.QuestionReply) bool { return q.Key == ask }); i >= 0 {
			h.answer(h.table[i])
			return
		}
		h.find(ask)
	}
}

// anything does one thing at random.
func (h *hand) anything() {
	switch rapid.IntRange(0, 19).Draw(h.t, "step") {
	default:
		h.answer(rapid.SampledFrom(h.table).Draw(h.t, "question"))
	case 10, 11:
		h.find(pick(h, "rectal_exam", "perineal_muscle", "external_sphincter", "internal_sphincter", "anorectal_mucosa", "perineal_skin", "vaginal_mucosa"))
	case 12:
		h.save("birth.note_grade", &companion.BirthRequest{Birth: h.id})
	case 13:
		h.weigh()
	case 14:
		h.tell()
	case 15:
		h.limit()
	case 16:
		h.inject()
	case 17, 18:
		h.count(pick(h, "in", "added", "out", "out"))
	case 19:
		h.layer()
	}
}

func (h *hand) weigh() {
	h.save("birth.weigh", &companion.WeighRequest{Birth: h.id, WeightKg: "60"})
	h.o.say("weighed", "60")
}

func (h *hand) tell() {
	word := pick(h, "nothing", "listed", "nobody_knows")
	h.save("birth.prior", &companion.PriorRequest{Birth: h.id, Told: word})
	h.o.say("prior", word)
}

func (h *hand) limit() {
	h.save("birth.note_limit", &companion.BirthCeilingRequest{Birth: h.id, Agent: "lidocaine", StrengthPercent: "1"})
	h.o.say("limit", "1")
}

func (h *hand) layer() {
	layer, done := pick(h, "vaginal_mucosa", "perineal_muscle", "perineal_skin"), rapid.IntRange(0, 4).Draw(h.t, "done") > 0
	open := openGates(h.walk())
	if ring := h.o.graded.TreatAs[0] >= '3' && h.o.graded.TreatAs != "none" || h.o.graded.Buttonhole; len(open) == 0 {
		for what, holds := range map[string]bool{
			"her yes":     h.o.after(-1, "consent_exam", "yes") && h.o.after(-1, "consent_repair", "yes"),
			"examination": h.o.passed("rectal_before"), "count in": h.o.passed("counted_in"),
			"limit":    h.o.passed("ceiling") || len(h.o.injections) == 0 && h.o.after(-1, "pain_relief", "working", "declined"),
			"operator": !ring || h.o.after(h.o.changed, "trained_operator_here", "yes"),
		} {
			if !holds {
				h.t.Fatalf("a stitch passes without %s: %v at %v", what, h.o.word, h.o.place)
			}
		}
	}
	h.save("birth.layer", &companion.LayerRequest{Birth: h.id, Layer: layer, Done: done, Despite: open})
	if delete(h.o.layers, layer); done {
		h.o.layers[layer] = h.o.next
	}
}

func (h *hand) answer(q companion.QuestionReply) {
	a := &companion.AnswerRequest{Birth: h.id, Question: q.Key}
	switch {
	case rapid.IntRange(0, 9).Draw(h.t, "take back") == 0:
		a.TakeBack = true
		defer delete(h.o.word, q.Key)
	case q.Kind == "number":
		a.Number = number(max(q.Least, 1))
	case q.Kind == "time":
		a.At = h.wall.Format(time.RFC3339)
	case q.Kind == "text":
		a.Text = "night shift"
	default:
		a.Value = rapid.SampledFrom(q.Words).Draw(h.t, "word")
	}
	if q.Key == "repair_finished" {
		a.Despite = openGates(h.walk())
	}
	a.Confirmed = a.At != "" || q.Key == "numb_felt" // asked again, and meant so
	var s companion.SavedReply
	if f := h.c.Ask("birth.answer", a, &s); f != nil {
		if f.Code != "tampon_was_in" && f.Code != "time_before_birth" { // asked again: nothing was said
			h.t.Fatalf("%s: %v", q.Key, f)
		}
		return
	}
	h.o.events = append(h.o.events, s.Event)
	h.o.say(q.Key, a.Value)
}

func (h *hand) find(finding string) {
	word := pick(h, "", "intact", "intact", "unsure")
	if finding == "rectal_exam" {
		word = pick(h, "", "done", "done", "declined")
	} else if finding == "external_sphincter" && rapid.IntRange(0, 3).Draw(h.t, "torn") == 0 {
		word = "half_or_more"
	} else if finding == "perineal_muscle" && rapid.Bool().Draw(h.t, "torn") {
		word = "torn"
	}
	h.save("birth.find", &companion.FindRequest{Birth: h.id, Finding: finding, Value: word})
	h.o.say(finding, word)
	var g companion.GradeReply
	if f := h.c.Ask("birth.grade", &companion.BirthRequest{Birth: h.id}, &g); f != nil {
		h.t.Fatal(f)
	}
	if g.Grade != h.o.graded.Grade || g.TreatAs != h.o.graded.TreatAs || g.Buttonhole != h.o.graded.Buttonhole {
		h.o.graded, h.o.changed = g, h.o.next
	}
}

func (h *hand) inject() {
	if len(h.o.injections) > 0 && rapid.Bool().Draw(h.t, "void") {
		for _, event := range h.o.events { // the first, so that a failure can be had again
			if _, stands := h.o.injections[event]; stands {
				h.save("birth.correct_dose", &companion.CorrectRequest{Birth: h.id, Of: event, Void: true})
				delete(h.o.injections, event)
				return
			}
		}
	}
	prior := rapid.IntRange(0, 3).Draw(h.t, "prior") == 0
	h.save("birth.inject", &companion.InjectRequest{Birth: h.id, Agent: "lidocaine", Ml: "1", StrengthPercent: "1", Prior: prior})
	if prior {
		h.o.prior++
		return
	}
	h.o.injections[h.o.events[len(h.o.events)-1]], h.o.injected = h.o.next, h.runs
}

func (h *hand) count(phase string) {
	q := &companion.CountRequest{Birth: h.id, Phase: phase, Confirmed: true}
	for _, item := range []string{"swab", "needle", "tampon"} {
		if rapid.IntRange(0, 4).Draw(h.t, item) == 0 {
			continue
		}
		n := pick(h, 0, 1, 2)
		if phase == "out" && rapid.IntRange(0, 3).Draw(h.t, "all") > 0 {
			n = h.o.in[item]
		}
		q.Items = append(q.Items, companion.CountLine{Item: item, N: n})
		if q.Phase == "out" {
			h.o.out[item], h.o.outAt[item] = n, h.o.next
			if _, known := h.o.in[item]; !known {
				h.o.in[item] = 0
			}
			continue
		}
		if q.Phase == "added" {
			n += h.o.in[item]
		}
		h.o.in[item] = n
		if q.Phase == "in" || h.o.inAt[item] > 0 {
			h.o.inAt[item] = h.o.next
		}
	}
	if len(q.Items) == 0 {
		q.Items = []companion.CountLine{{Item: "forceps", N: 0}}
	}
	h.save("birth.count", q)
	h.o.lastCount = h.o.next
}

func (h *hand) pass() {
	d := pick(h, 0, 30*time.Second, time.Minute, 5*time.Minute, time.Hour)
	h.runs += d
	h.wall = h.wall.Add(d + pick(h, 0, 0, 0, 24*time.Hour, -24*time.Hour, -time.Hour))
}

func (h *hand) walk() companion.WalkReply {
	var w companion.WalkReply
	if f := h.c.Ask("course.walk", &companion.BirthRequest{Birth: h.id}, &w); f != nil {
		h.t.Fatal(f)
	}
	return w
}

// TestNoGateWithoutItsAnswer walks at random, under clocks that jump. No gate
// is passed without its answer, none that is needed is waved away, what rested
// on an old grade is asked anew, timers never say "not due" for an hour that
// nobody knows, the order in which events arrive changes nothing, and rescue
// answers throughout.
func TestNoGateWithoutItsAnswer(t *testing.T) {
	passed := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		disk := journaltest.New()
		h := &hand{t: t, o: newTold(), wall: noon, runs: time.Hour}
		computer := host(disk)
		computer.Wall, computer.Running = func() time.Time { return h.wall }, func() time.Duration { return h.runs }
		var err error
		if h.c, err = companion.Open(computer); err != nil {
			t.Fatal(err)
		}
		var s companion.SavedReply
		var table companion.QuestionsReply
		born := rapid.SampledFrom([]string{"now", "not_known"}).Draw(t, "born")
		if f := h.c.Ask("birth.open", &companion.OpenRequest{Born: born}, &s); f != nil {
			t.Fatal(f)
		}
		if f := h.c.Ask("course.questions", &companion.StageRequest{}, &table); f != nil {
			t.Fatal(f)
		}
		h.id, h.table, h.o.graded = s.Birth, table.Questions, companion.GradeReply{Grade: "undetermined", TreatAs: "4"}
		began := h.runs
		for range rapid.IntRange(1, 80).Draw(t, "steps") {
			h.step()
			h.pass()
			w := h.walk()
			h.gatesHold(w, passed)
			h.oldGradesAskAnew(w)
			h.timersHold(w, born == "now", h.runs-began)
			rescueAnswers(t, h.c)
		}
		arrivalChangesNothing(t, disk, computer, h.id)
	})
	for _, gate := range []string{"consent", "rectal_before", "ceiling", "counted_in", "counted_out", "tampon", "rectal_after", "final_check"} {
		if passed[gate] == 0 {
			t.Errorf("%s was never passed: nothing was tried", gate)
		}
	}
}

func (h *hand) gatesHold(w companion.WalkReply, passed map[string]int) {
	open := 0
	for _, g := range w.Gates {
		switch g.State {
		case "passed":
			passed[g.Key]++
			if !h.o.passed(g.Key) {
				h.t.Fatalf("%s is passed although only this was said: %v at %v, stitched at %d", g.Key, h.o.word, h.o.place, h.o.stitch())
			}
		case "not_needed":
			if h.o.stitch() >= 0 && g.Key != "ceiling" || g.Key == "ceiling" && len(h.o.injections) > 0 {
				h.t.Fatalf("%s is waved away although there were stitches (%v) or injections (%v)", g.Key, h.o.layers, h.o.injections)
			}
		case "open":
			if open++; len(g.Ask) == 0 {
				h.t.Fatalf("%s is open and asks nothing: she is stuck", g.Key)
			}
		}
	}
	if after := []string{"after", "visits", "done"}; slices.Contains(after, w.Stage) && open > 0 {
		h.t.Fatalf("stage %s with open gates: %+v", w.Stage, w.Gates)
	}
}

func (h *hand) oldGradesAskAnew(w companion.WalkReply) {
	for _, s := range w.Stages {
		sphincter := h.o.graded.TreatAs[0] >= '3' && h.o.graded.TreatAs != "none" || h.o.graded.Buttonhole
		switch {
		case s.State != "done":
		case s.Key == "decide" && !h.o.after(h.o.changed, "decision"):
			h.t.Fatalf("decided for another grade: %v at %v, changed at %d", h.o.word, h.o.place, h.o.changed)
		case s.Key == "decide" && sphincter && !h.o.after(-1, "consent_exam", "declined") && !h.o.after(h.o.changed, "trained_operator_here"):
			h.t.Fatalf("an operator asked for at %v counts for the grade of %d", h.o.place["trained_operator_here"], h.o.changed)
		case s.Key == "prepare" && !h.o.after(h.o.changed, "laid_out") && h.o.stitch() < 0:
			h.t.Fatalf("laid out for another grade: %v, changed at %d", h.o.place, h.o.changed)
		case s.Key == "numb" && (len(h.o.injections) == 0 && !h.o.after(-1, "pain_relief", "working") || !h.o.after(-1, "numb_felt", "no")):
			h.t.Fatalf("numb with %v and %q", h.o.injections, h.o.word["numb_felt"])
		}
	}
}

// timersHold: passed is the time that really went by.
func (h *hand) timersHold(w companion.WalkReply, known bool, went time.Duration) {
	for _, timer := range w.Timers {
		limit := map[string]time.Duration{"first_urine": 6 * time.Hour, "tranexamic": 3 * time.Hour, "second_pressure": 6 * time.Hour}[timer.Key]
		switch {
		case timer.State == "done":
		case limit > 0 && went >= limit && timer.State != "over":
			h.t.Fatalf("%s after the birth, whatever the clock says, and %s is %s", went, timer.Key, timer.State)
		case limit > 0 && !known && (timer.State == "running" || timer.Due != ""):
			h.t.Fatalf("%s is %s, due %q, from an hour that nobody knows", timer.Key, timer.State, timer.Due)
		case timer.Key == "wait_numb" && timer.State == "over" && len(h.o.injections) > 0 && h.stillWaits():
			h.t.Fatalf("the wait is over %s after the injection", h.runs-h.o.injected)
		}
	}
}

// stillWaits: the last injection stands, and was less than two minutes ago.
func (h *hand) stillWaits() bool {
	last := 0
	for _, place := range h.o.injections {
		last = max(last, place)
	}
	return h.runs-h.o.injected < 2*time.Minute && last > 0
}

// rescueAnswers: what the emergency pages ask needs no birth and no answer.
func rescueAnswers(t *rapid.T, c *companion.Companion) {
	for topic, q := range map[string]any{
		"anaesthetic.rescue": &companion.RescueRequest{WeightKg: "60"},
		"bleeding.assess":    &companion.BleedingRequest{},
		"guide.page":         &companion.PageRequest{Page: "steps"},
	} {
		var a companion.Nothing
		if f := c.Ask(topic, q, &a); f != nil {
			t.Fatalf("%s: %v", topic, f)
		}
	}
}

// arrivalChangesNothing writes the same events in another order on another
// disk, some of them twice, and walks there.
func arrivalChangesNothing(t *rapid.T, disk *journaltest.Disk, computer companion.Host, id string) {
	var frames [][]byte
	j, _, err := journal.Open(disk)
	if err != nil {
		t.Fatal(err)
	}
	err = j.Each(func(_ uint64, payload []byte) error {
		frames = append(frames, bytes.Clone(payload))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	reply := func(frames [][]byte) []byte {
		d := journaltest.New()
		j, _, err := journal.Open(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range frames {
			if err := j.Append(f); err != nil {
				t.Fatal(err)
			}
		}
		computer.Disk, computer.Random = d, &counting{}
		c, err := companion.Open(computer)
		if err != nil {
			t.Fatal(err)
		}
		return c.Call("course.walk", companion.Encode(&companion.BirthRequest{Birth: id}))
	}
	twice := append(slices.Clone(frames), frames[:rapid.IntRange(0, len(frames)).Draw(t, "twice")]...)
	if a, b := reply(frames), reply(rapid.Permutation(twice).Draw(t, "order")); !bytes.Equal(a, b) || len(a) < 100 {
		t.Fatalf("in another order\n%q\n%q", a, b)
	}
}
