package companion_test

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

var agents = []string{"lidocaine", "bupivacaine", "ropivacaine", "levobupivacaine", "mepivacaine", "chloroprocaine", "prilocaine"}

// label draws an agent, one of its strengths, and the form.
func label(t *rapid.T, c *companion.Companion) companion.DoseGiven {
	agent := rapid.SampledFrom(agents).Draw(t, "agent")
	var table companion.TableReply
	if f := c.Ask("anaesthetic.table", &companion.AgentRequest{Agent: agent}, &table); f != nil {
		t.Fatal(f)
	}
	return companion.DoseGiven{Agent: agent, Adrenaline: rapid.Bool().Draw(t, "adrenaline"),
		StrengthPercent: rapid.SampledFrom(table.Strengths).Draw(t, "strength").Percent,
		Ml:              rapid.SampledFrom([]string{"0.001", "0.1", "1", "3.333", "10", "20", "75.5", "1000"}).Draw(t, "ml")}
}

// A ledger is a birth's record beside the same answers kept by hand.
type ledger struct {
	t      *rapid.T
	c      *companion.Companion
	id     string
	byHand companion.CeilingRequest
	given  companion.DosesGiven // those that stand
	events []string             // theirs
	told   string               // of what was given before
	priors int                  // of those that stand
}

func newLedger(t *rapid.T) *ledger {
	l := &ledger{t: t, c: openIn(t, journaltest.New()), byHand: companion.CeilingRequest{Source: "lowest", Mixing: "strictest"}}
	l.id = l.save("birth.open", &companion.OpenRequest{Born: "now"}).Birth
	return l
}

func (l *ledger) save(topic string, q any) (s companion.SavedReply) {
	if f := l.c.Ask(topic, q, &s); f != nil {
		l.t.Fatalf("%s: %v", topic, f)
	}
	return s
}

// step does one thing at random in the record and by hand.
func (l *ledger) step() {
	t := l.t
	switch rapid.SampledFrom([]string{"weigh", "not weighed", "prior", "inject", "inject", "correct", "correct"}).Draw(t, "step") {
	case "weigh":
		kg := rapid.SampledFrom([]string{"30", "39.999", "66.667", "70", "70.001", "120", "200"}).Draw(t, "kg")
		cm := rapid.SampledFrom([]int{120, 150, 165, 220}).Draw(t, "cm")
		l.save("birth.weigh", &companion.WeighRequest{Birth: l.id, WeightKg: kg, HeightCm: &cm, Confirmed: true})
		l.byHand.WeightKg, l.byHand.HeightCm = kg, &cm
	case "not weighed":
		l.save("birth.weigh", &companion.WeighRequest{Birth: l.id, NotWeighed: true})
		l.byHand.WeightKg, l.byHand.HeightCm = "", nil
	case "prior":
		l.told = rapid.SampledFrom([]string{"nothing", "listed", "nobody_knows"}).Draw(t, "told")
		l.save("birth.prior", &companion.PriorRequest{Birth: l.id, Told: l.told})
	case "inject":
		l.inject()
	case "correct":
		if len(l.events) > 0 {
			l.correct(rapid.IntRange(0, len(l.events)-1).Draw(t, "which"))
		}
	}
}

func (l *ledger) inject() {
	d, prior := label(l.t, l.c), rapid.Bool().Draw(l.t, "prior")
	s := l.save("birth.inject", &companion.InjectRequest{Birth: l.id, Agent: d.Agent, Adrenaline: d.Adrenaline, Ml: d.Ml, StrengthPercent: d.StrengthPercent, Prior: prior})
	l.given, l.events = append(l.given, d), append(l.events, s.Event)
	if prior {
		l.priors++
	}
}

// correct puts the i-th dose right, or takes it back.
func (l *ledger) correct(i int) {
	of := l.events[i]
	if rapid.Bool().Draw(l.t, "put right") {
		d := label(l.t, l.c)
		l.save("birth.correct_dose", &companion.CorrectRequest{Birth: l.id, Of: of, Agent: d.Agent, Adrenaline: d.Adrenaline, Ml: d.Ml, StrengthPercent: d.StrengthPercent})
		l.given[i] = d
		return
	}
	for _, d := range showIn(l.t, l.c, l.id).Doses {
		if d.Event == of && d.Prior {
			l.priors--
		}
	}
	l.save("birth.correct_dose", &companion.CorrectRequest{Birth: l.id, Of: of, Void: true})
	l.given = append(l.given[:i:i], l.given[i+1:]...)
	l.events = append(l.events[:i:i], l.events[i+1:]...)
}

// limits asks the record and the hand for the limit of one label.
func (l *ledger) limits(asked companion.DoseGiven) (record, hand []byte) {
	l.byHand.PriorUnknown = l.told == "" || l.told == "nobody_knows" || l.told == "listed" && l.priors == 0
	l.byHand.Given = &l.given
	l.byHand.Agent, l.byHand.Adrenaline, l.byHand.StrengthPercent = asked.Agent, asked.Adrenaline, asked.StrengthPercent
	byRecord := companion.BirthCeilingRequest{Birth: l.id, Agent: asked.Agent, Adrenaline: asked.Adrenaline, StrengthPercent: asked.StrengthPercent}
	return l.c.Call("birth.ceiling", companion.Encode(&byRecord)), l.c.Call("anaesthetic.ceiling", companion.Encode(&l.byHand))
}

// TestARecordAndItsAnswersByHandGiveOneLimit: whatever was written into a
// birth in whatever order, corrected, taken back or listed from before, its
// limit is, byte for byte, the one that the same answers give without a record.
func TestARecordAndItsAnswersByHandGiveOneLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := newLedger(t)
		for range rapid.IntRange(0, 8).Draw(t, "steps") {
			l.step()
		}
		record, hand := l.limits(label(t, l.c))
		if !bytes.Equal(record, hand) {
			t.Fatalf("by the record %q\nby hand %q", record, hand)
		}
		var r companion.CeilingReply
		if f := companion.DecodeReply(record, &r); f != nil {
			t.Fatal(f)
		}
		if r.PriorUnknown != l.byHand.PriorUnknown || r.PriorUnknown && r.RemainingMg+r.RemainingMl != "" {
			t.Fatalf("told %q, %d doses before: %+v", l.told, l.priors, r)
		}
	})
}

// openIn and showIn are open and show inside a property.
func openIn(t *rapid.T, disk *journaltest.Disk) *companion.Companion {
	c, err := companion.Open(host(disk))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func showIn(t *rapid.T, c *companion.Companion, id string) companion.BirthReply {
	var b companion.BirthReply
	if f := c.Ask("birth.show", &companion.BirthRequest{Birth: id}, &b); f != nil {
		t.Fatal(f)
	}
	return b
}
