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

// TestARecordAndItsAnswersByHandGiveOneLimit: whatever was written into a
// birth in whatever order, corrected, taken back or listed from before, its
// limit is, byte for byte, the one that the same answers give without a record.
func TestARecordAndItsAnswersByHandGiveOneLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := openIn(t, journaltest.New())
		saving := func(topic string, q any) companion.SavedReply {
			var s companion.SavedReply
			if f := c.Ask(topic, q, &s); f != nil {
				t.Fatalf("%s: %v", topic, f)
			}
			return s
		}
		id := saving("birth.open", &companion.OpenRequest{Born: "now"}).Birth
		by := companion.CeilingRequest{Source: "lowest", Mixing: "strictest"}
		by.PriorUnknown = true
		given := companion.DosesGiven{}
		var events []string
		told, priors := "", 0
		for range rapid.IntRange(0, 8).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"weigh", "not weighed", "prior", "inject", "inject", "correct", "void"}).Draw(t, "step") {
			case "weigh":
				kg := rapid.SampledFrom([]string{"30", "39.999", "66.667", "70", "70.001", "120", "200"}).Draw(t, "kg")
				cm := rapid.SampledFrom([]int{120, 150, 165, 220}).Draw(t, "cm")
				saving("birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: kg, HeightCm: &cm, Confirmed: true})
				by.WeightKg, by.HeightCm = kg, &cm
			case "not weighed":
				saving("birth.weigh", &companion.WeighRequest{Birth: id, NotWeighed: true})
				by.WeightKg, by.HeightCm = "", nil
			case "prior":
				told = rapid.SampledFrom([]string{"nothing", "listed", "nobody_knows"}).Draw(t, "told")
				saving("birth.prior", &companion.PriorRequest{Birth: id, Told: told})
			case "inject":
				d, prior := label(t, c), rapid.Bool().Draw(t, "prior")
				s := saving("birth.inject", &companion.InjectRequest{Birth: id, Agent: d.Agent, Adrenaline: d.Adrenaline, Ml: d.Ml, StrengthPercent: d.StrengthPercent, Prior: prior})
				given, events = append(given, d), append(events, s.Event)
				if prior {
					priors++
				}
			case "correct", "void":
				if len(events) == 0 {
					continue
				}
				i := rapid.IntRange(0, len(events)-1).Draw(t, "which")
				if rapid.Bool().Draw(t, "put right") {
					d := label(t, c)
					saving("birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: events[i], Agent: d.Agent, Adrenaline: d.Adrenaline, Ml: d.Ml, StrengthPercent: d.StrengthPercent})
					given[i] = d
					continue
				}
				for _, d := range showIn(t, c, id).Doses {
					if d.Event == events[i] && d.Prior {
						priors--
					}
				}
				saving("birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: events[i], Void: true})
				given = append(given[:i:i], given[i+1:]...)
				events = append(events[:i:i], events[i+1:]...)
			}
		}
		by.PriorUnknown = told == "" || told == "nobody_knows" || told == "listed" && priors == 0
		by.Given = &given
		asked := label(t, c)
		by.Agent, by.Adrenaline, by.StrengthPercent = asked.Agent, asked.Adrenaline, asked.StrengthPercent
		record, hand := companion.Encode(&companion.BirthCeilingRequest{Birth: id, Agent: asked.Agent, Adrenaline: asked.Adrenaline, StrengthPercent: asked.StrengthPercent}), companion.Encode(&by)
		a, b := c.Call("birth.ceiling", record), c.Call("anaesthetic.ceiling", hand)
		if !bytes.Equal(a, b) {
			t.Fatalf("by the record %q\nby hand %q", a, b)
		}
		var r companion.CeilingReply
		if f := companion.DecodeReply(a, &r); f != nil {
			t.Fatal(f)
		}
		if r.PriorUnknown != by.PriorUnknown || r.PriorUnknown && r.RemainingMg+r.RemainingMl != "" {
			t.Fatalf("told %q, %d doses before: %+v", told, priors, r)
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
