// Package amount holds exact quantities: whole micrograms, microlitres and
// grams, their strict decimal texts, and the few multiplications a dose needs.
//
// Start with Parse… for text from another program and with Typed for text from
// a person. Every type is a whole number of its smallest unit; nothing in here
// is ever a float. What may be given is rounded down (Times, At, Floor), what
// was given is rounded up (Holding, Ceil).
//
// Quantities are never negative: Parse makes none, and the arithmetic reads a
// negative one as nought. A product too large for an int64 stays at the
// largest int64, so it can neither wrap round to a small dose nor to a
// negative one.
package amount

import (
	"math"
	"math/bits"
)

// Mass is a mass of drug in micrograms.
type Mass int64

// Volume is a volume in microlitres.
type Volume int64

// Weight is a body's or a pad's weight in grams.
type Weight int64

// Strength is a strength in micrograms per millilitre. 1 % is 1 g in 100 mL,
// so 10 mg/mL, so 10000.
type Strength int64

// Rate is a dose by body weight in micrograms per kilogram: 4.5 mg/kg is 4500.
type Rate int64

// The larger units, in the smallest.
const (
	Milligram              Mass     = 1000
	Millilitre             Volume   = 1000
	Kilogram               Weight   = 1000
	OnePercent             Strength = 10000 // 10 mg/mL
	MilligramPerKilogram   Rate     = 1000
	MilligramPerMillilitre Strength = 1000
)

// Times returns the mass that r allows a body of weight w, rounded down to the
// microgram.
func (r Rate) Times(w Weight) Mass {
	whole, _ := mulDiv(int64(r), int64(w), int64(Kilogram))
	return Mass(whole)
}

// At returns the volume of strength s that holds m, rounded down to the
// microlitre. Without a strength (0) no volume can be named: it returns 0.
func (m Mass) At(s Strength) Volume {
	whole, _ := mulDiv(int64(m), int64(Millilitre), int64(s))
	return Volume(whole)
}

// Holding returns the mass in v at strength s, rounded up to the microgram:
// it is for what was given.
func (v Volume) Holding(s Strength) Mass {
	whole, rest := mulDiv(int64(v), int64(s), int64(Millilitre))
	if rest && whole < math.MaxInt64 {
		whole++
	}
	return Mass(whole)
}

// Plus returns the sum, held at the largest Mass.
func (m Mass) Plus(n Mass) Mass {
	m, n = max(m, 0), max(n, 0)
	if m > math.MaxInt64-n {
		return math.MaxInt64
	}
	return m + n
}

// Minus returns what is left of m without n, never below 0.
func (m Mass) Minus(n Mass) Mass {
	return max(max(m, 0)-max(n, 0), 0)
}

// Floor returns the largest multiple of step that is not above m. A step of 0
// or less changes nothing.
func (m Mass) Floor(step Mass) Mass { return Mass(floor(int64(m), int64(step))) }

// Ceil returns the smallest multiple of step that is not below m. A step of 0
// or less changes nothing.
func (m Mass) Ceil(step Mass) Mass { return Mass(ceil(int64(m), int64(step))) }

// Floor returns the largest multiple of step that is not above v. A step of 0
// or less changes nothing.
func (v Volume) Floor(step Volume) Volume { return Volume(floor(int64(v), int64(step))) }

// Ceil returns the smallest multiple of step that is not below v. A step of 0
// or less changes nothing.
func (v Volume) Ceil(step Volume) Volume { return Volume(ceil(int64(v), int64(step))) }

// mulDiv returns a*b/c rounded down, and whether anything was cut off. The
// product is held in 128 bits. A factor or divisor of 0 or less gives 0; a
// result that does not fit stays at the largest int64.
func mulDiv(a, b, c int64) (whole int64, rest bool) {
	if a <= 0 || b <= 0 || c <= 0 {
		return 0, false
	}
	high, low := bits.Mul64(uint64(a), uint64(b))
	if high >= uint64(c) {
		return math.MaxInt64, false
	}
	quotient, remainder := bits.Div64(high, low, uint64(c))
	if quotient > math.MaxInt64 {
		return math.MaxInt64, false
	}
	return int64(quotient), remainder != 0
}

func floor(n, step int64) int64 {
	if n <= 0 {
		return 0
	}
	if step <= 0 {
		return n
	}
	return n - n%step
}

func ceil(n, step int64) int64 {
	down := floor(n, step)
	if n <= 0 || down == n {
		return down
	}
	if down > math.MaxInt64-step {
		return math.MaxInt64
	}
	return down + step
}
