package main

import (
	"strings"

	"fourchette/core/birth"
)

const (
	device = "aebagbaf"
	// recent is how many births a clinic of 27 a day has before itself: those of
	// two days, of which some are open.
	recent    = 60
	stillOpen = 8
	// frameAndSeal is what our journal adds to an event.
	frameAndSeal = 16 + 41
)

// A clinic tells what happened at invented births, the same every time.
type clinic struct {
	w     birth.Writer
	now   birth.Now
	dice  uint32
	run   int
	bytes int64
}

func newClinic() *clinic {
	return &clinic{w: birth.Writer{Device: device}, now: birth.Now{Wall: 1_700_000_000_000}, dice: 1}
}

func (c *clinic) roll(n int) int {
	c.dice = c.dice*1664525 + 1013904223
	return int(c.dice>>8) % n
}

func pick[T any](c *clinic, of ...T) T { return of[c.roll(len(of))] }

// event stamps one event, some seconds after the one before.
func (c *clinic) event(n int, kind string, body func(*birth.Event)) birth.Record {
	step := int64(4_000 + c.roll(90_000))
	c.now.Wall, c.now.Running = c.now.Wall+step, c.now.Running+step
	e := c.w.Next(birth.BirthID(device, uint64(n)), kind, c.now)
	if body != nil {
		body(&e)
	}
	r, err := e.Record()
	if err != nil {
		panic(err) // an invented event is wrong
	}
	c.bytes += int64(len(r.Raw))
	return r
}

// newRun begins another run of the program.
func (c *clinic) newRun() {
	c.run++
	id := make([]byte, 16)
	for i := range id {
		id[i] = "0123456789abcdef"[c.roll(16)]
	}
	c.now.Run, c.now.Running = string(id), int64(c.roll(60_000))
}

// birth tells one birth, in about 30 events.
func (c *clinic) birth(n int, closed bool) (list []birth.Record) {
	if c.roll(4) == 0 || c.now.Run == "" {
		c.newRun()
	}
	say := func(kind string, body func(*birth.Event)) { list = append(list, c.event(n, kind, body)) }
	ask := func(question string, words ...string) {
		say(birth.KindAnswer, func(e *birth.Event) {
			e.Answer = &birth.Answer{Question: question, Kind: birth.AnswerChoice, Value: pick(c, words...)}
		})
	}
	number := func(question string, least, range_ int) {
		say(birth.KindAnswer, func(e *birth.Event) {
			e.Answer = &birth.Answer{Question: question, Kind: birth.AnswerNumber, Number: int64(least + c.roll(range_))}
		})
	}
	say(birth.KindOpened, func(e *birth.Event) {
		e.Opened = &birth.Opened{Bed: pick(c, "1", "2", "3", "4", "5", "6"), BornAt: c.now.Wall - 600_000, BornKnown: true}
	})
	ask("uterus_firm", "yes", "no")
	ask("placenta_complete", "yes", "unsure")
	number("pulse", 60, 50)
	number("systolic", 90, 60)
	number("loss_ml", 100, 600)
	ask("consent_exam", "yes")
	for _, name := range []string{"perineal_skin", "vaginal_mucosa", "perineal_muscle", "internal_sphincter", "anorectal_mucosa"} {
		say(birth.KindFinding, func(e *birth.Event) {
			e.Finding = &birth.Finding{Name: name, Value: pick(c, "intact", "torn", "torn", "unsure")}
		})
	}
	say(birth.KindFinding, func(e *birth.Event) { e.Finding = &birth.Finding{Name: "external_sphincter", Value: "intact"} })
	say(birth.KindRectal, func(e *birth.Event) { e.Rectal = &birth.Rectal{Value: "done"} })
	say(birth.KindGradeNoted, func(e *birth.Event) {
		e.GradeNoted = &birth.GradeNoted{Grade: "2", AtLeast: "2", AtMost: "2", TreatAs: "2", Settled: true, Because: []string{"muscle_torn"}}
	})
	ask("consent_repair", "yes")
	say(birth.KindWeight, func(e *birth.Event) { e.Weight = &birth.Weight{Grams: int64(50_000 + c.roll(30_000))} })
	say(birth.KindPrior, func(e *birth.Event) { e.Prior = &birth.Prior{Told: birth.PriorNothing} })
	say(birth.KindLimitNoted, func(e *birth.Event) {
		e.LimitNoted = &birth.LimitNoted{Agent: "lidocaine", Strength: 10_000, Micrograms: int64(150_000 + 100*c.roll(1000)), Microlitres: 15_000, BoundBy: "weight", Source: "lowest"}
	})
	say(birth.KindDose, func(e *birth.Event) {
		e.Dose = &birth.Dose{Agent: "lidocaine", Micrograms: 100_000, Microlitres: 10_000, Strength: 10_000, Site: "perineum"}
	})
	ask("numb_felt", "no", "yes")
	say(birth.KindCount, func(e *birth.Event) {
		e.Count = &birth.Count{Phase: birth.CountIn, Items: []birth.CountItem{{Item: "swab", N: 5 + c.roll(10)}, {Item: "needle", N: 1 + c.roll(3)}, {Item: "tampon", N: 1}}}
	})
	for _, layer := range []string{"vaginal_mucosa", "perineal_muscle", "perineal_skin"} {
		say(birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: layer, Done: true} })
	}
	if !closed {
		return list
	}
	say(birth.KindCount, func(e *birth.Event) {
		e.Count = &birth.Count{Phase: birth.CountOut, Items: []birth.CountItem{{Item: "swab", N: 5 + c.roll(10)}, {Item: "needle", N: 1 + c.roll(3)}, {Item: "tampon", N: 1}}}
	})
	ask("final_firm", "yes")
	say(birth.KindVisit, func(e *birth.Event) {
		e.Visit = &birth.Visit{Key: "day_3", Date: "2027-0" + pick(c, "1", "2", "3") + "-1" + pick(c, strings.Split("0123456789", "")...), Confirmed: true}
	})
	say(birth.KindVisit, func(e *birth.Event) {
		e.Visit = &birth.Visit{Key: "week_6", Date: "2027-05-2" + pick(c, "1", "2", "3"), Confirmed: true}
	})
	say(birth.KindClosed, nil)
	return list
}
