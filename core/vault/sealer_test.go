package vault_test

import (
	"bytes"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

func TestASealedJournal(t *testing.T) {
	d, v := made(t)
	j, _, err := journal.OpenSealed(d, v.Sealer(vault.Journal))
	must(t, err)
	largest := bytes.Repeat([]byte{0x81}, vault.MaxPlain)
	for _, p := range [][]byte{{0x80}, []byte("second"), largest} {
		must(t, j.Append(p))
	}
	if err := j.Append(append(largest, 1)); !errors.Is(err, journal.ErrPayload) {
		t.Errorf("one byte more: %v", err)
	}
	if bytes.Contains(d.Bytes("journal-00000001"), []byte("second")) {
		t.Error("an entry can be read in the file")
	}
	v = opened(t, d)
	must(t, unlock(t, v, kek(1)))
	if got := entries(t, d, v); len(got) != 3 || string(got[1]) != "second" || !bytes.Equal(got[2], largest) {
		t.Errorf("%d entries", len(got))
	}
}

func entries(t testing.TB, d *journaltest.Disk, v *vault.Vault) (list [][]byte) {
	t.Helper()
	j, _, err := journal.OpenSealed(d, v.Sealer(vault.Journal))
	must(t, err)
	must(t, j.Each(func(_ uint64, p []byte) error { list = append(list, p); return nil }))
	return list
}

func TestNothingOpensWhileLocked(t *testing.T) {
	_, v := made(t)
	s := v.Sealer(vault.Journal)
	b := sealed(t, v, "text")
	v.Lock()
	if _, err := s.Open("journal-00000001", 1, b); !errors.Is(err, vault.ErrLocked) {
		t.Error(err)
	}
	if _, err := s.Seal("journal-00000001", 1, b); !errors.Is(err, vault.ErrLocked) {
		t.Error(err)
	}
	must(t, unlock(t, v, kek(1)))
	reads(t, v, b, "text")
}

// A frame in another place, another file, another purpose or another vault.
func TestAPayloadOpensWhereItWasSealedOnly(t *testing.T) {
	_, v := made(t)
	b := sealed(t, v, "text")
	other, err := vault.Create(journaltest.New(), seeded(7), 0, cheap(t), kek(1))
	must(t, err)
	for name, open := range map[string]func() ([]byte, error){
		"another number":  func() ([]byte, error) { return v.Sealer(vault.Journal).Open("journal-00000001", 2, b) },
		"another segment": func() ([]byte, error) { return v.Sealer(vault.Journal).Open("journal-00000002", 1, b) },
		"no segment":      func() ([]byte, error) { return v.Sealer(vault.Journal).Open("", 1, b) },
		"another purpose": func() ([]byte, error) { return v.Sealer(vault.Export).Open("journal-00000001", 1, b) },
		"another vault":   func() ([]byte, error) { return other.Sealer(vault.Journal).Open("journal-00000001", 1, b) },
	} {
		if got, err := open(); got != nil || !errors.Is(err, vault.ErrSealed) {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
	reads(t, v, b, "text")
}

func TestEveryAlteredByteOfAPayloadIsNoticed(t *testing.T) {
	_, v := made(t)
	b := sealed(t, v, "a short text")
	s := v.Sealer(vault.Journal)
	for i := range b {
		for _, x := range []byte{1, 0x80, 0xff} {
			altered := bytes.Clone(b)
			altered[i] ^= x
			if got, err := s.Open("journal-00000001", 1, altered); err == nil || got != nil {
				t.Errorf("byte %d: %q", i, got)
			}
		}
		if got, err := s.Open("journal-00000001", 1, b[:i]); err == nil || got != nil {
			t.Errorf("cut at %d: %q", i, got)
		}
	}
	if got, err := s.Open("journal-00000001", 1, append(bytes.Clone(b), 0)); err == nil || got != nil {
		t.Errorf("one byte more: %q", got)
	}
}

func TestThreeAnswersForAPayload(t *testing.T) {
	_, v := made(t)
	s := v.Sealer(vault.Journal)
	for name, c := range map[string]struct {
		b    []byte
		want error
	}{
		"nothing":            {nil, vault.ErrUnsealed},
		"zeros":              {make([]byte, 60), vault.ErrUnsealed},
		"a msgpack map":      {append([]byte{0x82}, make([]byte, 60)...), vault.ErrUnsealed},
		"a large map":        {append([]byte{0xde}, make([]byte, 60)...), vault.ErrUnsealed},
		"a newer form":       {append([]byte{2}, make([]byte, 60)...), vault.ErrTooNew},
		"this form, no more": {[]byte{1}, vault.ErrSealed},
		"this form, zeros":   {append([]byte{1}, make([]byte, 60)...), vault.ErrSealed},
	} {
		if got, err := s.Open("journal-00000001", 1, c.b); got != nil || !errors.Is(err, c.want) {
			t.Errorf("%s: %q, %v, want %v", name, got, err, c.want)
		}
	}
}

func TestTheSameTextTwiceLooksDifferent(t *testing.T) {
	_, v := made(t)
	if bytes.Equal(sealed(t, v, "text"), sealed(t, v, "text")) {
		t.Error("a nonce came twice")
	}
}

func TestSealAndOpenAreInverse(t *testing.T) {
	_, v := made(t)
	rapid.Check(t, func(t *rapid.T) {
		plain := rapid.SliceOf(rapid.Byte()).Draw(t, "plain")
		place, number := rapid.String().Draw(t, "place"), rapid.Uint64().Draw(t, "number")
		s := v.Sealer(vault.Purpose(rapid.SampledFrom([]string{"journal", "export", "another"}).Draw(t, "purpose")))
		b, err := s.Seal(place, number, plain)
		if err != nil || len(b) != len(plain)+vault.Overhead {
			t.Fatal(len(b), err)
		}
		if got, err := s.Open(place, number, b); err != nil || !bytes.Equal(got, plain) {
			t.Fatalf("%q, %v", got, err)
		}
	})
}

// FuzzSealed: no bytes that were not sealed open.
func FuzzSealed(f *testing.F) {
	_, v := made(f)
	good := sealed(f, v, "text")
	f.Add(good)
	f.Add(good[:40])
	f.Add([]byte{1})
	f.Add([]byte{0x80})
	f.Fuzz(func(t *testing.T, b []byte) {
		got, err := v.Sealer(vault.Journal).Open("journal-00000001", 1, b)
		if (err == nil) != bytes.Equal(b, good) || err != nil && got != nil {
			t.Fatalf("% x: %q, %v", b, got, err)
		}
	})
}
