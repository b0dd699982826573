package companion_test

import (
	"testing"

	"fourchette/core/birth"
	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

func limitOf(t testing.TB, c *companion.Companion, id string) companion.CeilingReply {
	t.Helper()
	return ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling",
		&companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
}

// TestALimitThatHasChangedSaysSo: she was weighed again after the limit was
// written down; the figure that stands in the record is no longer hers.
func TestALimitThatHasChangedSaysSo(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "90"})
	save(t, c, "birth.note_limit", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "5", StrengthPercent: "1"})
	if l := show(t, c, id).LimitNoted; l.Ml != "20" || l.Stale {
		t.Errorf("noted: %+v", l)
	}
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "45"})
	if l := show(t, c, id).LimitNoted; l.Ml != "20" || !l.Stale {
		t.Errorf("after another weight: %+v", l)
	}
}

// TestADoseOfBeforeStaysOneOfBefore: putting its amount right must not turn
// what was given before into something given now, nor leave the list empty.
func TestADoseOfBeforeStaysOneOfBefore(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "listed"})
	if l := limitOf(t, c, id); !l.PriorUnknown || l.RemainingMl != "" {
		t.Errorf("something was given and nothing is listed: %+v", l)
	}
	dose := save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1", Prior: true})
	save(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Agent: "lidocaine", Ml: "4", StrengthPercent: "1"})
	if d := show(t, c, id).Doses[0]; !d.Prior || d.Mg != "40" {
		t.Errorf("put right: %+v", d)
	}
	if l := limitOf(t, c, id); l.RemainingMl != "14" {
		t.Errorf("left: %+v", l)
	}
	refused(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Void: true, Agent: "lidocaine", Ml: "4", StrengthPercent: "1"}, "dose_twice", "void")
	save(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Void: true})
	if l := limitOf(t, c, id); !l.PriorUnknown {
		t.Errorf("the only dose of before was taken back: %+v", l)
	}
}

func TestAnImpossibleDoseIsRefusedAtItsField(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	refused(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "999999999", StrengthPercent: "2"}, "dose_out_of_range", "ml")
	zero := 0
	refused(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60", HeightCm: &zero}, "height_out_of_range", "height_cm")
}

// TestLinesOfANewerVersionSettleNothing: neither on the grade's page, nor in
// what is written down, nor on the list of births.
func TestLinesOfANewerVersionSettleNothing(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for _, f := range []string{"perineal_skin", "vaginal_mucosa", "perineal_muscle", "external_sphincter", "internal_sphincter", "anorectal_mucosa"} {
		save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: f, Value: "intact"})
	}
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "rectal_exam", Value: "done"})
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	appendNewer(t, disk, id)
	c = open(t, disk)
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	b := show(t, c, id)
	g := ask[*companion.BirthRequest, companion.GradeReply](t, c, "birth.grade", &companion.BirthRequest{Birth: id})
	if b.Newer != 1 || g.Settled || b.GradeNoted.Settled || b.GradeNoted.Stale {
		t.Errorf("settled %v, noted %+v, %d newer lines", g.Settled, b.GradeNoted, b.Newer)
	}
}

func appendNewer(t *testing.T, disk journal.Disk, id string) {
	t.Helper()
	e := birth.Event{Schema: birth.Schema + 1, Device: "aaaaaaaa", Seq: 1, Lamport: 100, Birth: id, Kind: "graft"}
	raw, err := e.MarshalMsg(nil)
	if err != nil {
		t.Fatal(err)
	}
	appendRaw(t, disk, raw)
}

func appendRaw(t *testing.T, disk journal.Disk, raw []byte) {
	t.Helper()
	j, _, err := journal.Open(disk)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Append(raw); err != nil {
		t.Fatal(err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
}

// TestAGradeLeftBehindIsNotAWrittenOne: the list of births must not call a
// grade written that nobody wrote.
func TestAGradeLeftBehindIsNotAWrittenOne(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"})
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	stage := func() string {
		return ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}).Births[0].Stage
	}
	if s := stage(); s != "graded" {
		t.Errorf("after writing: %s", s)
	}
	for _, f := range []string{"external_sphincter", "internal_sphincter", "anorectal_mucosa"} {
		value := "torn"
		if f == "external_sphincter" {
			value = "through"
		}
		save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: f, Value: value})
	}
	if s := stage(); s != "examining" {
		t.Errorf("after the findings changed: %s", s)
	}
}
