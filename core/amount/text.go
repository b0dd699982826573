package amount

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// What Parse refuses. Each is wrapped with what was read.
var (
	// ErrMalformed: the text is not digits with at most one point between digits.
	ErrMalformed = errors.New("not a decimal number")
	// ErrTooPrecise: more decimals than the quantity keeps.
	ErrTooPrecise = errors.New("too many decimals")
	// ErrTooLarge: more than nine digits before the point.
	ErrTooLarge = errors.New("too large")
)

// mostDigits bounds the digits before the point, so that no parsed quantity
// comes near the end of an int64.
const mostDigits = 9

// ParseMilligrams reads milligrams with at most 3 decimals: "16.5".
func ParseMilligrams(s string) (Mass, error) {
	n, err := parse(s, 3)
	return Mass(n), err
}

// ParseMillilitres reads millilitres with at most 3 decimals: "7.5".
func ParseMillilitres(s string) (Volume, error) {
	n, err := parse(s, 3)
	return Volume(n), err
}

// ParseKilograms reads kilograms with at most 3 decimals: "52.38".
func ParseKilograms(s string) (Weight, error) {
	n, err := parse(s, 3)
	return Weight(n), err
}

// ParseGrams reads whole grams: "340".
func ParseGrams(s string) (Weight, error) {
	n, err := parse(s, 0)
	return Weight(n), err
}

// ParsePercent reads a strength in grams per 100 mL with at most 4 decimals:
// "0.25" is 2.5 mg/mL.
func ParsePercent(s string) (Strength, error) {
	n, err := parse(s, 4)
	return Strength(n), err
}

// ParseMilligramsPerKilogram reads a rate with at most 3 decimals: "4.5".
func ParseMilligramsPerKilogram(s string) (Rate, error) {
	n, err := parse(s, 3)
	return Rate(n), err
}

// Milligrams writes m in milligrams, without trailing zeros: "16.5", "0".
func (m Mass) Milligrams() string { return text(int64(m), 3) }

// Millilitres writes v in millilitres, without trailing zeros.
func (v Volume) Millilitres() string { return text(int64(v), 3) }

// Kilograms writes w in kilograms, without trailing zeros.
func (w Weight) Kilograms() string { return text(int64(w), 3) }

// Grams writes w in whole grams.
func (w Weight) Grams() string { return text(int64(w), 0) }

// Percent writes s in grams per 100 mL, without trailing zeros: "0.25".
func (s Strength) Percent() string { return text(int64(s), 4) }

// MilligramsPerMillilitre writes s in mg/mL, without trailing zeros: "2.5".
func (s Strength) MilligramsPerMillilitre() string { return text(int64(s), 3) }

// MilligramsPerKilogram writes r in mg/kg, without trailing zeros: "4.5".
func (r Rate) MilligramsPerKilogram() string { return text(int64(r), 3) }

// parse reads a strict decimal and returns it in units of 10^-decimals. It
// takes digits and one point with digits on both sides: no sign, no exponent,
// no space, no comma. On an error the number is 0.
func parse(s string, decimals int) (int64, error) {
	whole, part, pointed := strings.Cut(s, ".")
	if !digits(whole) || pointed && !digits(part) {
		return 0, refuse(ErrMalformed, s, "write digits with at most one point, as in 16.5")
	}
	if len(part) > decimals {
		return 0, refuse(ErrTooPrecise, s, "write at most "+strconv.Itoa(decimals)+" decimals")
	}
	if len(whole) > mostDigits {
		return 0, refuse(ErrTooLarge, s, "write at most "+strconv.Itoa(mostDigits)+" digits before the point")
	}
	var n int64
	for _, digit := range whole + part + strings.Repeat("0", decimals-len(part)) {
		n = n*10 + int64(digit-'0')
	}
	return n, nil
}

// text is the inverse of parse, without trailing zeros.
func text(n int64, decimals int) string {
	sign := ""
	if n < 0 { // only from a caller's own arithmetic; shown as it is, not hidden
		sign = "-"
	}
	s := strings.TrimPrefix(strconv.FormatInt(n, 10), "-")
	if len(s) <= decimals {
		s = strings.Repeat("0", decimals+1-len(s)) + s
	}
	whole, part := s[:len(s)-decimals], strings.TrimRight(s[len(s)-decimals:], "0")
	if part == "" {
		return sign + whole
	}
	return sign + whole + "." + part
}

// refuse wraps kind with the text that was read, cut short, and what to do.
func refuse(kind error, read, advice string) error {
	const most = 40
	if len(read) > most {
		read = read[:most] + "…"
	}
	return fmt.Errorf("%w: read %q; %s", kind, read, advice)
}

// digits says whether s is one or more ASCII digits.
func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// Typed turns what a person types into the strict text that Parse reads: it
// trims spaces, maps the digits of every script to 0–9, and takes one comma or
// Arabic decimal mark (U+066B) for the point. Anything else is left as it is,
// so that Parse refuses it.
//
// "1,500" and "1.500" are a thousand and a half to some and one and a half to
// others. A guess could be wrong a thousandfold, so both come back with a
// comma, which Parse refuses; "0,125" and "0.125" have only one reading.
func Typed(s string) string {
	s = strings.Map(latinDigit, strings.TrimSpace(s))
	marks := strings.Count(s, ".") + strings.Count(s, ",") + strings.Count(s, "٫")
	if marks != 1 {
		return s
	}
	pointed := strings.NewReplacer(",", ".", "٫", ".").Replace(s)
	whole, part, _ := strings.Cut(pointed, ".")
	if !digits(whole) || !digits(part) {
		return s
	}
	if len(part) == 3 && len(whole) <= 3 && whole[0] != '0' {
		return whole + "," + part
	}
	return pointed
}

// latinDigit maps a decimal digit of any script to 0–9. Unicode keeps the
// decimal digits of a script in runs of ten that begin with its nought.
func latinDigit(r rune) rune {
	if r < 0x80 {
		return r
	}
	for _, run := range unicode.Nd.R16 {
		if uint32(r) >= uint32(run.Lo) && uint32(r) <= uint32(run.Hi) {
			return '0' + (r-rune(run.Lo))%10
		}
	}
	for _, run := range unicode.Nd.R32 {
		if uint32(r) >= run.Lo && uint32(r) <= run.Hi {
			return '0' + (r-rune(run.Lo))%10
		}
	}
	return r
}
