package anaesthetic_test

import (
	"errors"
	"slices"
	"testing"

	"fourchette/core/amount"
	. "fourchette/core/anaesthetic"
)

// reference is the published table, copied by hand from its printed figures.
var reference = []struct {
	key        string
	agent      Agent
	adrenaline string // "no", "yes" or "no or yes"
	perKg, cap string // "–": none printed
	read       string
}{
	{"uk", Lidocaine, "no", "3", "200", "2nd"},
	{"who", Lidocaine, "no", "4", "–", "2nd"},
	{"us_label", Lidocaine, "no", "4.5", "300", "FOUND"},
	{"norway", Lidocaine, "no", "–", "400", "FOUND"},
	{"nomogram", Lidocaine, "yes", "6", "–", "2nd"},
	{"who", Lidocaine, "yes", "7", "–", "2nd"},
	{"us_label", Lidocaine, "yes", "7", "500", "FOUND"},
	{"norway", Lidocaine, "yes", "–", "400", "FOUND"},
	{"uk_smpc", Bupivacaine, "no or yes", "2", "150", "FOUND"},
	{"emergency_table", Bupivacaine, "no", "2.5", "175", "FOUND"},
	{"emergency_table", Bupivacaine, "yes", "–", "225", "FOUND"},
	{"tg_au", Ropivacaine, "no or yes", "3", "200", "FOUND"},
	{"dictionary", Levobupivacaine, "no", "2", "150", "FOUND"},
	{"us_ref", Mepivacaine, "no", "7", "400", "FOUND"},
	{"dental_au", Mepivacaine, "no", "4.4", "300", "FOUND"},
	{"us_label", Chloroprocaine, "no", "11", "800", "FOUND"},
	{"us_label", Chloroprocaine, "yes", "14", "1000", "FOUND"},
	{"tg_au", Prilocaine, "no", "6", "400", "FOUND"},
}

func TestRulesAreTheReference(t *testing.T) {
	rules := Rules()
	for _, row := range reference {
		for _, form := range map[string][]bool{"no": {false}, "yes": {true}, "no or yes": {false, true}}[row.adrenaline] {
			if len(rules) == 0 {
				t.Fatalf("the table ends before %s %s", row.key, row.agent)
			}
			got := rules[0]
			rules = rules[1:]
			if got.Key != row.key || got.Agent != row.agent || got.Adrenaline != form {
				t.Fatalf("row %s %s %t stands where %s %s %t belongs", got.Key, got.Agent, got.Adrenaline, row.key, row.agent, form)
			}
			if got.PerKg != rate(t, row.perKg) || got.Cap != milligrams(t, row.cap) || got.Read != row.read || got.Source == "" {
				t.Errorf("%+v is not the printed %v", got, row)
			}
		}
	}
	if len(rules) > 0 {
		t.Errorf("rows that the reference does not print: %v", rules)
	}
}

func TestRulesIsACopy(t *testing.T) {
	Rules()[0].PerKg = 1
	if Rules()[0].PerKg == 1 {
		t.Error("a caller can change the table")
	}
}

// TestWorkedCeilings holds the reference's own figures.
func TestWorkedCeilings(t *testing.T) {
	for _, c := range []struct {
		source           string // of the figures
		agent            Agent
		adrenaline       bool
		key, kg, percent string
		mg, ml, bound    string
	}{
		{"derived in the reference, 40 kg uk", Lidocaine, false, "uk", "40", "0.5", "120", "24", "weight"},
		{"derived in the reference, 40 kg uk", Lidocaine, false, "uk", "40", "1", "120", "12", "weight"},
		{"derived in the reference, 40 kg uk", Lidocaine, false, "uk", "40", "2", "120", "6", "weight"},
		{"derived in the reference, 50 kg", Lidocaine, false, "lowest", "50", "0.5", "150", "30", "weight"},
		{"derived in the reference, 50 kg", Lidocaine, false, "lowest", "50", "1", "150", "15", "weight"},
		{"derived in the reference, 50 kg", Lidocaine, false, "lowest", "50", "2", "150", "7.5", "weight"},
		{"derived in the reference, 70 kg", Lidocaine, false, "", "70", "0.5", "200", "40", "cap"},
		{"derived in the reference, 70 kg", Lidocaine, false, "", "70", "1", "200", "20", "cap"},
		{"derived in the reference, 70 kg", Lidocaine, false, "", "70", "2", "200", "10", "cap"},
		{"reference, not weighed", Lidocaine, false, "", "0", "0.5", "90", "18", "weight"},
		{"reference, not weighed", Lidocaine, false, "", "0", "1", "90", "9", "weight"},
		{"reference, no uplift for adrenaline", Lidocaine, true, "lowest", "60", "1", "180", "18", "weight"},
		{"Oxford medical education page", Lidocaine, true, "us_label", "70", "1", "490", "49", "weight"},
		{"dental practice page, 42 mL", Lidocaine, true, "us_label", "60", "1", "420", "42", "weight"},
		{"reference, held to 70 kg", Lidocaine, true, "us_label", "90", "1", "490", "49", "weight_limit"},
		{"reference, held to 70 kg", Lidocaine, true, "nomogram", "90", "2", "420", "21", "weight_limit"},
		{"reference, held to 70 kg", Lidocaine, false, "who", "120", "2", "280", "14", "weight_limit"},
		{"reference, bupivacaine default", Bupivacaine, false, "", "60", "0.5", "120", "24", "weight"},
		{"reference, 2·150 would bind at 75 kg, 70 holds first", Bupivacaine, true, "", "80", "0.5", "140", "28", "weight_limit"},
		{"reference, 2.5·175 binds at 70 kg", Bupivacaine, false, "emergency_table", "70", "0.25", "175", "70", "cap"},
		// Pudendal: 40 mL of 0.5 % are 200 mg and pass 4 mg/kg below 50 kg and
		// 3 mg/kg below 66.7 kg (MCPC P-3 to P-6: 30 mL, and 10 mL kept).
		{"pudendal at 4 mg/kg", Lidocaine, false, "who", "50", "0.5", "200", "40", "weight"},
		{"pudendal at 4 mg/kg, just below", Lidocaine, false, "who", "49.999", "0.5", "199.9", "39.9", "weight"},
		{"pudendal at 3 mg/kg", Lidocaine, false, "uk", "66.667", "0.5", "200", "40", "cap"},
		{"pudendal at 3 mg/kg, just below", Lidocaine, false, "uk", "66.666", "0.5", "199.9", "39.9", "weight"},
	} {
		got, err := Limit(Request{Agent: c.agent, Adrenaline: c.adrenaline, Strength: percent(t, c.percent),
			Body: Body{Weight: kilograms(t, c.kg)}, Source: c.key, GivenKnown: true})
		if err != nil {
			t.Errorf("%s: %v", c.source, err)
			continue
		}
		if got.Mass.Milligrams() != c.mg || got.Volume.Millilitres() != c.ml || got.BoundBy != c.bound {
			t.Errorf("%s: %s mg, %s mL by %s; want %s, %s by %s", c.source,
				got.Mass.Milligrams(), got.Volume.Millilitres(), got.BoundBy, c.mg, c.ml, c.bound)
		}
		if got.Remaining != got.Mass || got.RemainingVolume != got.Volume || got.RemainingBoundBy != RemainingByOwn || got.Over {
			t.Errorf("%s: nothing was given, so all must remain: %+v", c.source, got)
		}
	}
}

func TestNotWeighed(t *testing.T) {
	got := limit(t, Request{Agent: Lidocaine, Strength: percent(t, "0.5"), GivenKnown: true})
	if !got.WeightAssumed || got.ConfirmWeight || got.DosedFor != LightestWeight || !slices.Contains(got.Cautions, CautionNotWeighed) {
		t.Errorf("not weighed must say so: %+v", got)
	}
	if slices.Contains(got.Cautions, CautionLatePregnancy) {
		t.Error("no weight was entered that late pregnancy could overstate")
	}
}

func TestNobodySaid(t *testing.T) {
	got := limit(t, Request{Agent: Lidocaine, Strength: percent(t, "1"), Body: Body{Weight: 60_000}})
	if !got.PriorUnknown || got.Remaining != 0 || got.RemainingVolume != 0 || got.RemainingBoundBy != "" || got.Over {
		t.Errorf("nobody said what was given, so no remainder: %+v", got)
	}
	// What is known already passes the limit: that holds however much more was given.
	got = limit(t, Request{Agent: Lidocaine, Body: Body{Weight: 60_000}, Given: []Dose{{Agent: Lidocaine, Mass: 180_001}}})
	if !got.PriorUnknown || !got.Over || got.Remaining != 0 || !slices.Contains(got.Cautions, CautionOver) {
		t.Errorf("over must be said, known or not: %+v", got)
	}
}

func TestIdealWeightHolds(t *testing.T) {
	// 160 cm: a body mass index of 30 is 76.8 kg; Devine 52.381 kg.
	for _, c := range []struct {
		kg    amount.Weight
		cm    int
		want  amount.Weight
		bound string
	}{
		{76_799, 160, 70_000, BoundByWeightLimit},
		{76_800, 160, 52_381, BoundByIdealWeight},
		{90_000, 160, 52_381, BoundByIdealWeight},
		{90_000, 0, 70_000, BoundByWeightLimit},
		{145_200, 220, 70_000, BoundByWeightLimit}, // Devine is above 70 kg
		{45_000, 120, 30_000, BoundByIdealWeight},  // Devine 16 kg: never under 30
		{43_199, 120, 43_199, BoundByWeight},
		{30_000, 120, 30_000, BoundByWeight},
	} {
		got := limit(t, Request{Agent: Bupivacaine, Body: Body{Weight: c.kg, HeightCm: c.cm}})
		if got.DosedFor != c.want || got.BoundBy != c.bound {
			t.Errorf("%s kg, %d cm: dosed for %s by %s, want %s by %s", c.kg.Kilograms(), c.cm, got.DosedFor.Kilograms(), got.BoundBy, c.want.Kilograms(), c.bound)
		}
		if slices.Contains(got.Cautions, CautionIdealWeight) != (c.bound == BoundByIdealWeight) {
			t.Errorf("%s kg, %d cm: %v", c.kg.Kilograms(), c.cm, got.Cautions)
		}
	}
}

func TestConfirmWeight(t *testing.T) {
	for w, want := range map[amount.Weight]bool{30_000: true, 39_999: true, 40_000: false, 120_000: false, 120_001: true, 200_000: true} {
		if got := limit(t, Request{Agent: Lidocaine, Body: Body{Weight: w}}); got.ConfirmWeight != want {
			t.Errorf("%s kg: ask again %t, want %t", w.Kilograms(), got.ConfirmWeight, want)
		}
	}
}

func TestLimitRefuses(t *testing.T) {
	woman := Body{Weight: 60_000}
	for _, c := range []struct {
		code, field string
		r           Request
	}{
		{CodeAgentUnknown, "agent", Request{Body: woman}},
		{CodeAgentUnknown, "agent", Request{Agent: "Lidocaine", Body: woman}},
		{CodeAgentUnknown, "given", Request{Agent: Lidocaine, Body: woman, Given: []Dose{{Agent: "procaine"}}}},
		{CodeStrengthUnknown, "strength", Request{Agent: Lidocaine, Strength: 7500, Body: woman}},
		{CodeStrengthUnknown, "strength", Request{Agent: Lidocaine, Strength: -1, Body: woman}},
		{CodeStrengthUnknown, "strength", Request{Agent: Bupivacaine, Strength: 7500, Body: woman}}, // 0.75 %: US boxed warning
		{CodeStrengthUnknown, "strength", Request{Agent: Levobupivacaine, Strength: 7500, Body: woman}},
		{CodeSourceUnknown, "source", Request{Agent: Lidocaine, Source: "norway", Body: woman}}, // prints no mg/kg
		{CodeSourceUnknown, "source", Request{Agent: Lidocaine, Source: "nomogram", Body: woman}},
		{CodeSourceUnknown, "source", Request{Agent: Lidocaine, Adrenaline: true, Source: "uk", Body: woman}},
		{CodeSourceUnknown, "source", Request{Agent: Bupivacaine, Adrenaline: true, Source: "emergency_table", Body: woman}},
		{CodeSourceUnknown, "source", Request{Agent: Lidocaine, Source: "highest", Body: woman}},
		{CodeMixingUnknown, "mixing", Request{Agent: Lidocaine, Mixing: "half", Body: woman}},
		{CodeDoseOutOfRange, "given", Request{Agent: Lidocaine, Body: woman, Given: []Dose{{Agent: Lidocaine, Mass: -1}}}},
		{CodeDoseOutOfRange, "given", Request{Agent: Lidocaine, Body: woman, Given: []Dose{{Agent: Lidocaine, Volume: -1}}}},
		{CodeWeightOutOfRange, "weight", Request{Agent: Lidocaine, Body: Body{Weight: 29_999}}},
		{CodeWeightOutOfRange, "weight", Request{Agent: Lidocaine, Body: Body{Weight: 200_001}}},
		{CodeWeightOutOfRange, "weight", Request{Agent: Lidocaine, Body: Body{Weight: -60_000}}},
		{CodeHeightOutOfRange, "height", Request{Agent: Lidocaine, Body: Body{Weight: 60_000, HeightCm: 119}}},
		{CodeHeightOutOfRange, "height", Request{Agent: Lidocaine, Body: Body{HeightCm: 221}}},
	} {
		got, err := Limit(c.r)
		refused(t, err, c.code, c.field)
		if got.Mass != 0 || got.Remaining != 0 {
			t.Errorf("%s: refused and still answered %+v", c.code, got)
		}
	}
}

func TestMixing(t *testing.T) {
	bupivacaine := Request{Agent: Bupivacaine, Strength: 5000, Body: Body{Weight: 60_000}, GivenKnown: true,
		Given: []Dose{{Agent: Lidocaine, Mass: 100_000}}}
	for _, c := range []struct {
		what           string
		change         func(*Request)
		left, ml, by   string
		over, warnsMix bool
	}{
		{"60 kg, 100 mg lidocaine given, bupivacaine: 120 − 100 (Williams and Walker)", func(r *Request) {}, "20", "4", RemainingByStrictest, false, true},
		{"the same by fractions: 53.3", func(r *Request) { r.Mixing = Fractions }, "53.3", "10.6", RemainingByFractions, false, true},
		{"nought given of another agent mixes nothing", func(r *Request) { r.Given[0].Mass = 0 }, "120", "24", RemainingByOwn, false, false},
		{"exactly at the limit is not over", func(r *Request) { r.Given[0].Mass = 120_000 }, "0", "0", RemainingByStrictest, false, true},
		{"a microgram more is", func(r *Request) { r.Given[0].Mass = 120_001 }, "0", "0", RemainingByStrictest, true, true},
		{"fractions: a third of lidocaine leaves two thirds, not a step less", func(r *Request) { r.Mixing, r.Given[0].Mass = Fractions, 60_000 }, "80", "16", RemainingByFractions, false, true},
		{"fractions: the whole of lidocaine leaves nothing", func(r *Request) { r.Mixing, r.Given[0].Mass = Fractions, 180_000 }, "0", "0", RemainingByFractions, false, true},
		{"fractions: a microgram more is over", func(r *Request) { r.Mixing, r.Given[0].Mass = Fractions, 180_001 }, "0", "0", RemainingByFractions, true, true},
		{"fractions: half and half, over by both together", func(r *Request) {
			r.Mixing, r.Given = Fractions, []Dose{{Agent: Lidocaine, Mass: 90_000}, {Agent: Bupivacaine, Mass: 60_001}}
		}, "0", "0", RemainingByFractions, true, true},
		{"strictest the other way round: lidocaine after bupivacaine", func(r *Request) {
			r.Agent, r.Given = Lidocaine, []Dose{{Agent: Bupivacaine, Mass: 100_000}}
		}, "20", "4", RemainingByStrictest, false, true},
	} {
		r := bupivacaine
		r.Given = slices.Clone(r.Given)
		c.change(&r)
		got := limit(t, r)
		if got.Remaining.Milligrams() != c.left || got.RemainingVolume.Millilitres() != c.ml || got.RemainingBoundBy != c.by || got.Over != c.over {
			t.Errorf("%s: %s mg, %s mL by %s, over %t; want %s, %s by %s, %t", c.what, got.Remaining.Milligrams(),
				got.RemainingVolume.Millilitres(), got.RemainingBoundBy, got.Over, c.left, c.ml, c.by, c.over)
		}
		if slices.Contains(got.Cautions, CautionMixing) != c.warnsMix {
			t.Errorf("%s: cautions %v", c.what, got.Cautions)
		}
	}
}

// TestOtherForm: the same agent plain and with adrenaline shares the lower of
// its two ceilings.
func TestOtherForm(t *testing.T) {
	r := Request{Agent: Lidocaine, Adrenaline: true, Source: "us_label", Strength: 10000, Body: Body{Weight: 60_000}, GivenKnown: true,
		Given: []Dose{{Agent: Lidocaine, Mass: 100_000}}}
	got := limit(t, r) // with 420, plain 270 mg
	if got.Mass != 420_000 || got.Remaining != 170_000 || got.RemainingBoundBy != RemainingBySameAgent {
		t.Errorf("270 − 100 mg remain of 420: %+v", got)
	}
	r.Source = "nomogram" // prints nothing for plain: the lowest stands, 180 mg
	if got = limit(t, r); got.Mass != 360_000 || got.Remaining != 80_000 || got.RemainingBoundBy != RemainingBySameAgent {
		t.Errorf("180 − 100 mg remain of 360: %+v", got)
	}
	r.Given[0].Adrenaline = true // the form asked for: nothing is lowered
	if got = limit(t, r); got.Remaining != 260_000 || got.RemainingBoundBy != RemainingByOwn {
		t.Errorf("360 − 100 mg remain: %+v", got)
	}
	// The lower form first given does not raise the plain one's own ceiling.
	r = Request{Agent: Lidocaine, Source: "us_label", Body: Body{Weight: 60_000}, GivenKnown: true,
		Given: []Dose{{Agent: Lidocaine, Adrenaline: true, Mass: 100_000}}}
	if got = limit(t, r); got.Remaining != 170_000 || got.RemainingBoundBy != RemainingByOwn {
		t.Errorf("270 − 100 mg remain: %+v", got)
	}
}

// TestAdrenalineTotal: 500 micrograms of adrenaline are 100 mL of 1:200 000
// (clinical pharmacology text). 490 mg of 0.25 % would be 196 mL.
func TestAdrenalineTotal(t *testing.T) {
	if got := (100 * amount.Millilitre).Holding(AdrenalineStrength); got != AdrenalineMost {
		t.Fatalf("100 mL of 1:200 000 hold %d micrograms, want 500", got)
	}
	r := Request{Agent: Lidocaine, Adrenaline: true, Source: "us_label", Strength: 2500, Body: Body{Weight: 70_000}, GivenKnown: true}
	got := limit(t, r)
	if got.Mass != 490_000 || got.Volume != 100_000 || got.RemainingVolume != 100_000 || !slices.Contains(got.Cautions, CautionAdrenalineBinds) {
		t.Errorf("the adrenaline binds at 100 mL: %+v", got)
	}
	r.Given = []Dose{{Agent: Lidocaine, Adrenaline: true, Mass: 75_000, Volume: 30_000}}
	if got = limit(t, r); got.Volume != 100_000 || got.RemainingVolume != 70_000 || got.Remaining != 415_000 {
		t.Errorf("30 mL were given, so 70 mL remain: %+v", got)
	}
	// Here only the remainder is bound: 290 mg of 0.5 % would be 58 mL, but 80 mL were given.
	half := r
	half.Strength, half.Given = 5000, []Dose{{Agent: Lidocaine, Adrenaline: true, Mass: 200_000, Volume: 80_000}}
	if got = limit(t, half); got.Volume != 98_000 || got.RemainingVolume != 20_000 || !slices.Contains(got.Cautions, CautionAdrenalineBinds) {
		t.Errorf("80 mL were given, so 20 mL remain: %+v", got)
	}
	r.Given[0].Volume = 1 << 62
	if got = limit(t, r); got.RemainingVolume != 0 {
		t.Errorf("no adrenaline is left: %+v", got)
	}
	r.Given, r.Strength = nil, 10000 // 49 mL
	if got = limit(t, r); slices.Contains(got.Cautions, CautionAdrenalineBinds) || got.Volume != 49_000 {
		t.Errorf("49 mL hold 245 micrograms, nothing binds: %+v", got)
	}
}

func TestCautions(t *testing.T) {
	always := []string{CautionPregnancy, CautionIllness, CautionNotEvidenceBased}
	for _, c := range []struct {
		what string
		r    Request
		want []string
	}{
		{"plain lidocaine", Request{Agent: Lidocaine, Body: Body{Weight: 60_000}, GivenKnown: true}, []string{CautionLatePregnancy}},
		{"not weighed, nobody said", Request{Agent: Lidocaine}, []string{CautionPriorUnknown, CautionNotWeighed}},
		{"above 70 kg", Request{Agent: Lidocaine, Body: Body{Weight: 70_001}, GivenKnown: true}, []string{CautionAbove70, CautionLatePregnancy}},
		{"adrenaline by default", Request{Agent: Lidocaine, Adrenaline: true, Body: Body{Weight: 60_000}, GivenKnown: true},
			[]string{CautionLatePregnancy, CautionNoUplift, CautionAdrenalineTotal, CautionPremixed}},
		{"adrenaline by a source that raises it and prints no cap", Request{Agent: Lidocaine, Adrenaline: true, Source: "who", Body: Body{Weight: 60_000}, GivenKnown: true},
			[]string{CautionLatePregnancy, CautionAdrenalineTotal, CautionPremixed, CautionNoCap}},
		{"bupivacaine's source prints no uplift", Request{Agent: Bupivacaine, Adrenaline: true, Source: "uk_smpc", Body: Body{Weight: 60_000}, GivenKnown: true},
			[]string{CautionLatePregnancy, CautionNot075, CautionNotParacervical, CautionNoUplift, CautionAdrenalineTotal, CautionPremixed}},
		{"prilocaine", Request{Agent: Prilocaine, Body: Body{Weight: 60_000}, GivenKnown: true}, []string{CautionLatePregnancy, CautionPrilocaine}},
	} {
		if got := limit(t, c.r).Cautions; !slices.Equal(got, append(c.want, always...)) {
			t.Errorf("%s:\n got %v\nwant %v", c.what, got, append(c.want, always...))
		}
	}
}

func TestCautionsAndNotesHaveSources(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range Cautions() {
		if c.Key == "" || c.Source == "" || seen[c.Key] {
			t.Errorf("caution %+v: no source, or twice", c)
		}
		seen[c.Key] = true
	}
	keys := map[string]bool{}
	for _, n := range Notes() {
		keys[n.Key] = true
	}
	for _, n := range Notes() {
		from, err := amount.ParseMilligrams(n.From)
		to, err2 := amount.ParseMilligrams(n.To)
		if errors.Join(err, err2) != nil || from > to || n.Unit == "" || n.Source == "" || n.Read == "" {
			t.Errorf("note %+v is incomplete", n)
		}
		if n.Against != "" && !keys[n.Against] && !seen[n.Against] {
			t.Errorf("note %s is against %q, which does not exist", n.Key, n.Against)
		}
	}
	if len(keys) == 0 || len(keys) != len(Notes()) {
		t.Errorf("%d keys for %d notes", len(keys), len(Notes()))
	}
}

func limit(t interface {
	Helper()
	Fatalf(string, ...any)
}, r Request) Ceiling {
	t.Helper()
	c, err := Limit(r)
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	return c
}

// refused checks code, field and that the message says something to do.
func refused(t *testing.T, err error, code, field string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) {
		t.Errorf("want %s (%s), got %v", code, field, err)
		return
	}
	if e.Code != code || e.Field != field || e.Detail == "" || e.Error() == "" {
		t.Errorf("want %s (%s), got %v", code, field, e)
	}
}

func rate(t *testing.T, s string) amount.Rate {
	t.Helper()
	return read(t, s, amount.ParseMilligramsPerKilogram)
}

func milligrams(t *testing.T, s string) amount.Mass {
	t.Helper()
	return read(t, s, amount.ParseMilligrams)
}

func millilitres(t *testing.T, s string) amount.Volume {
	t.Helper()
	return read(t, s, amount.ParseMillilitres)
}

func percent(t *testing.T, s string) amount.Strength {
	t.Helper()
	return read(t, s, amount.ParsePercent)
}

func kilograms(t *testing.T, s string) amount.Weight {
	t.Helper()
	return read(t, s, amount.ParseKilograms)
}

// read parses a figure as printed; "–" is none.
func read[T any](t *testing.T, s string, parse func(string) (T, error)) T {
	t.Helper()
	var none T
	if s == "–" {
		return none
	}
	n, err := parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
