package vault_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/vault"
)

func TestPINRules(t *testing.T) {
	for typed, want := range map[string]error{
		"":                      vault.ErrDigits,
		"  ":                    vault.ErrDigits,
		"28a194":                vault.ErrDigits,
		"-281946":               vault.ErrDigits,
		"28.1946":               vault.ErrDigits,
		"281,946":               vault.ErrDigits,
		"28194":                 vault.ErrLength,
		"28194628194628193":     vault.ErrLength,
		"000000":                vault.ErrSimple,
		"77777777":              vault.ErrSimple,
		"123456":                vault.ErrSimple,
		"890123":                vault.ErrSimple,
		"987654":                vault.ErrSimple,
		"321098":                vault.ErrSimple,
		"246802":                vault.ErrSimple,
		"121212":                vault.ErrSimple,
		"2819428194":            vault.ErrSimple,
		"281281":                vault.ErrSimple,
		"٠٠٠٠٠٠":                vault.ErrSimple,
		"၁၂၃၄၅၆":                vault.ErrSimple,
		"281946":                nil,
		"2819462819462810":      nil,
		" 281 946 ":             nil,
		"28\u200f1946\u200e":    nil,
		"٢٨١٩٤٦":                nil,
		"२८१९४६":                nil,
		"২৮১৯৪৬":                nil,
		"123457":                nil,
		"112233":                nil, // a rule for each habit would never end
		"281946281946":          vault.ErrSimple,
		"1234567812345670":      nil,
		strings.Repeat("9", 99): vault.ErrLength,
	} {
		if got := vault.CheckPIN(typed); !errors.Is(got, want) || (got == nil) != (want == nil) {
			t.Errorf("%q: %v, want %v", typed, got, want)
		}
	}
}

// Who typed a PIN in one script opens with it in any other.
func TestAPINIsItsDigits(t *testing.T) {
	want, err := vault.Derive("281946", cheap(t))
	must(t, err)
	for _, typed := range []string{"٢٨١٩٤٦", "२८१९४६", "২৮১৯৪৬", "၂၈၁၉၄၆", " 281946\n", "２８１９４６"} {
		if got, err := vault.Derive(typed, cheap(t)); err != nil || string(got) != string(want) {
			t.Errorf("%q: %x, %v", typed, got, err)
		}
	}
	if got, err := vault.Derive("281947", cheap(t)); err != nil || string(got) == string(want) {
		t.Errorf("another PIN: %x, %v", got, err)
	}
}

// A PIN that was taken under older rules must still open.
func TestDeriveTakesWhatCheckRefuses(t *testing.T) {
	for _, typed := range []string{"1", "000000", strings.Repeat("7", 40)} {
		if _, err := vault.Derive(typed, cheap(t)); err != nil {
			t.Errorf("%q: %v", typed, err)
		}
	}
	if _, err := vault.Derive("abc", cheap(t)); !errors.Is(err, vault.ErrDigits) {
		t.Error(err)
	}
}

func TestNoErrorHoldsThePIN(t *testing.T) {
	for _, typed := range []string{"48151", "481516234248151623", "4815x6", "481481"} {
		if err := vault.CheckPIN(typed); err == nil || strings.Contains(err.Error(), "481") {
			t.Errorf("%q: %v", typed, err)
		}
	}
}

// Reckoned by hand: 100 of a million go in equal steps; 100 are a block of two
// over and over and 1,000 a block of three, 10 of them both. Of the first
// hundred the steps of 0 and 5 are blocks of two, 20 in all. A rule that refused
// many more would tell a guesser where not to look.
func TestFewPINsAreRefused(t *testing.T) {
	refused := 0
	for n := range 1_000_000 {
		pin := []byte("000000")
		for i, rest := 5, n; rest > 0; i, rest = i-1, rest/10 {
			pin[i] = byte('0' + rest%10)
		}
		if vault.CheckPIN(string(pin)) != nil {
			refused++
		}
	}
	if want := 100 + (100 + 1000 - 10) - 20; refused != want {
		t.Errorf("%d of a million are refused, not %d", refused, want)
	}
}

func TestTheBoundsOfARecipe(t *testing.T) {
	random := seeded(1)
	for _, c := range []struct {
		cost vault.Cost
		ok   bool
	}{
		{vault.Usual, true},
		{vault.Cost{MemoryKiB: 19 << 10, Passes: 1}, true},
		{vault.Cost{MemoryKiB: 32 << 10, Passes: 16}, true},
		{vault.Cost{MemoryKiB: 19<<10 - 1, Passes: 3}, false},
		{vault.Cost{MemoryKiB: 32<<10 + 1, Passes: 3}, false},
		{vault.Cost{MemoryKiB: 19 << 10, Passes: 0}, false},
		{vault.Cost{MemoryKiB: 19 << 10, Passes: 17}, false},
		{vault.Cost{}, false},
	} {
		if _, err := vault.NewRecipe(random, c.cost); (err == nil) != c.ok || err != nil && !errors.Is(err, vault.ErrRecipe) {
			t.Errorf("%+v: %v", c.cost, err)
		}
	}
}

// What a file claims is checked before any memory is taken: 4 TiB here.
func TestDeriveChecksTheRecipeFirst(t *testing.T) {
	good := cheap(t)
	for name, alter := range map[string]func([]byte) []byte{
		"memory":      func(b []byte) []byte { copy(b, []byte{0xff, 0xff, 0xff, 0xff}); return b },
		"over 32 MiB": func(b []byte) []byte { copy(b, le32(32<<10+1)); return b },
		"no memory":   func(b []byte) []byte { copy(b, le32(0)); return b },
		"passes":      func(b []byte) []byte { copy(b[4:], le32(1<<30)); return b },
		"no pass":     func(b []byte) []byte { copy(b[4:], le32(0)); return b },
		"two lanes":   func(b []byte) []byte { copy(b[8:], le32(2)); return b },
		"short":       func(b []byte) []byte { return b[:27] },
		"long":        func(b []byte) []byte { return append(b, 0) },
		"nothing":     func([]byte) []byte { return nil },
	} {
		if key, err := vault.Derive("281946", alter(append([]byte{}, good...))); key != nil || !errors.Is(err, vault.ErrRecipe) {
			t.Errorf("%s: %x, %v", name, key, err)
		}
	}
}

func TestRandomnessThatFails(t *testing.T) {
	if _, err := vault.NewRecipe(strings.NewReader("short"), vault.Usual); err == nil {
		t.Error("a recipe without enough randomness")
	}
	if _, err := vault.NewRecipe(zeros{}, vault.Usual); err == nil {
		t.Error("a recipe of zeros")
	}
	if _, err := vault.NewCode(zeros{}); err == nil {
		t.Error("a code of zeros")
	}
	if _, err := vault.NewCode(strings.NewReader(strings.Repeat("\xff", 80))); err == nil {
		t.Error("a code of bytes that give no digit")
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// FuzzPIN: what is taken as new derives, and is digits alone.
func FuzzPIN(f *testing.F) {
	for _, s := range []string{"281946", "٢٨١٩٤٦", "28 1946", "12,345", "1.5", "\u200f281946", "\xff281946", "𝟐𝟖𝟏𝟗𝟒𝟔"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		digits, err := vault.PINDigits(typed)
		if vault.CheckPIN(typed) != nil {
			if err != nil && digits != "" {
				t.Fatalf("%q: refused, and yet %q", typed, digits)
			}
			return
		}
		if err != nil || len(digits) < vault.MinPIN || len(digits) > vault.MaxPIN || strings.Trim(digits, "0123456789") != "" {
			t.Fatalf("%q: %q, %v", typed, digits, err)
		}
		if again, err := vault.PINDigits(digits); err != nil || again != digits {
			t.Fatalf("%q: %q, then %q, %v", typed, digits, again, err)
		}
	})
}

func TestSpacesAndScriptsDoNotMatter(t *testing.T) {
	noughts := []rune{'0', '٠', '०', '০', '၀', '０', '𞥐'}
	rapid.Check(t, func(t *rapid.T) {
		pin := rapid.StringMatching("[0-9]{1,16}").Draw(t, "pin")
		var typed strings.Builder
		for _, r := range pin {
			typed.WriteString(rapid.SampledFrom([]string{"", "", " ", "\u200e", "\u00a0"}).Draw(t, "between"))
			typed.WriteRune(rapid.SampledFrom(noughts).Draw(t, "nought") + r - '0')
		}
		if got, err := vault.PINDigits(typed.String()); err != nil || got != pin {
			t.Fatalf("%q: %q, %v, want %q", typed.String(), got, err, pin)
		}
	})
}
