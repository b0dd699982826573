package companion_test

import (
	"bytes"
	"slices"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

const segment = "journal-00000001"

// written is a birth with what a lost line could hide.
func written(t *testing.T) (*journaltest.Disk, string) {
	t.Helper()
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for _, f := range [][2]string{{"perineal_skin", "torn"}, {"vaginal_mucosa", "torn"}, {"perineal_muscle", "torn"},
		{"internal_sphincter", "intact"}, {"anorectal_mucosa", "intact"}, {"rectal_exam", "done"}, {"episiotomy", "no"},
		{"external_sphincter", "intact"}, {"external_sphincter", "half_or_more"}} {
		save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: f[0], Value: f[1]})
	}
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "80"})
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "48"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", Value: "none"})
	save(t, c, "birth.count", &companion.CountRequest{Birth: id, Phase: "in", Items: []companion.CountLine{{Item: "swab", N: 5}, {Item: "needle", N: 2}}})
	save(t, c, "birth.count", &companion.CountRequest{Birth: id, Phase: "added", Items: []companion.CountLine{{Item: "swab", N: 5}}})
	save(t, c, "birth.count", &companion.CountRequest{Birth: id, Phase: "out", Items: []companion.CountLine{{Item: "swab", N: 5}, {Item: "needle", N: 2}}})
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	return disk, id
}

// settles lists what a record says that only a whole one may say.
func settles(t *testing.T, c *companion.Companion, id string) (said []string) {
	t.Helper()
	say := func(is bool, what string) {
		if is {
			said = append(said, what)
		}
	}
	q := &companion.BirthRequest{Birth: id}
	l := ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	say(!l.PriorUnknown || l.RemainingMl != "" || l.RemainingMg != "", "a remainder")
	g := ask[*companion.BirthRequest, companion.GradeReply](t, c, "birth.grade", q)
	say(g.Settled || g.TreatAs != "4", "a grade")
	n := ask[*companion.BirthRequest, companion.CountsReply](t, c, "birth.counts", q)
	say(n.Complete, "complete counts")
	w := ask[*companion.BirthRequest, companion.WalkReply](t, c, "course.walk", q)
	say(slices.ContainsFunc(w.Gates, func(g companion.GateReply) bool { return g.State == "passed" }), "a gate passed")
	a := ask[*companion.BirthRequest, companion.AftercareReply](t, c, "birth.aftercare", q)
	for _, told := range []string{"allergies", "weight_kg"} {
		say(!slices.Contains(a.NotTold, told), told)
	}
	b := show(t, c, id)
	say(!b.Damaged || !l.Damaged || !g.Damaged || !n.Damaged || !w.Damaged, "that it is whole")
	say(!slices.Contains(l.Cautions, "record_damaged") || !slices.Contains(g.Because, "record_damaged"), "no reason")
	return said
}

// TestADamagedLineSettlesNothing: whichever byte of the journal is altered, no
// figure comes out of the birth it may belong to, until somebody has looked
// through it; the last byte is a torn tail, which was never acknowledged.
func TestADamagedLineSettlesNothing(t *testing.T) {
	whole, id := written(t)
	const header = 36 // of which no line is lost: see core/journal
	for at := header; at < len(whole.Bytes(segment)); at += 7 {
		disk := whole.Copy()
		b := disk.Bytes(segment)
		b[at] ^= 0x10
		disk.Put(segment, b)
		c := open(t, disk)
		about := ask[*companion.Nothing, companion.AboutReply](t, c, "companion.about", &companion.Nothing{})
		if about.Damaged+about.Missing == 0 && about.TornTail {
			continue
		}
		if _, f := find(c, id); f != nil {
			t.Fatalf("byte %d: %v", at, f)
		}
		if said := settles(t, c, id); len(said) > 0 {
			t.Errorf("byte %d altered, and the record says %q", at, said)
		}
		if list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}); !list.Births[0].Damaged {
			t.Errorf("byte %d altered, and the list of births is silent", at)
		}
	}
}

func find(c *companion.Companion, id string) (b companion.BirthReply, f *companion.Fault) {
	f = c.Ask("birth.show", &companion.BirthRequest{Birth: id}, &b)
	return b, f
}

// damagedDose alters the line of the dose.
func damagedDose(t *testing.T) (*journaltest.Disk, string) {
	t.Helper()
	disk, id := written(t)
	b := disk.Bytes(segment)
	at := bytes.Index(b, []byte("microlitres"))
	if at < 0 {
		t.Fatal("no dose in the journal")
	}
	b[at] ^= 1
	disk.Put(segment, b)
	return disk, id
}

// TestLookedThrough: when somebody has looked and added what was missing the
// figures count again, also after a restart; the line stays in the log. A birth
// begun after the loss never was in doubt, and new damage asks anew.
func TestLookedThrough(t *testing.T) {
	disk, id := damagedDose(t)
	c := open(t, disk)
	if len(settles(t, c, id)) > 0 {
		t.Fatal("not in doubt")
	}
	later := newBirth(t, c)
	if show(t, c, later).Damaged {
		t.Error("a record begun after the loss is in doubt")
	}
	refused(t, c, "birth.looked_through", &companion.BirthRequest{Birth: later}, "nothing_lost", "birth")
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
	if !show(t, c, id).Damaged {
		t.Error("one line more, and nothing is in doubt any longer")
	}
	save(t, c, "birth.looked_through", &companion.BirthRequest{Birth: id})
	for _, when := range []string{"at once", "after a restart"} {
		l := ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
		g := ask[*companion.BirthRequest, companion.GradeReply](t, c, "birth.grade", &companion.BirthRequest{Birth: id})
		b := show(t, c, id)
		if l.RemainingMl != "4.4" || l.Damaged || !g.Settled || g.Grade != "3b" || b.Damaged || b.Log[len(b.Log)-1].Kind != "looked_through" {
			t.Errorf("%s: %q mL left of 14.4 (3 mg/kg of 48 kg), grade %s settled %v, last line %s", when, l.RemainingMl, g.Grade, g.Settled, b.Log[len(b.Log)-1].Kind)
		}
		if show(t, c, later).Damaged {
			t.Errorf("%s: a record begun after the loss is in doubt", when)
		}
		if err := c.Close(); err != nil {
			t.Fatal(err)
		}
		c = open(t, disk)
	}
	b := disk.Bytes("journal-00000001")
	b[len(b)-5] ^= 1
	disk.Put("journal-00000001", b)
	if c = open(t, disk); !show(t, c, id).Damaged {
		t.Error("another line is lost, and nobody asks to look again")
	}
}

// TestATornTailIsNoDamage: the line was never acknowledged; it is said beside
// the figures until somebody has looked, and they stand.
func TestATornTailIsNoDamage(t *testing.T) {
	disk, id := written(t)
	b := disk.Bytes(segment)
	disk.Put(segment, b[:len(b)-3])
	c := open(t, disk)
	r, l := show(t, c, id), ask[*companion.BirthCeilingRequest, companion.CeilingReply](t, c, "birth.ceiling", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "1"})
	if r.Damaged || l.Damaged || !r.LastCut || !l.LastCut || l.RemainingMl != "4.4" {
		t.Errorf("%+v, damaged %v, last cut %v", l, r.Damaged, r.LastCut)
	}
	save(t, c, "birth.looked_through", &companion.BirthRequest{Birth: id})
	if show(t, c, id).LastCut {
		t.Error("looked through, and still asked")
	}
}

// TestAnEntryThatCannotBeReadIsDamage: a frame that holds, and an entry in it
// that does not.
func TestAnEntryThatCannotBeReadIsDamage(t *testing.T) {
	disk, id := written(t)
	appendRaw(t, disk, []byte{0x81, 0xa1, 'v'})
	if c := open(t, disk); len(settles(t, c, id)) > 0 {
		t.Errorf("an entry that cannot be read, and the record says %q", settles(t, c, id))
	}
}
