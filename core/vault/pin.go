package vault

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	"fourchette/core/amount"
)

// How long a new PIN must and may be, in digits. Six, because the app makes a
// guesser wait: a hundred tries a day among a million PINs is a chance of one
// in ten thousand. A longer one is worth the typing only against somebody who
// copies the files, and then it takes twelve (see the threat model). More than
// six at least would end on a note stuck to the phone.
const (
	MinPIN = 6
	MaxPIN = 16
)

// What a PIN can be refused for.
var (
	// ErrDigits: nothing, or something else than digits. So it can be no PIN.
	ErrDigits = errors.New("a PIN is made of digits only")
	// ErrLength: a new PIN of too few or too many digits.
	ErrLength = errors.New("the PIN has too few or too many digits")
	// ErrSimple: a new PIN that is among the first anybody would try.
	ErrSimple = errors.New("the PIN is too easy to guess")
)

// CheckPIN says whether a new PIN may be taken: [MinPIN] to [MaxPIN] digits, of
// any script, not all the same, not in equal steps (1 2 3…, 9 8 7…, 2 4 6…,
// going round after 9), and not one short block over and over (12 12 12). Its
// errors are ErrDigits, ErrLength and ErrSimple; none holds the PIN.
func CheckPIN(typed string) error {
	pin, err := pinDigits(typed)
	switch {
	case err != nil:
		return err
	case len(pin) < MinPIN || len(pin) > MaxPIN:
		return fmt.Errorf("%w: %d digits, wanted %d to %d", ErrLength, len(pin), MinPIN, MaxPIN)
	case equalSteps(pin) || repeats(pin):
		return ErrSimple
	}
	return nil
}

// CheckDigits says whether this can be a PIN that was set: nil or ErrDigits.
func CheckDigits(typed string) error {
	_, err := pinDigits(typed)
	return err
}

// pinDigits is a PIN as a key is derived from it: digits 0–9, one or more.
func pinDigits(typed string) (string, error) {
	pin := latin(typed)
	other := func(r rune) bool { return r < '0' || r > '9' }
	if pin == "" || strings.ContainsFunc(pin, other) {
		return "", ErrDigits
	}
	return pin, nil
}

// latin maps the digits of every script to 0–9 and drops spaces and the
// invisible marks that keyboards of some scripts put between digits.
func latin(typed string) string {
	return amount.Typed(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, typed))
}

// equalSteps reports whether each digit follows the one before it by the same
// step, going round after 9: 000000, 123456, 987654, 246802.
func equalSteps(pin string) bool {
	step := func(i int) int { return (int(pin[i]) - int(pin[i-1]) + 10) % 10 }
	for i := 2; i < len(pin); i++ {
		if step(i) != step(1) {
			return false
		}
	}
	return true
}

// repeats reports whether the PIN is a shorter block, two times or more.
func repeats(pin string) bool {
	for n := 1; n <= len(pin)/2; n++ {
		if len(pin)%n == 0 && strings.Repeat(pin[:n], len(pin)/n) == pin {
			return true
		}
	}
	return false
}
