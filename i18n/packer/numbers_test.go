package main

import (
	"fmt"
	"strings"
	"testing"
	"unicode"
)

func TestFigures(t *testing.T) {
	cases := []struct{ lang, text, want string }{
		{"en", "no figure", "[]"},
		{"en", "Give 1 g within 3 h, then 0.5 mL/kg/h.", "[1 g 3 h 0.5 mL/kg/h]"},
		{"en", "over 10 minutes or 1 minute", "[10 min 1 min]"},
		{"en", "3a, grade 4.", "[3 4]"},
		{"en", "20 % and 0.75%", "[20 % 0.75 %]"},
		{"fr", "1 g en 3 heures, 10 UI, 0,5 cm", "[1 g 3 h 10 IU 0.5 cm]"},
		{"fr", "17.5\u00a0mL/min", "[17.5 mL/min]"},
		{"ar", "١٢٫٥ mg و ٣", "[12.5 mg 3]"},
		{"hi", "१०० mL", "[100 mL]"},
		{"ps", "۱۲ kg", "[12 kg]"},
		{"bn", "৯", "[9]"},
		{"lo", "໑໒", "[12]"},
		{"en", "1 mgs", "[1]"},
		{"en", "1:200 000", "[1 200000]"}, {"fr", "1\u202f000 mL", "[1000 mL]"}, {"en", "1 234 567 g", "[1234567 g]"},
		{"en", "1234 567", "[1234 567]"}, {"en", "1.5 100", "[1.5 100]"}, {"en", "12 34", "[12 34]"}, {"en", "1 2345", "[1 2345]"},
	}
	for _, c := range cases {
		if got := fmt.Sprint(figures(c.text, unitsOf(c.lang))); got != c.want {
			t.Errorf("%s %q: got %s, want %s", c.lang, c.text, got, c.want)
		}
	}
}

// Every digit of Unicode has the value that Unicode's own tables give it: the
// runs of ten begin with a nought, and nine digits follow it.
func TestDigitValue(t *testing.T) {
	seen := 0
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if !unicode.Is(unicode.Nd, r) {
			continue
		}
		if got, want := digitValue(r), rune(seen%10); got != want {
			t.Errorf("U+%04X: got %d, want %d", r, got, want)
		}
		seen++
	}
	if seen < 600 || seen%10 != 0 {
		t.Fatalf("%d digits looked at", seen)
	}
}

func TestBadFigure(t *testing.T) {
	cases := []struct {
		text  string
		comma bool
		bad   bool
	}{
		{"0.5 mL", false, false}, {"100", false, false}, {"10 IU, then 20", false, false}, {"4, 5 and 6.", false, false},
		{"0.50 mL", false, true}, {"a shock index of 1.0", false, false}, {"1:200 000", false, false}, {".5 mL", false, true}, {"05", false, true},
		{"1.250.000", false, true}, {"1,5", false, true}, {",5", true, true},
		{"38,5 °C", true, true}, {"1,5 mg", true, true}, {"1,5 fois", true, false}, {"1,50 mg", true, true},
		{"١٫٥ mg", true, true},
	}
	for _, c := range cases {
		if got := badFigure(c.text, c.comma); (got != "") != c.bad {
			t.Errorf("%q with comma %v: got %q, want bad %v", c.text, c.comma, got, c.bad)
		}
	}
}

func TestCompare(t *testing.T) {
	cases := []struct {
		lang, english, translated string
		same                      bool
	}{
		{"fr", "Give 1 g within 3 h", "Donner 1 g dans les 3 h", true},
		{"fr", "1.5 times", "1,5 fois", true},
		{"fr", "500 mL, or 300 mL with a sign", "300 mL avec un signe, ou 500 mL", false},
		{"fr", "1.5 mL/kg", "1.5 mL", false},
		{"fr", "1.5 mg", "15 mg", false},
		{"fr", "200 mg", "200 g", false},
		{"fr", "half", "la moitié", true},
		{"fr", "half", "le double", false},
		{"fr", "twice", "deux fois", true},
		{"fr", "two fingers", "trois doigts", false},
		{"fr", "a new glove", "un gant neuf", true},
		{"fr", "{a} and {b} mg", "{b} mg et {a}", true},
		{"fr", "{a} and {b} mg", "{a} mg et {b}", false},
		{"ar", "12.5 mg", "١٢٫٥ mg", true},
		{"ar", "12.5 mg", "١٢٫٦ mg", false},
		{"sw", "within 3 hours", "ndani ya saa 3", true},
		{"sw", "within 3 hours", "ndani ya saa 4", false},
		{"sw", "3 mg", "3 g", false},
	}
	for _, c := range cases {
		what := compareFigures(c.english, c.translated, c.lang) + compareHoles(c.english, c.translated, c.lang) +
			compareWords(c.english, c.translated, c.lang)
		if (what == "") != c.same {
			t.Errorf("%s %q against %q: %q, want same %v", c.lang, c.translated, c.english, what, c.same)
		}
	}
}

func TestTypeset(t *testing.T) {
	cases := []struct{ lang, text, want string }{
		{"en", "Give 1 g, or {ml} mL of 0.5 %.", "Give 1\u00a0g, or {ml}\u00a0mL of 0.5\u00a0%."},
		{"en", "1 glove, 2 light kits", "1 glove, 2 light kits"},
		{"en", "1:200 000", "1:200\u00a0000"}, {"en", "grade 2 1234", "grade 2 1234"},
		{"en", "15 mL/kg/h", "15\u00a0mL/kg/h"},
		{"en", "baby's 'own'", "baby’s 'own'"},
		{"fr", "L'aiguille : « non » ?", "L’aiguille\u00a0: «\u00a0non\u00a0»\u00a0?"},
		{"ha", "ma'ana", "ma'ana"},
	}
	for _, c := range cases {
		if got := typeset(c.lang, c.text); got != c.want {
			t.Errorf("%s %q: got %q, want %q", c.lang, c.text, got, c.want)
		}
	}
}

// Where the text runs from the right an amount keeps its own direction.
func TestAmountsFromTheRight(t *testing.T) {
	for text, want := range map[string]string{
		"خلال 6 h من الولادة": "خلال \u20666\u00a0h\u2069 من الولادة",
		"{ml} mL, 8–12 h":     "\u2066{ml}\u00a0mL\u2069, \u20668–12\u00a0h\u2069",
		"90 mmHg, 15 mL/kg/h": "\u206690\u00a0mmHg\u2069, \u206615\u00a0mL/kg/h\u2069",
		"38.5 °C, 0.5 %.":     "\u206638.5\u00a0°C\u2069, \u20660.5\u00a0%\u2069.",
		"6 ساعات, 3 times":    "6 ساعات, 3 times",
	} {
		if got := typesetAll("ar", "rtl", []string{text}); got[0] != want {
			t.Errorf("%q: got %q, want %q", text, got[0], want)
		}
		if got := typesetAll("ar", "ltr", []string{text}); strings.ContainsAny(got[0], "\u2066\u2069") {
			t.Errorf("from the left: %q", got[0])
		}
	}
}

// A text always agrees with itself, and with a figure put behind it never.
func FuzzFigures(f *testing.F) {
	for _, s := range []string{"", "1.5 mL/kg", "٣٫٥", "1,", ".5", "{a} mg", "9999 h", "𝟙𝟚"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, lang := range []string{"en", "fr", "ar", "sw"} {
			if what := compareFigures(text, text, "en"); what != "" {
				t.Fatalf("%s: %q differs from itself: %s", lang, text, what)
			}
			if compareFigures(text, text+" 7", lang) == "" {
				t.Fatalf("%s: a figure added to %q went unseen", lang, text)
			}
		}
		for _, figure := range figures(text, symbols) {
			for _, c := range figure.number {
				if c != '.' && (c < '0' || c > '9') {
					t.Fatalf("%q gave the number %q", text, figure.number)
				}
			}
		}
	})
}
