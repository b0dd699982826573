package vault_test

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"testing"

	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

// seeded is randomness that comes again: for tests only.
func seeded(seed byte) io.Reader { return rand.NewChaCha8([32]byte{seed}) }

// kek stands for what a PIN derives to; a fresh copy, for it is wiped.
func kek(n byte) []byte { return bytes.Repeat([]byte{n}, 32) }

func cheap(t testing.TB) []byte {
	t.Helper()
	r, err := vault.CheapRecipe(seeded(9))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// made is a disk with a vault that kek(1) opens, and the vault, open.
func made(t testing.TB) (*journaltest.Disk, *vault.Vault) {
	t.Helper()
	d := journaltest.New()
	v, err := vault.Create(d, seeded(1), 0, cheap(t), kek(1))
	must(t, err)
	return d, v
}

// opened opens a vault that must open and be settled.
func opened(t testing.TB, d *journaltest.Disk) *vault.Vault {
	t.Helper()
	v, r, err := vault.Open(d, seeded(2), 0)
	if err != nil || r.Unsettled != nil {
		t.Fatalf("open: %v, %+v", err, r)
	}
	return v
}

// unlock tries a key on a vault, whatever the count says.
func unlock(t fataler, v *vault.Vault, key []byte) error {
	t.Helper()
	_, err := v.Try(0)
	var wait *vault.WaitError
	if errors.As(err, &wait) {
		_, err = v.Try(wait.Left)
	}
	if err != nil {
		t.Fatal(err)
	}
	return v.Unlock(key, 0)
}

// sealed seals a text as the first entry of a journal.
func sealed(t testing.TB, v *vault.Vault, text string) []byte {
	t.Helper()
	b, err := v.Sealer(vault.Journal).Seal("journal-00000001", 1, []byte(text))
	must(t, err)
	return b
}

// reads checks that an open vault reads what was sealed before.
func reads(t testing.TB, v *vault.Vault, b []byte, want string) {
	t.Helper()
	got, err := v.Sealer(vault.Journal).Open("journal-00000001", 1, b)
	if err != nil || string(got) != want {
		t.Fatalf("read %q, %v; want %q", got, err, want)
	}
}

// fataler is a test, of this package's kind or of the property's.
type fataler interface {
	Helper()
	Fatal(...any)
}
