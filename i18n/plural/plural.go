// Package plural picks the plural form that a language uses for a number.
//
// Start with For, which gives the Rule of a language, then Rule.Count for a
// whole number or Rule.Decimal for one written with decimals. The rules are the
// cardinal rules of CLDR 48 (Unicode Common Locale Data Repository, file
// supplemental/plurals), written by hand for the languages that Fourchette
// means to speak, because a library with all languages would more than double
// the size of the web program. A test holds them against an independent
// implementation of the same rules.
//
// The exponent operand of compact notation ("1 million") is left out: the
// program never writes numbers so.
package plural

import (
	"maps"
	"slices"
)

// Category is a plural category of CLDR: zero, one, two, few, many or other.
type Category uint8

// The categories in the order in which CLDR lists them. The forms of a plural
// text are stored in this order, leaving out those that a language lacks.
const (
	Zero Category = iota
	One
	Two
	Few
	Many
	Other
)

var names = [...]string{"zero", "one", "two", "few", "many", "other"}

// String gives the CLDR name of the category, such as "one".
func (c Category) String() string {
	if int(c) < len(names) {
		return names[c]
	}
	return "unknown"
}

// Rule is how one language chooses among its plural categories.
type Rule struct {
	categories []Category
	choose     func(operands) Category
}

// Categories lists the categories that the language uses, in CLDR order. The
// last is always Other. The slice is the caller's own.
func (r Rule) Categories() []Category {
	return append([]Category(nil), r.categories...)
}

// Count gives the category of a whole number; the sign does not matter.
func (r Rule) Count(n int) Category {
	i := uint64(n)
	if n < 0 {
		i = -i
	}
	return r.choose(operands{i: i})
}

// Index gives the place of a whole number's form among the forms of a text
// that is stored in the order of Categories.
func (r Rule) Index(n int) int {
	c := r.Count(n)
	for i, have := range r.categories {
		if have == c {
			return i
		}
	}
	return len(r.categories) - 1
}

// Decimal gives the category of a number as it is written, "1.50" being another
// number to some languages than "1.5". The text must be ASCII digits with at
// most one point between digits and at most 18 digits on either side; ok is
// false otherwise.
func (r Rule) Decimal(written string) (c Category, ok bool) {
	o, ok := parse(written)
	if !ok {
		return Other, false
	}
	return r.choose(o), true
}

// For gives the rule of a language, by its BCP 47 tag. A tag with a region or
// script falls back to its language ("sw-KE" to "sw"), save for those that have
// a rule of their own ("pt-PT"). ok is false for a language without a rule
// here: no rule is guessed.
func For(tag string) (r Rule, ok bool) {
	for {
		if r, ok = rules[tag]; ok {
			return r, true
		}
		cut := len(tag) - 1
		for cut > 0 && tag[cut] != '-' {
			cut--
		}
		if cut <= 0 {
			return Rule{}, false
		}
		tag = tag[:cut]
	}
}

// Languages lists the tags that have a rule of their own, sorted.
func Languages() []string {
	return slices.Sorted(maps.Keys(rules))
}
