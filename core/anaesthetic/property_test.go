package anaesthetic_test

import (
	"math/big"
	"slices"
	"testing"

	"fourchette/core/amount"
	. "fourchette/core/anaesthetic"

	"pgregory.net/rapid"
)

// each calls f for every agent, form, source and strength there is, Lowest and
// "no strength" among them, and fails if there were suspiciously few.
func each(t interface{ Fatalf(string, ...any) }, f func(Request)) {
	calls := 0
	for _, a := range Agents() {
		for _, adrenaline := range []bool{false, true} {
			for _, source := range append(Sources(a, adrenaline), Lowest, "") {
				for _, s := range append(Strengths(a), 0) {
					f(Request{Agent: a, Adrenaline: adrenaline, Source: source, Strength: s, GivenKnown: true})
					calls++
				}
			}
		}
	}
	if calls < 200 {
		t.Fatalf("only %d combinations were tried", calls)
	}
}

// publishedAt is what the published row with this key allows at w, in
// micrograms and exactly; for Lowest the smallest of all the agent's rows. It
// walks the table another way than Limit does.
func publishedAt(r Request, w amount.Weight) *big.Rat {
	var least *big.Rat
	for _, rule := range Rules() {
		named := rule.Key == r.Source && rule.Adrenaline == r.Adrenaline
		if rule.Agent != r.Agent || rule.PerKg == 0 || !named && r.Source != Lowest && r.Source != "" {
			continue
		}
		allowed := big.NewRat(int64(rule.PerKg)*int64(w), 1000)
		if top := big.NewRat(int64(rule.Cap), 1); rule.Cap > 0 && allowed.Cmp(top) > 0 {
			allowed = top
		}
		if least == nil || allowed.Cmp(least) < 0 {
			least = allowed
		}
	}
	return least
}

// inVolume is the exact mass in v at s, in micrograms.
func inVolume(v amount.Volume, s amount.Strength) *big.Rat {
	return big.NewRat(int64(v)*int64(s), 1000)
}

func micrograms(m amount.Mass) *big.Rat { return big.NewRat(int64(m), 1) }

// aWeight draws a weight from 30 to 200 kg in grams.
func aWeight(t *rapid.T) amount.Weight {
	return amount.Weight(rapid.Int64Range(30_000, 200_000).Draw(t, "grams"))
}

// TestCeilingNeverAbovePublished: for every source, agent, form, strength and
// drawn weight, the milligrams in the volume shown ≤ the milligrams shown ≤
// what the source publishes at that weight held to 70 kg, and no more is cut
// off than one step.
func TestCeilingNeverAbovePublished(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := aWeight(t)
		each(t, func(r Request) {
			r.Body.Weight = w
			checkCeiling(t, r, limit(t, r))
		})
	})
}

// TestCeilingAtEveryStep walks all weights in steps of a prime number of grams,
// and the grams round each bound.
func TestCeilingAtEveryStep(t *testing.T) {
	weights := []amount.Weight{30_000, 30_001, 66_666, 66_667, 69_999, 70_000, 70_001, 71_428, 71_429, 75_000, 199_999, 200_000}
	for w := amount.Weight(30_000); w <= 200_000; w += 997 {
		weights = append(weights, w)
	}
	for _, w := range weights {
		each(t, func(r Request) {
			r.Body.Weight = w
			checkCeiling(t, r, limit(t, r))
		})
	}
}

func checkCeiling(t interface{ Fatalf(string, ...any) }, r Request, c Ceiling) {
	top := publishedAt(r, min(r.Body.Weight, 70_000))
	if micrograms(c.Mass).Cmp(top) > 0 || micrograms(c.Mass+100).Cmp(top) <= 0 {
		t.Fatalf("%+v: %s mg is not %s µg cut to 0.1 mg", r, c.Mass.Milligrams(), top.FloatString(3))
	}
	if c.Mass%100 != 0 || c.Volume%100 != 0 {
		t.Fatalf("%+v: %+v is not in tenths", r, c)
	}
	if inVolume(c.Volume, r.Strength).Cmp(micrograms(c.Mass)) > 0 {
		t.Fatalf("%+v: %s mL hold more than %s mg", r, c.Volume.Millilitres(), c.Mass.Milligrams())
	}
	if r.Strength == 0 && c.Volume != 0 {
		t.Fatalf("%+v: a volume without a strength: %+v", r, c)
	}
	if r.Strength != 0 && inVolume(c.Volume+100, r.Strength).Cmp(micrograms(c.Mass)) <= 0 && !(r.Adrenaline && c.Volume == 100_000) {
		t.Fatalf("%+v: %s mL is more than a step below %s mg", r, c.Volume.Millilitres(), c.Mass.Milligrams())
	}
	if r.Adrenaline && inVolume(c.Volume, AdrenalineStrength).Cmp(micrograms(AdrenalineMost)) > 0 {
		t.Fatalf("%+v: %s mL hold too much adrenaline", r, c.Volume.Millilitres())
	}
}

// TestHeavierIsHeld: above 70 kg nobody gets more than at 70 kg, and below it
// a heavier woman never gets less.
func TestHeavierIsHeld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := aWeight(t), aWeight(t)
		light, heavy := min(a, b), max(a, b)
		each(t, func(r Request) {
			r.Body.Weight = light
			less := limit(t, r)
			r.Body.Weight = heavy
			more := limit(t, r)
			r.Body.Weight = 70_000
			held := limit(t, r)
			if more.Mass < less.Mass || more.Mass > held.Mass || more.Volume > held.Volume {
				t.Fatalf("%+v: %d, %d µg at %d, %d g; %d µg at 70 kg", r, less.Mass, more.Mass, light, heavy, held.Mass)
			}
			if heavy > 70_000 && more.BoundBy == BoundByWeight {
				t.Fatalf("%+v: %d g says it is bound by her weight", r, heavy)
			}
		})
	})
}

// TestHeightNeverRaises: knowing the height can only lower a ceiling.
func TestHeightNeverRaises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		r.Body.HeightCm = 0
		without := limit(t, r)
		r.Body.HeightCm = rapid.IntRange(120, 220).Draw(t, "cm")
		with := limit(t, r)
		if with.Mass > without.Mass || with.DosedFor > without.DosedFor || with.DosedFor < 30_000 {
			t.Fatalf("%+v: %+v with the height, %+v without", r, with, without)
		}
	})
}

// TestNotWeighedIs30kg: every answer is the one for 30 kg, and says so.
func TestNotWeighedIs30kg(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		r.Body = Body{}
		none := limit(t, r)
		r.Body.Weight = 30_000
		thirty := limit(t, r)
		if !none.WeightAssumed || thirty.WeightAssumed {
			t.Fatalf("%+v: assumed %t and %t", r, none.WeightAssumed, thirty.WeightAssumed)
		}
		none.WeightAssumed, none.ConfirmWeight, none.Cautions = false, true, thirty.Cautions
		if !slices.Equal(none.Cautions, thirty.Cautions) || !equal(none, thirty) {
			t.Fatalf("%+v: not weighed %+v, 30 kg %+v", r, none, thirty)
		}
	})
}

// equal compares all but the cautions.
func equal(a, b Ceiling) bool {
	return a.Mass == b.Mass && a.Volume == b.Volume && a.BoundBy == b.BoundBy && a.DosedFor == b.DosedFor &&
		a.Source == b.Source && a.ConfirmWeight == b.ConfirmWeight && a.PriorUnknown == b.PriorUnknown &&
		a.Remaining == b.Remaining && a.RemainingVolume == b.RemainingVolume && a.RemainingBoundBy == b.RemainingBoundBy && a.Over == b.Over
}

// aDose draws a dose of up to 300 mg of any agent, often a round one.
func aDose() *rapid.Generator[Dose] {
	return rapid.Custom(func(t *rapid.T) Dose {
		mass := rapid.OneOf(rapid.Int64Range(0, 300_000), rapid.Map(rapid.Int64Range(0, 30), func(n int64) int64 { return n * 10_000 }))
		return Dose{
			Agent:      rapid.SampledFrom(Agents()).Draw(t, "given agent"),
			Adrenaline: rapid.Bool().Draw(t, "given adrenaline"),
			Mass:       amount.Mass(mass.Draw(t, "given µg")),
			Volume:     amount.Volume(rapid.Int64Range(0, 60_000).Draw(t, "given µL")),
		}
	})
}

// aRequest draws any request that names what exists.
func aRequest(t *rapid.T) Request {
	a := rapid.SampledFrom(Agents()).Draw(t, "agent")
	adrenaline := rapid.Bool().Draw(t, "adrenaline")
	return Request{
		Agent: a, Adrenaline: adrenaline,
		Source:     rapid.SampledFrom(append(Sources(a, adrenaline), Lowest, "")).Draw(t, "source"),
		Strength:   rapid.SampledFrom(append(Strengths(a), 0)).Draw(t, "strength"),
		Body:       Body{Weight: aWeight(t), HeightCm: rapid.SampledFrom([]int{0, 0, 145, 160, 175}).Draw(t, "cm")},
		Given:      rapid.SliceOfN(aDose(), 0, 5).Draw(t, "given"),
		GivenKnown: true,
		Mixing:     rapid.SampledFrom([]string{"", Strictest, Fractions}).Draw(t, "mixing"),
	}
}

// TestRemainderKeepsTheLimit: what remains and what was given never pass the
// limit together, by the rule that was asked for, and no more is held back
// than one step. The sums are done here again in exact fractions.
func TestRemainderKeepsTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		c := limit(t, r)
		if c.Remaining%100 != 0 || c.Remaining > c.Mass || c.RemainingVolume > c.Volume {
			t.Fatalf("%+v: remainder %+v", r, c)
		}
		if inVolume(c.RemainingVolume, r.Strength).Cmp(micrograms(c.Remaining)) > 0 {
			t.Fatalf("%+v: the volume holds more than remains: %+v", r, c)
		}
		room := roomLeft(t, r)
		if c.Over != (room.Sign() < 0) {
			t.Fatalf("%+v: over %t with %s µg of room", r, c.Over, room.FloatString(3))
		}
		if c.Over {
			if c.Remaining != 0 || c.RemainingVolume != 0 || !slices.Contains(c.Cautions, CautionOver) {
				t.Fatalf("%+v: over, and still %+v", r, c)
			}
			return
		}
		if micrograms(c.Remaining).Cmp(room) > 0 || micrograms(c.Remaining+100).Cmp(room) <= 0 {
			t.Fatalf("%+v: %d µg is not %s µg cut to 0.1 mg", r, c.Remaining, room.FloatString(6))
		}
	})
}

// roomLeft is what remains by the rule asked for, exact, below nought when over.
// Ceilings of single agents come from Limit itself, which the tests above check.
func roomLeft(t *rapid.T, r Request) *big.Rat {
	given, top := map[Agent]amount.Mass{}, map[Agent]amount.Mass{r.Agent: ceilingOf(t, r, r.Agent, r.Adrenaline)}
	for _, d := range r.Given {
		if d.Mass == 0 {
			continue
		}
		given[d.Agent] += d.Mass
		form := ceilingOf(t, r, d.Agent, d.Adrenaline)
		if old, ok := top[d.Agent]; !ok || form < old {
			top[d.Agent] = form
		}
	}
	if r.Mixing == Fractions && len(top) > 1 {
		room := big.NewRat(1, 1)
		for a, m := range given {
			room.Sub(room, big.NewRat(int64(m), int64(top[a])))
		}
		return room.Mul(room, micrograms(top[r.Agent]))
	}
	least, sum := top[r.Agent], amount.Mass(0)
	for a, m := range top {
		least, sum = min(least, m), sum+given[a]
	}
	return micrograms(least - sum)
}

func ceilingOf(t *rapid.T, r Request, a Agent, adrenaline bool) amount.Mass {
	source := r.Source
	if !slices.Contains(Sources(a, adrenaline), source) {
		source = Lowest
	}
	return limit(t, Request{Agent: a, Adrenaline: adrenaline, Source: source, Body: r.Body}).Mass
}

// TestMoreGivenNeverLeavesMore: one more dose, of whatever agent and form, and
// not less remains of nothing; the order of doses changes nothing.
func TestMoreGivenNeverLeavesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		before := limit(t, r)
		r.Given = append(r.Given, aDose().Draw(t, "more"))
		after := limit(t, r)
		if after.Remaining > before.Remaining || after.RemainingVolume > before.RemainingVolume || before.Over && !after.Over {
			t.Fatalf("%+v: %+v before the last dose, %+v after", r, before, after)
		}
		r.Given = rapid.Permutation(r.Given).Draw(t, "order")
		if again := limit(t, r); !equal(again, after) || !slices.Equal(again.Cautions, after.Cautions) {
			t.Fatalf("%+v: another order gives %+v, not %+v", r, again, after)
		}
	})
}

// TestFractionsOfAllAgents: with all seven agents given the common denominator
// is at its longest.
func TestFractionsOfAllAgents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		r.Mixing, r.Given = Fractions, nil
		for _, a := range Agents() {
			r.Given = append(r.Given, Dose{Agent: a, Mass: amount.Mass(rapid.Int64Range(1, 60_000).Draw(t, string(a)))})
		}
		c, room := limit(t, r), roomLeft(t, r)
		if c.Over != (room.Sign() < 0) || !c.Over && (micrograms(c.Remaining).Cmp(room) > 0 || micrograms(c.Remaining+100).Cmp(room) <= 0) {
			t.Fatalf("%+v: %d µg, over %t; exact %s", r, c.Remaining, c.Over, room.FloatString(9))
		}
	})
}

// TestLimitTakesAnything: whatever numbers come in, the answer is a ceiling of
// a published size or an *Error.
func TestLimitTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := aRequest(t)
		r.Body = Body{amount.Weight(rapid.Int64().Draw(t, "w")), rapid.Int().Draw(t, "h")}
		if rapid.Bool().Draw(t, "plausible") {
			r.Body = Body{Weight: 60_000}
		}
		r.Given = append(r.Given, Dose{Lidocaine, true, amount.Mass(rapid.Int64().Draw(t, "m")), amount.Volume(rapid.Int64().Draw(t, "v"))})
		c, err := Limit(r)
		if _, ok := err.(*Error); err != nil && !ok {
			t.Fatalf("%+v: %v is not an *Error", r, err)
		}
		if err == nil && (c.Mass <= 0 || c.Mass > 1_000_000 || c.Remaining < 0 || c.Remaining > c.Mass) {
			t.Fatalf("%+v: %+v", r, c)
		}
	})
}
