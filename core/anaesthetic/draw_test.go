package anaesthetic_test

import (
	"math/big"
	"slices"
	"testing"

	"fourchette/core/amount"
	. "fourchette/core/anaesthetic"

	"pgregory.net/rapid"
)

// TestPlainPrinted: the printed worked examples, as arithmetic, not advice.
func TestPlainPrinted(t *testing.T) {
	for _, c := range []struct{ source, perKg, cap, kg, percent, mg, ml string }{
		{"University of Iowa protocol 2024", "4.5", "300", "10", "1", "45", "4.5"},
		{"Oxford medical education page", "7", "500", "70", "1", "490", "49"},
		{"dental practice page", "7", "–", "60", "1", "420", "42"},
		{"student cards: the cap binds", "7", "500", "90", "1", "500", "50"},
		{"anaesthetist's dilution sheet 2020", "7", "–", "10", "0.25", "70", "28"},
		{"Australian dental table 2007, mepivacaine", "4.4", "300", "70", "3", "300", "10"},
		{"PMC9379193 table 1, its own limit", "7", "–", "20", "2", "140", "7"},
	} {
		mass, volume := Plain(rate(t, c.perKg), milligrams(t, c.cap), kilograms(t, c.kg), percent(t, c.percent))
		if mass.Milligrams() != c.mg || volume.Millilitres() != c.ml {
			t.Errorf("%s: %s mg, %s mL; want %s, %s", c.source, mass.Milligrams(), volume.Millilitres(), c.mg, c.ml)
		}
	}
}

// TestPrintedCartridges: whole or half cartridges, rounded down, as printed;
// and the printed trap that rounds up past its own limit.
func TestPrintedCartridges(t *testing.T) {
	_, volume := Plain(rate(t, "4.4"), milligrams(t, "300"), kilograms(t, "70"), percent(t, "3"))
	half := volume.Floor(millilitres(t, "1.1"))
	if got := half.Holding(percent(t, "3")).Milligrams(); half.Millilitres() != "9.9" || got != "297" {
		t.Errorf("Australian dental table: %s mL, %s mg; want 4.5 cartridges of 2.2 mL, 297 mg", half.Millilitres(), got)
	}
	// 150 lb at 2 mg/lb: 68.038 kg at 4.409 mg/kg, at most 300 mg (hygiene journal).
	_, volume = Plain(rate(t, "4.409"), milligrams(t, "300"), kilograms(t, "68.038"), percent(t, "2"))
	whole := volume.Floor(millilitres(t, "1.8"))
	if got := whole.Holding(percent(t, "2")).Milligrams(); whole != 8*millilitres(t, "1.8") || got != "288" {
		t.Errorf("hygiene journal: %s mL, %s mg; want 8 cartridges of 1.8 mL, 288 mg", whole.Millilitres(), got)
	}
	// PMC9379193 table 1 prints 3.9 cartridges for 20 kg: 140.4 mg, above 140.
	limit, volume := Plain(rate(t, "7"), 0, kilograms(t, "20"), percent(t, "2"))
	tenth := millilitres(t, "0.18")
	if printed := (39 * tenth).Holding(percent(t, "2")); printed.Milligrams() != "140.4" || printed <= limit {
		t.Errorf("the trap no longer traps: %s mg of %s", printed.Milligrams(), limit.Milligrams())
	}
	if got := volume.Floor(tenth); got != 38*tenth || got.Holding(percent(t, "2")) > limit {
		t.Errorf("rounded down it is 3.8 cartridges, not %s mL", got.Millilitres())
	}
}

func TestDilute(t *testing.T) {
	for _, c := range []struct{ source, stock, wanted, total, want, diluent string }{
		{"MCPC, from memory: 1 part + 3 parts", "2", "0.5", "20", "5", "15"},
		{"MCPC, from memory: 1 + 1", "1", "0.5", "20", "10", "10"},
		{"WHO surgical care: 0.1 mL of adrenaline 1:1000 in 20 mL is 1:200 000", "0.1", "0.0005", "20", "0.1", "19.9"},
		{"nothing to dilute", "0.5", "0.5", "7.3", "7.3", "0"},
		{"cut, never stronger", "1.5", "0.5", "10", "3.3", "6.7"},
	} {
		stock, diluent, err := Dilute(percent(t, c.stock), percent(t, c.wanted), millilitres(t, c.total))
		if err != nil || stock.Millilitres() != c.want || diluent.Millilitres() != c.diluent {
			t.Errorf("%s: %s + %s mL, %v; want %s + %s", c.source, stock.Millilitres(), diluent.Millilitres(), err, c.want, c.diluent)
		}
	}
}

func TestDiluteRefuses(t *testing.T) {
	for _, c := range []struct {
		code, field   string
		stock, wanted amount.Strength
		total         amount.Volume
	}{
		{CodeCannotStrengthen, "wanted", 5000, 10000, 20_000},
		{CodeCannotStrengthen, "wanted", 5000, 5001, 20_000},
		{CodeStrengthUnknown, "stock", 0, 5000, 20_000},
		{CodeStrengthUnknown, "stock", 1_000_001, 5000, 20_000},
		{CodeStrengthUnknown, "wanted", 5000, 0, 20_000},
		{CodeStrengthUnknown, "wanted", 5000, -1, 20_000},
		{CodeVolumeOutOfRange, "volume", 20000, 5000, 0},
		{CodeVolumeOutOfRange, "volume", 20000, 5000, -100},
		{CodeVolumeOutOfRange, "volume", 20000, 5000, 150},
		{CodeVolumeOutOfRange, "volume", 20000, 5000, 1_000_100},
		{CodeVolumeOutOfRange, "volume", 1000, 5, 10_000}, // 0.05 mL of stock
	} {
		stock, diluent, err := Dilute(c.stock, c.wanted, c.total)
		refused(t, err, c.code, c.field)
		if stock != 0 || diluent != 0 {
			t.Errorf("%s: refused and still answered %d + %d", c.code, stock, diluent)
		}
	}
}

func TestDiluteNeverStronger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stock := amount.Strength(rapid.Int64Range(1, 1_000_000).Draw(t, "stock"))
		wanted := amount.Strength(rapid.Int64Range(1, int64(stock)).Draw(t, "wanted"))
		total := amount.Volume(100 * rapid.Int64Range(1, 10_000).Draw(t, "tenths"))
		part, diluent, err := Dilute(stock, wanted, total)
		if err != nil {
			if inVolume(100, stock).Cmp(inVolume(total, wanted)) <= 0 {
				t.Fatalf("refused what can be measured: %v", err)
			}
			return
		}
		if part+diluent != total || part%100 != 0 || diluent < 0 {
			t.Fatalf("%d + %d is not %d", part, diluent, total)
		}
		if inVolume(part, stock).Cmp(inVolume(total, wanted)) > 0 || inVolume(part+100, stock).Cmp(inVolume(total, wanted)) <= 0 {
			t.Fatalf("%d µL of %d in %d µL is not %d cut to 0.1 mL", part, stock, total, wanted)
		}
	})
}

func TestDrawUp(t *testing.T) {
	for _, c := range []struct {
		vol, syringe, ampoule string
		want                  Plan
	}{
		{"18", "10", "5", Plan{FullFills: 1, LastFill: 8_000, Drawn: 18_000, Ampoules: 4, LeftInAmpoule: 2_000}},
		{"7.5", "10", "2", Plan{LastFill: 7_500, Drawn: 7_500, Ampoules: 4, LeftInAmpoule: 500}},
		{"7.4", "10", "10", Plan{LastFill: 7_000, Drawn: 7_000, NotDrawn: 400, Ampoules: 1, LeftInAmpoule: 3_000}},
		{"7.4", "5", "10", Plan{FullFills: 1, LastFill: 2_400, Drawn: 7_400, Ampoules: 1, LeftInAmpoule: 2_600}},
		{"39.9", "20", "20", Plan{FullFills: 1, LastFill: 19_000, Drawn: 39_000, NotDrawn: 900, Ampoules: 2, LeftInAmpoule: 1_000}},
		{"40", "20", "50", Plan{FullFills: 2, Drawn: 40_000, Ampoules: 1, LeftInAmpoule: 10_000}},
		{"1.9", "2", "2", Plan{LastFill: 1_900, Drawn: 1_900, Ampoules: 1, LeftInAmpoule: 100}},
		{"0.9", "20", "5", Plan{NotDrawn: 900}}, // below the first mark: nothing is opened
		{"0", "2", "2", Plan{}},
	} {
		got, err := DrawUp(millilitres(t, c.vol), millilitres(t, c.syringe), millilitres(t, c.ampoule))
		if err != nil || got != c.want {
			t.Errorf("%s mL with %s mL from %s mL: %+v, %v; want %+v", c.vol, c.syringe, c.ampoule, got, err, c.want)
		}
	}
}

func TestDrawUpRefuses(t *testing.T) {
	for _, c := range []struct {
		code, field           string
		vol, syringe, ampoule amount.Volume
	}{
		{CodeVolumeOutOfRange, "volume", -1, 10_000, 10_000},
		{CodeVolumeOutOfRange, "volume", 1_000_001, 10_000, 10_000},
		{CodeSyringeUnknown, "syringe", 5_000, 3_000, 10_000},
		{CodeSyringeUnknown, "syringe", 5_000, 0, 10_000},
		{CodeAmpouleUnknown, "ampoule", 5_000, 10_000, 1_000},
		{CodeAmpouleUnknown, "ampoule", 5_000, 10_000, 0},
	} {
		got, err := DrawUp(c.vol, c.syringe, c.ampoule)
		refused(t, err, c.code, c.field)
		if got != (Plan{}) {
			t.Errorf("%s: refused and still planned %+v", c.code, got)
		}
	}
}

// TestDrawUpNeverMore: for every syringe and ampoule, all fills together never
// pass the volume, fall on marks, miss less than one mark, and fit what is opened.
func TestDrawUpNeverMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vol := amount.Volume(rapid.Int64Range(0, 200_000).Draw(t, "vol"))
		for _, s := range Syringes() {
			for _, ampoule := range Ampoules() {
				p, err := DrawUp(vol, s.Size, ampoule)
				if err != nil {
					t.Fatal(err)
				}
				drawn := amount.Volume(p.FullFills)*s.Size + p.LastFill
				if drawn != p.Drawn || drawn > vol || drawn+p.NotDrawn != vol || p.NotDrawn >= s.Mark || p.LastFill >= s.Size || p.LastFill%s.Mark != 0 {
					t.Fatalf("%d µL with %+v: %+v", vol, s, p)
				}
				if amount.Volume(p.Ampoules)*ampoule != drawn+p.LeftInAmpoule || p.LeftInAmpoule < 0 || p.LeftInAmpoule >= ampoule {
					t.Fatalf("%d µL from %d: %+v", vol, ampoule, p)
				}
			}
		}
	})
}

// TestRescuePrinted: AAGBI 2010 at 70 kg: 105 mL exactly (printed about 100),
// 17.5 mL/min, 840 mL.
func TestRescuePrinted(t *testing.T) {
	got, err := Rescue(70_000)
	if err != nil {
		t.Fatal(err)
	}
	if got.Bolus.Millilitres() != "105" || got.InfusionPerHour != 60*millilitres(t, "17.5") || got.Most.Millilitres() != "840" {
		t.Errorf("70 kg: %+v", got)
	}
	if got.FasterPerHour != 2*got.InfusionPerHour || got.BolusesAtMost != 1+len(got.RepeatAtMinutes) ||
		!slices.Equal(got.RepeatAtMinutes, []int{5, 10}) || got.BolusMinutes != 1 || got.FasterAfterMinutes != 5 || got.Read != "FOUND" {
		t.Errorf("the protocol is not whole: %+v", got)
	}
}

func TestRescueRefuses(t *testing.T) {
	for w, code := range map[amount.Weight]string{0: CodeWeightMissing, 29_999: CodeWeightOutOfRange, 200_001: CodeWeightOutOfRange, -1: CodeWeightOutOfRange} {
		got, err := Rescue(w)
		refused(t, err, code, "weight")
		if got.Bolus != 0 || got.Most != 0 {
			t.Errorf("%d g: refused and still answered %+v", w, got)
		}
	}
}

// TestRescueByWeight: each volume is its rate × weight cut to 0.1 mL, not held
// at 70 kg, and the boluses alone stay below the most.
func TestRescueByWeight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := aWeight(t)
		got, err := Rescue(w)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			volume amount.Volume
			perKg  *big.Rat // mL/kg, which is µL/g
		}{{got.Bolus, big.NewRat(3, 2)}, {got.InfusionPerHour, big.NewRat(15, 1)}, {got.FasterPerHour, big.NewRat(30, 1)}, {got.Most, big.NewRat(12, 1)}} {
			exact := new(big.Rat).Mul(c.perKg, big.NewRat(int64(w), 1))
			if big.NewRat(int64(c.volume), 1).Cmp(exact) > 0 || big.NewRat(int64(c.volume)+100, 1).Cmp(exact) <= 0 {
				t.Fatalf("%d g: %d µL is not %s cut to 0.1 mL", w, c.volume, exact.FloatString(1))
			}
		}
		if amount.Volume(got.BolusesAtMost)*got.Bolus > got.Most {
			t.Fatalf("%d g: the boluses pass the most: %+v", w, got)
		}
	})
}
