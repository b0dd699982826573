package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// A figure is a number in a text with the unit behind it. Figures are compared
// as they are written, not as floats: 0.5 and 0.50 differ, because a trailing
// nought is how a tenfold slip begins.
type figure struct {
	number string // ASCII digits and at most one point
	unit   string // in one spelling for all languages, or ""
}

func (f figure) String() string { return strings.TrimSpace(f.number + " " + f.unit) }

// figures lists the figures of a text in order. Any decimal digit of Unicode
// counts as the ASCII one of its value; a comma or an Arabic decimal mark between
// digits counts as a point; a space that parts three digits off, as in 200 000,
// counts as nothing. Digits inside a word or a placeholder are figures too.
func figures(text string, units map[string]string) []figure {
	var found []figure
	r := []rune(text)
	for i := 0; i < len(r); {
		if !unicode.Is(unicode.Nd, r[i]) {
			i++
			continue
		}
		start := i
		for i < len(r) && (unicode.Is(unicode.Nd, r[i]) || decimalMark(r, i) || groupSpace(r[start:], i-start)) {
			i++
		}
		found = append(found, figure{western(r[start:i]), unitAt(r[i:], units)})
	}
	return found
}

// decimalMark reports whether a decimal mark stands at i with a digit on either side.
func decimalMark(r []rune, i int) bool {
	return strings.ContainsRune(".,٫", r[i]) && i > 0 && i+1 < len(r) &&
		unicode.Is(unicode.Nd, r[i-1]) && unicode.Is(unicode.Nd, r[i+1])
}

// groupSpace reports whether the space at i of a figure parts off just three
// digits from one to three whole ones before it.
func groupSpace(r []rune, i int) bool {
	if !isSpace(r[i]) || i+3 >= len(r) || (i+4 < len(r) && unicode.Is(unicode.Nd, r[i+4])) {
		return false
	}
	before := 0
	for before < i && unicode.Is(unicode.Nd, r[i-1-before]) {
		before++
	}
	whole := before == i || isSpace(r[i-1-before])
	return whole && before >= 1 && before <= 3 && digitsOnly(r[i+1:i+4])
}

func isSpace(c rune) bool { return c == ' ' || c == '\u00a0' || c == '\u202f' }

func digitsOnly(r []rune) bool {
	return !slices.ContainsFunc(r, func(c rune) bool { return !unicode.Is(unicode.Nd, c) })
}

// western spells a figure in ASCII. The digits of Unicode come in runs of ten
// from a nought, so that the value is the distance to the run's start.
func western(r []rune) string {
	var out strings.Builder
	for _, c := range r {
		switch {
		case unicode.Is(unicode.Nd, c):
			out.WriteByte(byte('0' + digitValue(c)))
		case !isSpace(c):
			out.WriteByte('.')
		}
	}
	return out.String()
}

func digitValue(c rune) rune {
	for _, run := range unicode.Nd.R16 {
		if rune(run.Lo) <= c && c <= rune(run.Hi) {
			return (c - rune(run.Lo)) % 10
		}
	}
	for _, run := range unicode.Nd.R32 {
		if rune(run.Lo) <= c && c <= rune(run.Hi) {
			return (c - rune(run.Lo)) % 10
		}
	}
	return 0
}

// unitAt gives the unit that a text begins with, after at most one space.
func unitAt(r []rune, units map[string]string) string {
	if len(r) > 0 && isSpace(r[0]) {
		r = r[1:]
	}
	end := 0
	for end < len(r) && (unicode.IsLetter(r[end]) || strings.ContainsRune("/%°", r[end])) {
		end++
	}
	parts := strings.Split(string(r[:end]), "/")
	for i, part := range parts {
		unit, known := units[part]
		if !known {
			if i == 0 {
				return ""
			}
			return strings.Join(parts[:i], "/")
		}
		parts[i] = unit
	}
	return strings.Join(parts, "/")
}

// badFigure gives the first figure of a text that is written so that it can be
// misread: digits grouped by a mark, a trailing nought after the point of an
// amount, noughts before a whole number, a point without a nought before it, or
// a comma in an amount. comma says whether the language may use a decimal comma at all.
func badFigure(text string, comma bool) string {
	for _, f := range figures(text, symbols) {
		whole, decimals, point := strings.Cut(f.number, ".")
		switch {
		case strings.Contains(decimals, "."),
			point && strings.HasSuffix(decimals, "0") && f.unit != "",
			len(whole) > 1 && whole[0] == '0':
			return f.String()
		}
	}
	r := []rune(text)
	for i := range r {
		if !decimalMark(r, i) {
			if strings.ContainsRune(".,٫", r[i]) && i+1 < len(r) && unicode.Is(unicode.Nd, r[i+1]) {
				return string(r[i : i+2])
			}
			continue
		}
		if r[i] != '.' && (!comma || doseFollows(r, i)) {
			return string(r[i-1 : i+2])
		}
	}
	return ""
}

// doseFollows reports whether the figure around the decimal mark at i has a unit of dose.
func doseFollows(r []rune, i int) bool {
	for i++; i < len(r) && unicode.Is(unicode.Nd, r[i]); i++ {
	}
	return unitAt(r[i:], symbols) != ""
}

// compareFigures says how the figures of a translation differ from the
// English, or "". The order counts: 500 and 300 must not change places.
func compareFigures(english, translated, lang string) string {
	units := unitsOf(lang)
	want, got := figures(english, englishUnits(lang)), figures(translated, units)
	for i := range max(len(want), len(got)) {
		switch {
		case i >= len(got):
			return fmt.Sprintf("it lacks the figure %v of the English", want[i])
		case i >= len(want):
			return fmt.Sprintf("it has the figure %v that the English lacks", got[i])
		case want[i] != got[i]:
			return fmt.Sprintf("it says %v where the English says %v", got[i], want[i])
		}
	}
	return ""
}

// compareHoles says how the placeholders of a translation differ, or "". Their
// order is free; each keeps its unit.
func compareHoles(english, translated, lang string) string {
	want, got := holes(english, englishUnits(lang)), holes(translated, unitsOf(lang))
	for _, h := range want {
		if !slices.Contains(got, h) {
			return "it lacks the placeholder " + h
		}
	}
	if len(want) != len(got) {
		return fmt.Sprintf("it has %d placeholders, the English %d", len(got), len(want))
	}
	for _, h := range got {
		if !slices.Contains(want, h) {
			return "it has the placeholder " + h + " that the English lacks"
		}
	}
	return ""
}

// holes lists the placeholders, each with its unit, sorted.
func holes(text string, units map[string]string) []string {
	var found []string
	for text != "" {
		_, rest, open := strings.Cut(text, "{")
		name, after, closed := strings.Cut(rest, "}")
		if !open || !closed {
			break
		}
		found = append(found, strings.TrimSpace("{"+name+"} "+unitAt([]rune(after), units)))
		text = after
	}
	slices.Sort(found)
	return found
}
