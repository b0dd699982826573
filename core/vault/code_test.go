package vault_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/vault"
)

func newCode(t testing.TB, seed byte) string {
	t.Helper()
	code, err := vault.NewCode(seeded(seed))
	must(t, err)
	return code
}

func TestANewCode(t *testing.T) {
	code := newCode(t, 1)
	groups := strings.Split(code, " ")
	if len(groups) != 10 || len(strings.ReplaceAll(code, " ", "")) != 50 || vault.CheckCode(code) != nil {
		t.Fatalf("%q", code)
	}
	random, err := vault.ReadCode(code)
	if err != nil || len(random) != 40 || random[:4] != groups[0][:4] || random[36:] != groups[9][:4] {
		t.Errorf("%q, %v", random, err)
	}
	if other := newCode(t, 2); other == code {
		t.Error("two codes are the same")
	}
}

// The example of the check digit's own literature: 572 has the check digit 4.
// Wikipedia, Damm algorithm.
func TestTheCheckDigit(t *testing.T) {
	if got := vault.CheckDigit(0, "572"); got != '4' {
		t.Errorf("572 has %c, not 4", got)
	}
}

// Every group there can be, in every place: one wrong digit, two neighbours
// exchanged, and another place are always found.
func TestTheCheckDigitFindsWhatHandsDo(t *testing.T) {
	fits := func(g int, group []byte) bool {
		return byte(vault.CheckDigit(g, string(group[:4]))) == group[4]
	}
	tried := 0
	for g := range 10 {
		for n := range 10_000 {
			four := fmt.Sprintf("%04d", n)
			group := []byte(four + string(vault.CheckDigit(g, four)))
			for other := range 10 {
				if fits(other, group) != (other == g) {
					t.Fatalf("group %d, %s, fits place %d: %v", g, group, other, other != g)
				}
			}
			for i := range group {
				was := group[i]
				for d := byte('0'); d <= '9'; d++ {
					if group[i] = d; fits(g, group) != (d == was) {
						t.Fatalf("group %d, %s", g, group)
					}
					tried++
				}
				group[i] = was
				if i > 0 && group[i] != group[i-1] {
					group[i], group[i-1] = group[i-1], group[i]
					if fits(g, group) {
						t.Fatalf("group %d, %s: neighbours exchanged", g, group)
					}
					group[i], group[i-1] = group[i-1], group[i]
					tried++
				}
			}
		}
	}
	t.Logf("%d mistakes tried", tried)
}

func TestHowACodeMayBeTyped(t *testing.T) {
	code := newCode(t, 3)
	if !strings.Contains(code, "0") || !strings.Contains(code, "1") {
		t.Fatalf("%q tries nothing", code)
	}
	want, err := vault.ReadCode(code)
	must(t, err)
	for name, typed := range map[string]string{
		"no spaces":      strings.ReplaceAll(code, " ", ""),
		"hyphens":        strings.ReplaceAll(code, " ", "-"),
		"lines":          strings.ReplaceAll(code, " ", "\r\n"),
		"more spaces":    "  " + strings.ReplaceAll(code, " ", " \u00a0 ") + "\t",
		"O for 0":        strings.ReplaceAll(code, "0", "O"),
		"o for 0":        strings.ReplaceAll(code, "0", "o"),
		"I for 1":        strings.ReplaceAll(code, "1", "I"),
		"i for 1":        strings.ReplaceAll(code, "1", "i"),
		"l for 1":        strings.ReplaceAll(code, "1", "l"),
		"L for 1":        strings.ReplaceAll(code, "1", "L"),
		"Arabic digits":  scripted(code, '٠'),
		"Bengali digits": scripted(code, '০'),
	} {
		if got, err := vault.ReadCode(typed); err != nil || got != want {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
}

func scripted(s string, nought rune) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return nought + r - '0'
		}
		return r
	}, s)
}

func TestWhatACodeErrorSays(t *testing.T) {
	code := newCode(t, 1)
	groups := strings.Split(code, " ")
	wrong := func(n int) string {
		g := []byte(groups[n])
		g[2] = '0' + (g[2]-'0'+1)%10
		return strings.Join(append(append(append([]string{}, groups[:n]...), string(g)), groups[n+1:]...), " ")
	}
	for name, c := range map[string]struct {
		typed string
		want  vault.CodeError
	}{
		"nothing":             {"", vault.CodeError{}},
		"the first half":      {strings.Join(groups[:5], " "), vault.CodeError{Digits: 25}},
		"one digit too many":  {code + "7", vault.CodeError{Digits: 51}},
		"the first group":     {wrong(0), vault.CodeError{Digits: 50, Group: 1}},
		"the seventh group":   {wrong(6), vault.CodeError{Digits: 50, Group: 7}},
		"the last group":      {wrong(9), vault.CodeError{Digits: 50, Group: 10}},
		"groups exchanged":    {strings.Join(append([]string{groups[1], groups[0]}, groups[2:]...), " "), vault.CodeError{Digits: 50, Group: 1}},
		"a letter":            {"S" + code[1:], vault.CodeError{Stray: true}},
		"a decimal separator": {code[:5] + "." + code[6:], vault.CodeError{Stray: true}},
	} {
		var got *vault.CodeError
		if err := vault.CheckCode(c.typed); !errors.As(err, &got) || *got != c.want {
			t.Errorf("%s: %+v, want %+v", name, err, c.want)
		}
	}
}

// Each digit comes about as often as any other: 40,000 digits, 4,000 each, give
// or take five standard deviations of 60.
func TestDigitsAreDrawnEvenly(t *testing.T) {
	random := seeded(5)
	var counts [10]int
	for range 1000 {
		code, err := vault.NewCode(random)
		must(t, err)
		digits, err := vault.ReadCode(code)
		must(t, err)
		for _, d := range digits {
			counts[d-'0']++
		}
	}
	for d, n := range counts {
		if n < 3700 || n > 4300 {
			t.Errorf("%d came %d times", d, n)
		}
	}
}

// 256 is no multiple of ten: the last six values of a byte would make some
// digits come more often.
func TestBytesThatWouldTiltTheDigitsAreSkipped(t *testing.T) {
	random := append([]byte{250, 251, 252, 253, 254, 255}, bytes.Repeat([]byte{249}, 74)...)
	code, err := vault.NewCode(bytes.NewReader(random))
	must(t, err)
	if digits, err := vault.ReadCode(code); err != nil || digits != strings.Repeat("9", 40) {
		t.Errorf("%q, %v", digits, err)
	}
}

func TestAnyCodeReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code, err := vault.NewCode(seeded(rapid.Byte().Draw(t, "seed")))
		if err != nil {
			t.Fatal(err)
		}
		at := rapid.IntRange(0, len(code)).Draw(t, "at")
		space := rapid.SampledFrom([]string{" ", "-", "\n", "\u200b"}).Draw(t, "space")
		want, _ := vault.ReadCode(code)
		if got, err := vault.ReadCode(code[:at] + space + code[at:]); err != nil || got != want {
			t.Fatalf("%q, %v, want %q", got, err, want)
		}
	})
}

// FuzzCode: what is taken has 40 digits and, printed anew, is the same code.
func FuzzCode(f *testing.F) {
	code := newCode(f, 1)
	for _, s := range []string{code, strings.ReplaceAll(code, " ", ""), code[:30], "O" + code[1:], scripted(code, '०'), "", "\xff", code + " 12345"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		digits, err := vault.ReadCode(typed)
		if err != nil {
			var e *vault.CodeError
			if digits != "" || !errors.As(err, &e) || e.Error() == "" {
				t.Fatalf("%q: %q, %v", typed, digits, err)
			}
			return
		}
		if len(digits) != 40 || strings.Trim(digits, "0123456789") != "" {
			t.Fatalf("%q: %q", typed, digits)
		}
		var printed strings.Builder
		for g := range 10 {
			four := digits[4*g:][:4]
			fmt.Fprintf(&printed, "%s%c ", four, vault.CheckDigit(g, four))
		}
		if again, err := vault.ReadCode(printed.String()); err != nil || again != digits {
			t.Fatalf("%q: %q, then %q, %v", typed, digits, again, err)
		}
	})
}
