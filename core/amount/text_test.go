package amount_test

import (
	"errors"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"fourchette/core/amount"

	"pgregory.net/rapid"
)

// texts are the parsers with the decimals each takes; read gives the number of
// smallest units and its text.
var texts = []struct {
	name     string
	decimals int
	read     func(string) (int64, string, error)
}{
	{"milligrams", 3, readMilligrams},
	{"millilitres", 3, readMillilitres},
	{"kilograms", 3, readKilograms},
	{"grams", 0, readGrams},
	{"percent", 4, readPercent},
	{"milligrams per kilogram", 3, readRate},
}

func readMilligrams(s string) (int64, string, error) {
	m, err := amount.ParseMilligrams(s)
	return int64(m), m.Milligrams(), err
}

func readMillilitres(s string) (int64, string, error) {
	v, err := amount.ParseMillilitres(s)
	return int64(v), v.Millilitres(), err
}

func readKilograms(s string) (int64, string, error) {
	w, err := amount.ParseKilograms(s)
	return int64(w), w.Kilograms(), err
}

func readGrams(s string) (int64, string, error) {
	w, err := amount.ParseGrams(s)
	return int64(w), w.Grams(), err
}

func readPercent(s string) (int64, string, error) {
	p, err := amount.ParsePercent(s)
	return int64(p), p.Percent(), err
}

func readRate(s string) (int64, string, error) {
	r, err := amount.ParseMilligramsPerKilogram(s)
	return int64(r), r.MilligramsPerKilogram(), err
}

func TestParseUnits(t *testing.T) {
	for _, c := range []struct {
		read func(string) (int64, string, error)
		in   string
		want int64
		text string
	}{
		{readMilligrams, "16.5", 16_500, "16.5"},
		{readMilligrams, "0.001", 1, "0.001"},
		{readMilligrams, "200", 200_000, "200"},
		{readMilligrams, "007.50", 7_500, "7.5"},
		{readMilligrams, "0.000", 0, "0"},
		{readMilligrams, "999999999.999", 999_999_999_999, "999999999.999"},
		{readMillilitres, "7.5", 7_500, "7.5"},
		{readKilograms, "66.667", 66_667, "66.667"},
		{readGrams, "340", 340, "340"},
		{readPercent, "1", 10_000, "1"},
		{readPercent, "0.25", 2_500, "0.25"},
		{readPercent, "0.0005", 5, "0.0005"},
		{readRate, "4.5", 4_500, "4.5"},
	} {
		got, text, err := c.read(c.in)
		if err != nil || got != c.want || text != c.text {
			t.Errorf("%q: %d %q %v, want %d %q", c.in, got, text, err, c.want, c.text)
		}
	}
	if got := (5 * amount.OnePercent / 10).MilligramsPerMillilitre(); got != "5" {
		t.Errorf("0.5 %% is %s mg/mL, want 5", got)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		in   string
		want error
	}{
		{"", amount.ErrMalformed}, {" 1", amount.ErrMalformed}, {"1 ", amount.ErrMalformed},
		{"+1", amount.ErrMalformed}, {"-1", amount.ErrMalformed}, {"1e3", amount.ErrMalformed},
		{".5", amount.ErrMalformed}, {"5.", amount.ErrMalformed}, {"1.2.3", amount.ErrMalformed},
		{"1,5", amount.ErrMalformed}, {"0x10", amount.ErrMalformed}, {"1_000", amount.ErrMalformed},
		{"٣", amount.ErrMalformed}, {"NaN", amount.ErrMalformed}, {".", amount.ErrMalformed},
		{"1.0000", amount.ErrTooPrecise}, {"0.0001", amount.ErrTooPrecise},
		{"1000000000", amount.ErrTooLarge}, {"0000000001", amount.ErrTooLarge},
		{strings.Repeat("9", 5000), amount.ErrTooLarge},
	} {
		got, text, err := readMilligrams(c.in)
		if !errors.Is(err, c.want) || got != 0 || text != "0" {
			t.Errorf("%.20q: %d, %v; want 0, %v", c.in, got, err, c.want)
			continue
		}
		if len(err.Error()) > 200 || c.in != "" && !strings.Contains(err.Error(), c.in[:1]) {
			t.Errorf("%.20q: the message must say what was read, and stay short: %v", c.in, err)
		}
	}
	if _, _, err := readGrams("1.0"); !errors.Is(err, amount.ErrTooPrecise) {
		t.Errorf("grams are whole: %v", err)
	}
}

func TestParsePrintRoundTrip(t *testing.T) {
	for _, kind := range texts {
		t.Run(kind.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				most := int64(999_999_999)
				for range kind.decimals {
					most = most*10 + 9
				}
				n := rapid.Int64Range(0, most).Draw(t, "n")
				printed := print(n, kind.decimals)
				got, text, err := kind.read(printed)
				if err != nil || got != n {
					t.Fatalf("%d prints %q and reads %d, %v", n, printed, got, err)
				}
				if text != printed {
					t.Errorf("%q prints as %q", printed, text)
				}
			})
		})
	}
}

// print writes n·10^-decimals as a decimal text by whole and rest, another way
// than the package does.
func print(n int64, decimals int) string {
	unit := int64(1)
	for range decimals {
		unit *= 10
	}
	s := decimal(n / unit)
	if n%unit == 0 {
		return s
	}
	part := decimal(n%unit + unit)[1:] // the leading 1 keeps the noughts
	for strings.HasSuffix(part, "0") {
		part = part[:len(part)-1]
	}
	return s + "." + part
}

func decimal(n int64) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return decimal(n/10) + string(rune('0'+n%10))
}

func TestTyped(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"16.5", "16.5"}, {" 16.5 ", "16.5"}, {"\u00a062,5\n", "62.5"}, {"\u200762", "62"},
		{"16,5", "16.5"}, {"0,125", "0.125"}, {"0.125", "0.125"},
		{"٦٢٫٥", "62.5"},   // Arabic-Indic
		{"۶۲٫۵", "62.5"},   // Persian, Urdu, Pashto
		{"६२.५", "62.5"},   // Devanagari
		{"৬২.৫", "62.5"},   // Bengali
		{"໖໒,໕", "62.5"},   // Lao
		{"６２.５", "62.5"},   // full width
		{"𝟞𝟚.𝟝", "62.5"},   // mathematical double-struck, beyond 16 bits
		{"1,500", "1,500"}, // a thousand or one? refused below
		{"1.500", "1,500"},
		{"12٫345", "12,345"},
		{"1,000.5", "1,000.5"}, {"1.000,5", "1.000,5"}, {"1,2,3", "1,2,3"},
		{"-5", "-5"}, {"5 0", "5 0"}, {"", ""}, {"ten", "ten"}, {",5", ",5"}, {"5,", "5,"},
		{"½", "½"}, {"五", "五"}, {"5mg", "5mg"},
	} {
		if got := amount.Typed(c.in); got != c.want {
			t.Errorf("Typed(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

// TestTypedRefused: what has two readings, or none, never becomes a number.
func TestTypedRefused(t *testing.T) {
	for _, in := range []string{"1,500", "1.500", "12,345", "1٬000", "1 000", "-5", "½", ",5", "5,", "", "1,000.5", "1'000"} {
		if m, err := amount.ParseMilligrams(amount.Typed(in)); err == nil {
			t.Errorf("%q was read as %s mg", in, m.Milligrams())
		}
	}
}

// TestTypedEveryDigit: each run of ten decimal digits counts 0 to 9, checked
// by walking Unicode from the nought that begins each run.
func TestTypedEveryDigit(t *testing.T) {
	seen := 0
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if !unicode.IsDigit(r) {
			continue
		}
		want := string(rune('0' + seen%10))
		if got := amount.Typed(string(r)); got != want {
			t.Fatalf("%U became %q, want %q", r, got, want)
		}
		seen++
	}
	if seen < 600 || seen%10 != 0 {
		t.Fatalf("walked %d digits; expected whole runs of ten", seen)
	}
}

// canonical is what an accepted text must print as: no noughts in front but
// one, none behind the point.
func canonical(s string) string {
	whole, part, _ := strings.Cut(s, ".")
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	if part = strings.TrimRight(part, "0"); part == "" {
		return whole
	}
	return whole + "." + part
}

var strict = regexp.MustCompile(`^[0-9]{1,9}(\.[0-9]{1,4})?$`)

// fuzz holds for every parser: accepted means strict, and prints back to the
// canonical text, which reads the same; refused returns nothing.
func fuzz(f *testing.F, read func(string) (int64, string, error)) {
	for _, seed := range []string{"", "0", "16.5", "007.50", "999999999.999", "1.0000", "1e3", "-1", ".5", "1,5", "٣"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, text, err := read(s)
		if err != nil {
			if n != 0 {
				t.Fatalf("refused %q and returned %d", s, n)
			}
			return
		}
		if !strict.MatchString(s) {
			t.Fatalf("accepted %q", s)
		}
		if text != canonical(s) {
			t.Fatalf("%q prints as %q, want %q", s, text, canonical(s))
		}
		if again, _, err := read(text); err != nil || again != n {
			t.Fatalf("%q is %d, its text %q is %d, %v", s, n, text, again, err)
		}
	})
}

func FuzzParseMilligrams(f *testing.F)            { fuzz(f, readMilligrams) }
func FuzzParseMillilitres(f *testing.F)           { fuzz(f, readMillilitres) }
func FuzzParseKilograms(f *testing.F)             { fuzz(f, readKilograms) }
func FuzzParseGrams(f *testing.F)                 { fuzz(f, readGrams) }
func FuzzParsePercent(f *testing.F)               { fuzz(f, readPercent) }
func FuzzParseMilligramsPerKilogram(f *testing.F) { fuzz(f, readRate) }

// FuzzTyped: typing what Typed gave changes nothing, and text that is strict
// and has one reading stays as it is.
func FuzzTyped(f *testing.F) {
	for _, seed := range []string{" 16,5 ", "1,500", "1.500", "٦٢٫٥", "५", "1.2.3", "\xff", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		once := amount.Typed(s)
		if twice := amount.Typed(once); twice != once {
			t.Fatalf("%q gives %q, then %q", s, once, twice)
		}
		if _, part, _ := strings.Cut(s, "."); strict.MatchString(s) && len(part) != 3 && once != s {
			t.Fatalf("strict %q became %q", s, once)
		}
	})
}
