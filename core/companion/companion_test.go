package companion_test

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/pack"
)

// noon is the wall clock of these tests until a test moves it.
var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// counting is randomness that never repeats and is the same in every run.
type counting struct{ n byte }

func (c *counting) Read(p []byte) (int, error) {
	for i := range p {
		c.n++
		p[i] = c.n
	}
	return len(p), nil
}

func testPack() []byte {
	b, err := pack.Pack{Schema: pack.Schema, ID: "test", Version: "1",
		Pages: []pack.Page{{Key: "steps", Items: []pack.Item{{Kind: pack.Step, Key: "first", Source: "common practice, no source"}}}},
	}.Store()
	if err != nil {
		panic(err)
	}
	return b
}

func open(t testing.TB, disk journal.Disk) *companion.Companion {
	t.Helper()
	c, err := companion.Open(host(disk))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func host(disk journal.Disk) companion.Host {
	return companion.Host{
		Interface: companion.Interface, Disk: disk, Pack: testPack(), Random: &counting{},
		Wall: func() time.Time { return noon }, Running: func() time.Duration { return time.Hour },
	}
}

// ask fails the test when the topic refuses.
func ask[Q, A any](t testing.TB, c *companion.Companion, topic string, q Q) A {
	t.Helper()
	var a A
	if f := c.Ask(topic, q, &a); f != nil {
		t.Fatalf("%s: %v", topic, f)
	}
	return a
}

func refused(t testing.TB, c *companion.Companion, topic string, q any, code, field string) {
	t.Helper()
	var a companion.Nothing
	f := c.Ask(topic, q, &a)
	if f == nil || f.Code != code || f.Field != field {
		t.Errorf("%s: %v, want %s at %q", topic, f, code, field)
	}
}

func newBirth(t testing.TB, c *companion.Companion) string {
	t.Helper()
	return ask[*companion.OpenRequest, companion.SavedReply](t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "3", Another: true}).Birth
}

func show(t testing.TB, c *companion.Companion, id string) companion.BirthReply {
	t.Helper()
	return ask[*companion.BirthRequest, companion.BirthReply](t, c, "birth.show", &companion.BirthRequest{Birth: id})
}

func save(t testing.TB, c *companion.Companion, topic string, q any) companion.SavedReply {
	t.Helper()
	return ask[any, companion.SavedReply](t, c, topic, q)
}

func TestOpenRefuses(t *testing.T) {
	good := companion.Host{Interface: companion.Interface, Pack: testPack(), Random: &counting{}}
	for code, spoil := range map[string]func(*companion.Host){
		"interface_differs": func(h *companion.Host) { h.Interface++ },
		"pack_missing":      func(h *companion.Host) { h.Pack = nil },
		"pack_unreadable":   func(h *companion.Host) { h.Pack = h.Pack[:len(h.Pack)-1] },
	} {
		h := good
		spoil(&h)
		_, err := companion.Open(h)
		var f *companion.Fault
		if !errors.As(err, &f) || f.Code != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
}

func TestWithoutADiskOnlyQuickTools(t *testing.T) {
	c := open(t, nil)
	refused(t, c, "birth.open", &companion.OpenRequest{Born: "now"}, "no_disk", "")
	refused(t, c, "birth.list", &companion.Nothing{}, "no_disk", "")
	r := ask[*companion.GradeRequest, companion.GradeReply](t, c, "tear.grade", &companion.GradeRequest{})
	if r.Grade != "undetermined" || r.TreatAs != "4" {
		t.Errorf("nothing examined: %s, treat as %s", r.Grade, r.TreatAs)
	}
}

// TestARecordSurvives walks a birth and opens the journal again: every answer
// is then the same, byte for byte.
func TestARecordSurvives(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for finding, value := range map[string]string{"episiotomy": "yes", "rectal_exam": "done", "external_sphincter": "half_or_more",
		"internal_sphincter": "intact", "anorectal_mucosa": "intact"} {
		save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: finding, Value: value})
	}
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	save(t, c, "birth.note_limit", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})

	b := show(t, c, id)
	if b.GradeNoted == nil || b.GradeNoted.Grade != "3b" || !b.GradeNoted.Settled || b.GradeNoted.Stale {
		t.Errorf("grade in the record: %+v", b.GradeNoted)
	}
	if b.LimitNoted == nil || b.LimitNoted.Mg != "180" || b.LimitNoted.Ml != "18" {
		t.Errorf("limit in the record: %+v, want 3 mg/kg of 60 kg (NHS Greater Glasgow 2020)", b.LimitNoted)
	}
	left := ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling",
		&companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	if left.RemainingMl != "8" || left.PriorUnknown {
		t.Errorf("after 10 mL of 18: %q mL left, prior unknown %v", left.RemainingMl, left.PriorUnknown)
	}

	request := companion.Encode(&companion.BirthRequest{Birth: id})
	before := c.Call("birth.show", request)
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	again := open(t, disk)
	if after := again.Call("birth.show", request); !bytes.Equal(before, after) {
		t.Errorf("after opening again the record differs:\n%x\n%x", before, after)
	}
	if second := newBirth(t, again); second == id || second[:8] != id[:8] {
		t.Errorf("the next birth is %s after %s, want the next number of the same device", second, id)
	}
}

func TestSilenceIsNotNothing(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	q := &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"}
	for _, told := range []string{"", "nobody_knows"} {
		if told != "" {
			save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: told})
		}
		r := ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling", q)
		if !r.PriorUnknown || r.RemainingMg != "" || r.RemainingMl != "" {
			t.Errorf("told %q: a remainder of %q mL is shown", told, r.RemainingMl)
		}
		if !r.WeightAssumed || r.CeilingMl != "9" {
			t.Errorf("not weighed: %q mL, want 90 mg of 1 %% for 30 kg", r.CeilingMl)
		}
	}
}

func TestTooMuchIsWrittenAndSaid(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	inject := &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "2"}
	s := save(t, c, "birth.inject", inject) // 200 mg at 30 kg: more than 90
	if !s.Over {
		t.Error("200 mg, not weighed: over is not said")
	}
	if n := len(show(t, c, id).Doses); n != 1 {
		t.Errorf("%d doses written, want the one that was too much", n)
	}
	refused(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "0", StrengthPercent: "2"}, "nothing_given", "ml")
	refused(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "5", StrengthPercent: "0.75"}, "strength_unknown", "strength_percent")
	refused(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "5"}, "key_missing", "strength_percent")
}

func TestACorrectionIsANewEvent(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	dose := save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
	lines := len(show(t, c, id).Log)
	save(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Agent: "lidocaine", Ml: "4", StrengthPercent: "1"})
	b := show(t, c, id)
	if len(b.Log) != lines+1 || len(b.Doses) != 1 || b.Doses[0].Ml != "4" || !b.Doses[0].Corrected {
		t.Errorf("after a correction: %d lines, doses %+v", len(b.Log), b.Doses)
	}
	save(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Void: true})
	left := ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling",
		&companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	if left.RemainingMl != "18" || !show(t, c, id).Doses[0].Void {
		t.Errorf("a dose taken back still counts: %q mL left", left.RemainingMl)
	}
	refused(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Void: true}, "event_unknown", "of")
}

func TestAChangedFindingMakesTheGradeStale(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	if show(t, c, id).GradeNoted.Stale {
		t.Error("just written, and stale")
	}
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "anorectal_mucosa", Value: "torn"})
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "external_sphincter", Value: "through"})
	if !show(t, c, id).GradeNoted.Stale {
		t.Error("a fourth degree was found since, and the grade in the record is not called stale")
	}
}

func TestWeights(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	for _, kg := range []string{"29.9", "200.1", "0"} {
		refused(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: kg}, "weight_out_of_range", "weight_kg")
	}
	for _, kg := range []string{"39.9", "120.1"} {
		refused(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: kg}, "confirm_weight", "weight_kg")
		save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: kg, Confirmed: true})
	}
	refused(t, c, "birth.weigh", &companion.WeighRequest{Birth: id}, "key_missing", "weight_kg")
	refused(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60,5"}, "amount_malformed", "weight_kg")
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, NotWeighed: true})
	if b := show(t, c, id); !b.NotWeighed || b.WeightKg != "" {
		t.Errorf("not weighed: %+v", b)
	}
}

func TestHourOfBirth(t *testing.T) {
	c := open(t, journaltest.New())
	for at, code := range map[string]string{
		"2026-03-14T12:20:00Z":      "time_in_future",
		"2026-01-30T11:00:00Z":      "time_too_long_ago",
		"14.3. 11:00":               "time_malformed",
		"2026-03-14T11:00:00+05:00": "",
	} {
		var s companion.SavedReply
		f := c.Ask("birth.open", &companion.OpenRequest{Born: "at", BornAt: at, Another: true}, &s)
		if (f == nil) != (code == "") || f != nil && f.Code != code {
			t.Errorf("born at %s: %v, want %q", at, f, code)
		}
	}
	id := ask[*companion.OpenRequest, companion.SavedReply](t, c, "birth.open", &companion.OpenRequest{Born: "not_known", Another: true}).Birth
	if b := show(t, c, id); b.BornAt != "" {
		t.Errorf("not known became %s", b.BornAt)
	}
	refused(t, c, "birth.open", &companion.OpenRequest{Born: "perhaps"}, "word_unknown", "born")
	refused(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "longer than a mark"}, "too_long", "bed")
}

func TestClosedRecordsTakeNothing(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	closed(t, c, id)
	refused(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"}, "birth_closed", "birth")
	save(t, c, "birth.reopen", &companion.BirthRequest{Birth: id})
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"})
	refused(t, c, "birth.show", &companion.BirthRequest{Birth: "aaaaaaaa-9"}, "birth_unknown", "birth")
}

// TestWhatWasNotSavedIsNotShown: a write that fails is said, the screen shows
// the state of the disk, and the next write works.
func TestWhatWasNotSavedIsNotShown(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync} {
		disk.Fault = &journaltest.Fault{Op: op, At: disk.Count(op) + 1}
		refused(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"}, "disk_failed", "")
		if told := show(t, c, id).Prior; told != "" && told != "nothing" {
			t.Errorf("after a failed write the record says %q", told)
		}
	}
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nobody_knows"})
	if told := show(t, open(t, disk), id).Prior; told != "nobody_knows" {
		t.Errorf("after the disk mended the record says %q", told)
	}
}

// panicking is a disk that fails as no disk should.
type panicking struct {
	journal.Disk
	now *bool
}

func (p panicking) Open(name string) (journal.File, error) {
	f, err := p.Disk.Open(name)
	return panickingFile{f, p.now}, err
}

type panickingFile struct {
	journal.File
	now *bool
}

func (f panickingFile) WriteAt(p []byte, off int64) (int, error) {
	if *f.now {
		panic("the disk went away")
	}
	return f.File.WriteAt(p, off)
}

func TestAPanicIsAnErrorReply(t *testing.T) {
	now := false
	c := open(t, panicking{journaltest.New(), &now})
	id := newBirth(t, c)
	now = true
	var s companion.SavedReply
	f := c.Ask("birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"}, &s)
	if f == nil || f.Code != "internal" || f.Field != "birth.prior" || !strings.Contains(f.Detail, "the disk went away") {
		t.Fatalf("a panic answers %v", f)
	}
	now = false
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
}

func TestGuide(t *testing.T) {
	c := open(t, nil)
	r := ask[*companion.PageRequest, companion.PageReply](t, c, "guide.page", &companion.PageRequest{Page: "steps"})
	if len(r.Items) != 1 || r.Items[0].Key != "first" {
		t.Errorf("page: %+v", r)
	}
	refused(t, c, "guide.page", &companion.PageRequest{Page: "none"}, "page_unknown", "page")
	choices := ask[*companion.Nothing, companion.ChoicesReply](t, c, "guide.choices", &companion.Nothing{})
	if strings.Join(choices.Agents, " ") != "lidocaine" || choices.AnaestheticSource != "lowest" || choices.Mixing != "strictest" {
		t.Errorf("a pack that chooses nothing: %+v, want the safest", choices)
	}
}

// TestEveryTopicHasVectorsOrIsOfTheRecord: a stateless topic without cases in
// testdata/vectors could change unseen.
func TestEveryTopicHasVectorsOrIsOfTheRecord(t *testing.T) {
	files, err := os.ReadDir("../../testdata/vectors")
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, f := range files {
		b, err := os.ReadFile("../../testdata/vectors/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	for _, topic := range companion.Topics() {
		kin, _, _ := strings.Cut(topic, ".")
		if kin == "birth" || kin == "records" || kin == "lock" || kin == "guide" || kin == "companion" || topic == "course.walk" {
			continue // tested here, on a disk and a pack
		}
		if !strings.Contains(all.String(), `"topic": "`+topic+`"`) {
			t.Errorf("%s has no case in testdata/vectors", topic)
		}
	}
}
