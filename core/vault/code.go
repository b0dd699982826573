package vault

import (
	"crypto/hkdf"
	"crypto/sha256"
	"fmt"
	"io"
	"strings"
)

// The recovery code is ten groups of five digits: four random ones and a check
// digit, 132 bits in all. Digits and no letters, because it is copied by hand
// and typed with a keypad, by people of whom many read another script than
// Latin: 0 and O, 1 and I cannot be confused where there is no O and no I, and
// digits of any script will do. A group of its own check, because a mistake is
// then found while that group is typed: one wrong digit, two neighbours
// exchanged, or a group in another's place is always found.
const (
	codeGroups = 10
	groupLen   = 5
	codeLen    = codeGroups * groupLen
)

// CodeError says why digits are no recovery code. It tells nothing about the
// right one: it rests on what was typed alone.
type CodeError struct {
	// Digits is how many digits were typed; a code has 50.
	Digits int
	// Group is the first group of five, counted from 1, that cannot be right; 0:
	// each could be.
	Group int
	// Stray: something else than digits was typed.
	Stray bool
}

func (e *CodeError) Error() string {
	switch {
	case e.Stray:
		return "the code holds something else than digits; compare it with the paper"
	case e.Group > 0:
		return fmt.Sprintf("group %d of the code cannot be right; compare it with the paper", e.Group)
	}
	return fmt.Sprintf("the code has %d digits, not %d; compare it with the paper", e.Digits, codeLen)
}

// NewCode makes a recovery code as it is printed: ten groups of five digits
// with a space between. It is worth nothing until [Vault.SetCode] was given it.
func NewCode(random io.Reader) (string, error) {
	digits, err := drawDigits(random, codeGroups*(groupLen-1))
	if err != nil {
		return "", err
	}
	var groups []string
	for g := range codeGroups {
		four := digits[g*(groupLen-1):][:groupLen-1]
		groups = append(groups, four+string(checkDigit(g, four)))
	}
	return strings.Join(groups, " "), nil
}

// CheckCode says whether what was typed can be a recovery code: nil or a
// [CodeError]. Letters O and o stand for 0, I, i, l and L for 1; spaces, line
// breaks and hyphens are passed over.
func CheckCode(typed string) error {
	_, err := readCode(typed)
	return err
}

// readCode is the 40 random digits of a code.
func readCode(typed string) (string, error) {
	digits := latin(strings.Map(codeRune, typed))
	e := &CodeError{Digits: len(digits)}
	for _, r := range digits {
		if r < '0' || r > '9' {
			return "", &CodeError{Stray: true}
		}
	}
	var b strings.Builder
	for g := 0; g < codeGroups && (g+1)*groupLen <= len(digits); g++ {
		group := digits[g*groupLen:][:groupLen]
		if checkDigit(g, group[:groupLen-1]) != rune(group[groupLen-1]) && e.Group == 0 {
			e.Group = g + 1
		}
		b.WriteString(group[:groupLen-1])
	}
	if e.Group > 0 || len(digits) != codeLen {
		return "", e
	}
	return b.String(), nil
}

// codeRune maps what hands and eyes confuse with a digit, and drops hyphens.
func codeRune(r rune) rune {
	switch r {
	case 'O', 'o':
		return '0'
	case 'I', 'i', 'L', 'l':
		return '1'
	case '-', '‐', '‑', '–':
		return -1
	}
	return r
}

// damm is a quasigroup of order ten, totally anti-symmetric: (c·x)·y = (c·y)·x
// and x·y = y·x hold only where x = y. So the check digit finds every single
// wrong digit and every exchange of neighbours. H. M. Damm, Total
// anti-symmetrische Quasigruppen, Marburg 2004. From memory; a test tries what
// it is here for on every group there can be.
var damm = [10]string{
	"0317598642", "7092154863", "4206871359", "1750983426", "6123045978",
	"3674209581", "5869720134", "8945362017", "9438617205", "2581436790",
}

// checkDigit is the check digit of the g-th group, counted from 0. The group's
// place is where the reckoning begins, so that a group in another's place is
// found.
func checkDigit(g int, digits string) rune {
	at := g
	for _, d := range digits {
		at = int(damm[at][d-'0'] - '0')
	}
	return rune('0' + at)
}

// drawDigits draws n digits, each as likely as any other: of the 256 values of a
// byte, 250 are taken. Twice as many bytes as digits always suffice.
func drawDigits(random io.Reader, n int) (string, error) {
	drawn, err := draw(random, 2*n)
	if err != nil {
		return "", err
	}
	var digits []byte
	for _, b := range drawn {
		if b < 250 && len(digits) < n {
			digits = append(digits, '0'+b%10)
		}
	}
	if len(digits) < n {
		return "", fmt.Errorf("take randomness: %d bytes gave %d digits, not %d", len(drawn), len(digits), n)
	}
	return string(digits), nil
}

// typedKey is the key of the slot that a code opens, as it was typed.
func typedKey(typed string, mark [markLen]byte) ([]byte, error) {
	code, err := readCode(typed)
	if err != nil {
		return nil, err
	}
	return codeKey(code, mark)
}

// codeKey is the key of the slot that a code opens. The code is random and long
// enough to need no slow derivation.
func codeKey(code string, mark [markLen]byte) ([]byte, error) {
	return hkdf.Key(sha256.New, []byte(code), mark[:], labelCode, keyLen)
}
