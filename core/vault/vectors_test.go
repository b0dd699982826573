package vault_test

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"slices"
	"testing"

	"golang.org/x/crypto/argon2"
	"golang.org/x/crypto/chacha20poly1305"
	"pgregory.net/rapid"

	"fourchette/core/vault"
)

func unhex(t testing.TB, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(s)
	must(t, err)
	return b
}

// RFC 9106, section 5.3.
func TestTheReferenceGivesTheVectorOfRFC9106(t *testing.T) {
	a := reference{
		password: bytes.Repeat([]byte{1}, 32), salt: bytes.Repeat([]byte{2}, 16),
		secret: bytes.Repeat([]byte{3}, 8), data: bytes.Repeat([]byte{4}, 12),
		passes: 3, memory: 32, lanes: 4, tag: 32,
	}
	want := unhex(t, "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659")
	if got := a.key(); !bytes.Equal(got, want) {
		t.Errorf("got %x, want %x", got, want)
	}
}

// The reference implementation of Argon2's authors, phc-winner-argon2,
// src/test.c, Argon2id, version 0x13: what needs neither secret nor data.
func TestTheLibraryGivesTheVectorsOfArgon2sAuthors(t *testing.T) {
	for _, c := range []struct {
		password, salt        string
		passes, memory, lanes uint32
		want                  string
	}{
		{"password", "somesalt", 2, 256, 1, "9dfeb910e80bad0311fee20f9c0e2b12c17987b4cac90c2ef54d5b3021c68bfe"},
		{"password", "somesalt", 2, 256, 2, "6d093c501fd5999645e0ea3bf620d7b8be7fd2db59c20d9fff9539da2bf57037"},
		{"password", "somesalt", 2, 65536, 1, "09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7"},
	} {
		got := argon2.IDKey([]byte(c.password), []byte(c.salt), c.passes, c.memory, uint8(c.lanes), 32)
		if !bytes.Equal(got, unhex(t, c.want)) {
			t.Errorf("%+v: got %x", c, got)
		}
	}
}

// Passes exchanged with memory, salt with PIN, or another sort of Argon2 would
// show here.
func TestDeriveIsWhatTheReferenceGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		memory, passes := rapid.Uint32Range(8, 80).Draw(t, "memory"), rapid.Uint32Range(1, 4).Draw(t, "passes")
		salt := rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "salt")
		pin := rapid.StringMatching("[0-9]{6,12}").Draw(t, "pin")
		recipe := slices.Concat(le32(memory), le32(passes), le32(1), salt)
		got, err := vault.Derive(pin, recipe)
		want := reference{password: []byte(pin), salt: salt, passes: passes, memory: memory, lanes: 1, tag: 32}.key()
		if err != nil || !bytes.Equal(got, want) {
			t.Fatalf("got %x, %v, want %x", got, err, want)
		}
	})
}

// draft-irtf-cfrg-xchacha-03, appendix A.3.1.
func TestTheLibraryGivesTheVectorOfTheXChaChaDraft(t *testing.T) {
	plain := []byte("Ladies and Gentlemen of the class of '99: If I could offer you only one tip for the future, sunscreen would be it.")
	data := unhex(t, "50515253c0c1c2c3c4c5c6c7")
	key := unhex(t, "808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9f")
	nonce := unhex(t, "404142434445464748494a4b4c4d4e4f5051525354555657")
	want := unhex(t, "bd6d179d3e83d43b9576579493c0e939572a1700252bfaccbed2902c21396cbb731c7f1b0b4aa6440bf3a82f4eda7e39"+
		"ae64c6708c54c216cb96b72e1213b4522f8c9ba40db5d945b11b69b982c1bb9e3f3fac2bc369488f76b2383565d3fff9"+
		"21f9664c97637da9768812f615c68b13b52e"+"c0875924c1c7987947deafd8780acf49")
	c, err := chacha20poly1305.NewX(key)
	must(t, err)
	if got := c.Seal(nil, nonce, plain, data); !bytes.Equal(got, want) {
		t.Errorf("got %x, want %x", got, want)
	}
}

// RFC 5869, appendix A.1, from its PRK on.
func TestExpandGivesTheVectorOfRFC5869(t *testing.T) {
	prk := unhex(t, "077709362c2e32df0ddc3f0dc47bba6390b6c73bb50f9c3122ec844ad7c2b3e5")
	want := unhex(t, "3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865")
	got, err := vault.Expand(prk, string(unhex(t, "f0f1f2f3f4f5f6f7f8f9")), 42)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("got %x, %v, want %x", got, err, want)
	}
}

func mac(key []byte, parts ...[]byte) []byte {
	h := hmac.New(sha256.New, key)
	for _, p := range parts {
		h.Write(p)
	}
	return h.Sum(nil)
}

// HKDF of at most 32 bytes by hand, RFC 5869, section 2: salt and code
// exchanged would show.
func TestACodesKeyIsHKDF(t *testing.T) {
	code, mark := "0123456789012345678901234567890123456789", [16]byte{1, 2, 3}
	got, err := vault.CodeKey(code, mark)
	want := mac(mac(mark[:], []byte(code)), []byte("fourchette/vault/1/code"), []byte{1})
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("got %x, %v, want %x", got, err, want)
	}
}

// A key file and a payload, taken apart by the package comment alone and not by
// the package.
func TestTheBytesAreAsWritten(t *testing.T) {
	d, v := made(t)
	b := d.Bytes("keys-00000002")
	body := b[28 : len(b)-4]
	mark, length, slot := body[:16], binary.LittleEndian.Uint16(body[18:]), body[20:]
	if binary.LittleEndian.Uint32(b[8:]) != 1 || binary.LittleEndian.Uint64(b[16:]) != 2 || int(length) != len(slot) || length != 100 {
		t.Fatalf("% x", b)
	}
	c, err := chacha20poly1305.NewX(kek(1))
	must(t, err)
	bound := slices.Concat([]byte("fourchette/vault/1/slot\x00"), []byte{1, 0}, mark, cheap(t))
	data, err := c.Open(nil, slot[:24], slot[24:72], bound)
	if err != nil || !bytes.Equal(data, v.DataKey()) || !bytes.Equal(slot[72:], cheap(t)) {
		t.Fatalf("the slot: %v", err)
	}
	if want := mac(data, []byte("fourchette/vault/1/mark"), []byte{1})[:16]; !bytes.Equal(mark, want) {
		t.Errorf("mark %x, want %x", mark, want)
	}

	payload := sealed(t, v, "an entry")
	c, err = chacha20poly1305.NewX(mac(data, []byte("fourchette/vault/1/seal/journal"), []byte{1}))
	must(t, err)
	bound = slices.Concat([]byte("fourchette/vault/1/sealed\x00"), []byte{1, 0, 0, 0, 0, 0, 0, 0}, []byte("journal-00000001"))
	plain, err := c.Open(nil, payload[1:25], payload[25:], bound)
	if err != nil || payload[0] != 1 || string(plain) != "an entry" {
		t.Errorf("the payload: %q, %v", plain, err)
	}
}
