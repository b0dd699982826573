package main

import (
	"maps"
	"slices"
	"strings"
	"unicode"
)

// symbols are the units that are written alike everywhere, each with the one
// spelling by which they are compared.
var symbols = map[string]string{
	"mg": "mg", "g": "g", "kg": "kg", "mL": "mL", "ml": "mL", "L": "L", "l": "L", "%": "%",
	"°C": "°C", "cm": "cm", "mm": "mm", "mmHg": "mmHg", "IU": "IU", "h": "h", "min": "min",
}

// unitWords are the units that a language writes as words. A language without
// an entry is compared by symbols alone.
var unitWords = map[string]map[string]string{
	"en": {"hour": "h", "hours": "h", "minute": "min", "minutes": "min", "day": "day", "days": "day",
		"week": "week", "weeks": "week", "microgram": "mcg", "micrograms": "mcg", "degrees": "degree",
		"finger": "finger", "fingers": "finger", "litre": "L", "litres": "L"},
	"fr": {"heure": "h", "heures": "h", "minute": "min", "minutes": "min", "jour": "day", "jours": "day",
		"semaine": "week", "semaines": "week", "microgramme": "mcg", "microgrammes": "mcg", "degrés": "degree",
		"doigt": "finger", "doigts": "finger", "UI": "IU", "litre": "L", "litres": "L"},
}

// numberWords are the numbers that a language writes as words, as far as the
// word means nothing else: "one" and "un" are left out, and so is "neuf", which
// is both nine and new.
var numberWords = map[string]map[string]string{
	"en": {"half": "1/2", "quarter": "1/4", "both": "2", "double": "2", "twice": "2", "two": "2", "three": "3",
		"four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "ten": "10", "tenfold": "10"},
	"fr": {"moitié": "1/2", "demi": "1/2", "demie": "1/2", "quart": "1/4", "double": "2", "deux": "2", "trois": "3",
		"quatre": "4", "cinq": "5", "six": "6", "sept": "7", "huit": "8", "dix": "10"},
}

// decimalComma are the languages that write a decimal comma in prose.
var decimalComma = map[string]bool{"fr": true, "es": true, "pt": true, "pt-PT": true, "lo": true, "ln": true}

func unitsOf(lang string) map[string]string {
	units := maps.Clone(symbols)
	maps.Copy(units, unitWords[lang])
	return units
}

// englishUnits are the units to see in the English when it is compared with a
// language: words only if the language's own words are known.
func englishUnits(lang string) map[string]string {
	if unitWords[lang] == nil {
		return symbols
	}
	return unitsOf("en")
}

// compareWords says how the numbers in words of a translation differ from the
// English, or "". It says nothing about a language whose words it does not know.
func compareWords(english, translated, lang string) string {
	if numberWords[lang] == nil {
		return ""
	}
	want, got := wordsIn(english, "en"), wordsIn(translated, lang)
	if slices.Equal(want, got) {
		return ""
	}
	return "its numbers in words are " + listed(got) + ", those of the English " + listed(want)
}

// wordsIn lists the values of the numbers that a text writes as words, sorted.
func wordsIn(text, lang string) []string {
	var found []string
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if value, ok := numberWords[lang][word]; ok {
			found = append(found, value)
		}
	}
	slices.Sort(found)
	return found
}

func listed(values []string) string {
	if len(values) == 0 {
		return "none"
	}
	return strings.Join(values, ", ")
}
