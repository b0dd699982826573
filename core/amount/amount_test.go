package amount_test

import (
	"math"
	"math/big"
	"testing"

	"fourchette/core/amount"

	"pgregory.net/rapid"
)

// printed are worked examples as their publishers printed them; the milligrams
// are exact products, before any cap.
var printed = []struct {
	source             string
	kg, rate, percent  string
	milligrams, volume string
}{
	{"University of Iowa protocol 2024", "10", "4.5", "1", "45", "4.5"},
	{"Oxford medical education page", "70", "7", "1", "490", "49"},
	{"dental practice page", "60", "7", "1", "420", "42"},
	{"anaesthetist's dilution sheet 2020", "10", "7", "0.25", "70", "28"},
	// The trap in PMC9379193 table 1: 3.9 cartridges of 1.8 mL are printed,
	// 140.4 mg; the exact answer is 140 mg in 7 mL.
	{"PMC9379193 table 1, its own limit", "20", "7", "2", "140", "7"},
}

func TestPrintedExamples(t *testing.T) {
	for _, c := range printed {
		kg, err := amount.ParseKilograms(c.kg)
		check(t, err)
		rate, err := amount.ParseMilligramsPerKilogram(c.rate)
		check(t, err)
		strength, err := amount.ParsePercent(c.percent)
		check(t, err)
		mass := rate.Times(kg)
		if got := mass.Milligrams(); got != c.milligrams {
			t.Errorf("%s: %s mg, want %s", c.source, got, c.milligrams)
		}
		if got := mass.At(strength).Millilitres(); got != c.volume {
			t.Errorf("%s: %s mL, want %s", c.source, got, c.volume)
		}
	}
}

// TestHoldingPrinted: 0.25 % × 10, 0.5 % × 15, 1 % × 5, 2 % × 4 mL hold 25,
// 75, 50 and 80 mg (reference dictionary).
func TestHoldingPrinted(t *testing.T) {
	for _, c := range []struct{ percent, volume, want string }{
		{"0.25", "10", "25"}, {"0.5", "15", "75"}, {"1", "5", "50"}, {"2", "4", "80"},
	} {
		strength, err := amount.ParsePercent(c.percent)
		check(t, err)
		volume, err := amount.ParseMillilitres(c.volume)
		check(t, err)
		if got := volume.Holding(strength).Milligrams(); got != c.want {
			t.Errorf("%s mL of %s %%: %s mg, want %s", c.volume, c.percent, got, c.want)
		}
	}
}

// TestAdrenalineSlip: 1:200 000 is 1 g in 200 000 mL, 5 micrograms in a
// millilitre. A WHO copy prints "5 mg/ml", a thousandfold slip.
func TestAdrenalineSlip(t *testing.T) {
	const strength amount.Strength = 1_000_000 / 200_000 // micrograms in 1 g over mL
	if got := amount.Millilitre.Holding(strength); got != 5 {
		t.Errorf("1 mL of 1:200 000 holds %d micrograms, want 5", got)
	}
	if got := strength.MilligramsPerMillilitre(); got != "0.005" {
		t.Errorf("1:200 000 prints as %s mg/mL, want 0.005", got)
	}
}

// anyAmount favours small numbers and both ends of an int64.
func anyAmount() *rapid.Generator[int64] {
	return rapid.OneOf(
		rapid.Int64Range(0, 1000),
		rapid.Int64Range(0, 1_000_000_000),
		rapid.Int64(),
		rapid.SampledFrom([]int64{math.MinInt64, -1, 0, 1, math.MaxInt64 - 1, math.MaxInt64}),
	)
}

// exact is a*b/c in big integers, rounded down or up, and held as the package
// promises.
func exact(a, b, c int64, up bool) int64 {
	if a <= 0 || b <= 0 || c <= 0 {
		return 0
	}
	product := new(big.Int).Mul(big.NewInt(a), big.NewInt(b))
	quotient, rest := new(big.Int).QuoRem(product, big.NewInt(c), new(big.Int))
	if up && rest.Sign() > 0 {
		quotient.Add(quotient, big.NewInt(1))
	}
	if !quotient.IsInt64() {
		return math.MaxInt64
	}
	return quotient.Int64()
}

func TestProductsAgainstBigIntegers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyAmount().Draw(t, "a"), anyAmount().Draw(t, "b")
		if got, want := int64(amount.Rate(a).Times(amount.Weight(b))), exact(a, b, 1000, false); got != want {
			t.Errorf("Rate(%d).Times(%d) = %d, want %d", a, b, got, want)
		}
		if got, want := int64(amount.Mass(a).At(amount.Strength(b))), exact(a, 1000, b, false); got != want {
			t.Errorf("Mass(%d).At(%d) = %d, want %d", a, b, got, want)
		}
		if got, want := int64(amount.Volume(a).Holding(amount.Strength(b))), exact(a, b, 1000, true); got != want {
			t.Errorf("Volume(%d).Holding(%d) = %d, want %d", a, b, got, want)
		}
	})
}

// TestThereAndBack: what At says may be drawn never holds more than the mass
// it was made from.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass := amount.Mass(rapid.Int64Range(0, 1_000_000_000_000).Draw(t, "mass"))
		strength := amount.Strength(rapid.Int64Range(1, 1_000_000).Draw(t, "strength"))
		if back := mass.At(strength).Holding(strength); back > mass {
			t.Errorf("%d µg at %d µg/mL comes back as %d µg", mass, strength, back)
		}
	})
}

func TestFloorAndCeil(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, step := anyAmount().Draw(t, "n"), anyAmount().Draw(t, "step")
		down, up := amount.Mass(n).Floor(amount.Mass(step)), amount.Mass(n).Ceil(amount.Mass(step))
		if v := amount.Volume(n).Floor(amount.Volume(step)); int64(v) != int64(down) {
			t.Fatalf("Volume floors %d by %d to %d, Mass to %d", n, step, v, down)
		}
		if v := amount.Volume(n).Ceil(amount.Volume(step)); int64(v) != int64(up) {
			t.Fatalf("Volume ceils %d by %d to %d, Mass to %d", n, step, v, up)
		}
		whole := amount.Mass(max(n, 0))
		if down > whole || up < whole {
			t.Errorf("%d by %d: floor %d, ceil %d do not enclose it", n, step, down, up)
		}
		if step <= 0 {
			if down != whole || up != whole {
				t.Errorf("%d by %d: %d and %d, want it unchanged", n, step, down, up)
			}
			return
		}
		if int64(down)%step != 0 || int64(whole-down) >= step {
			t.Errorf("%d floors by %d to %d", n, step, down)
		}
		if up != math.MaxInt64 && (int64(up)%step != 0 || int64(up-whole) >= step) {
			t.Errorf("%d ceils by %d to %d", n, step, up)
		}
	})
}

func TestPlusAndMinus(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := anyAmount().Draw(t, "m"), anyAmount().Draw(t, "n")
		a, b := big.NewInt(max(m, 0)), big.NewInt(max(n, 0))
		sum, most := new(big.Int).Add(a, b), big.NewInt(math.MaxInt64)
		if sum.Cmp(most) > 0 {
			sum = most
		}
		if got := amount.Mass(m).Plus(amount.Mass(n)); int64(got) != sum.Int64() {
			t.Errorf("%d plus %d = %d, want %v", m, n, got, sum)
		}
		left := new(big.Int).Sub(a, b)
		if left.Sign() < 0 {
			left.SetInt64(0)
		}
		if got := amount.Mass(m).Minus(amount.Mass(n)); int64(got) != left.Int64() {
			t.Errorf("%d minus %d = %d, want %v", m, n, got, left)
		}
	})
}

func check(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
