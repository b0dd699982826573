package vault

import (
	"crypto/cipher"
	"errors"
	"fmt"

	"golang.org/x/crypto/chacha20poly1305"

	"fourchette/core/journal"
)

// A Purpose names what a key is for. Each has a key of its own, so that what
// was sealed for one never opens for another. The names are part of the format:
// short, lower case, for ever.
type Purpose string

// The purposes so far.
const (
	Journal Purpose = "journal"
	Export  Purpose = "export"
)

const (
	form = 1 // of a sealed payload
	// highestForm: payloads that were never sealed are msgpack maps and begin
	// above it.
	highestForm = 0x7f

	// Overhead is what sealing adds to a payload, in bytes.
	Overhead = 1 + nonceLen + tagLen
	// MaxPlain is the most bytes that a journal takes in one sealed payload.
	MaxPlain = journal.MaxPayload - Overhead
)

// What a payload that does not open can be.
var (
	// ErrSealed: altered, in another place than it was sealed for, or sealed with
	// another key or for another purpose. Which of these is not to be told.
	ErrSealed = errors.New("an entry does not open with this key")
	// ErrUnsealed: it was never sealed. Anybody may have put it there.
	ErrUnsealed = errors.New("an entry is not sealed")
)

// Sealer seals and opens payloads for one purpose: the journal's
// [journal.Sealer], and as good for the blocks of any other file. It answers
// ErrLocked while its vault is locked, and works on when that is open again.
type Sealer struct {
	vault   *Vault
	purpose Purpose
}

var _ journal.Sealer = (*Sealer)(nil)

// Sealer returns the sealer for a purpose. The vault may be locked.
func (v *Vault) Sealer(p Purpose) *Sealer { return &Sealer{v, p} }

// Seal seals a payload and binds it to the place, a file's name, and the number
// in it. The nonce is random, so that the same payload in the same place twice
// looks different. It adds [Overhead] bytes. Its errors are ErrLocked,
// ErrUnsettled and that of the randomness.
func (s *Sealer) Seal(place string, number uint64, plain []byte) ([]byte, error) {
	c, err := s.vault.cipher(s.purpose)
	if err != nil {
		return nil, err
	}
	if !s.vault.safe {
		return nil, ErrUnsettled
	}
	nonce, err := draw(s.vault.random, nonceLen)
	if err != nil {
		return nil, err
	}
	b := append(make([]byte, 0, len(plain)+Overhead), form)
	b = append(b, nonce...)
	return c.Seal(b, nonce, plain, placed(place, number)), nil
}

// Open gives the payload that was sealed for this place and number. Its errors
// are ErrLocked, ErrTooNew, ErrUnsealed and ErrSealed.
func (s *Sealer) Open(place string, number uint64, sealed []byte) ([]byte, error) {
	c, err := s.vault.cipher(s.purpose)
	switch {
	case err != nil:
		return nil, err
	case len(sealed) == 0 || sealed[0] == 0 || sealed[0] > highestForm:
		return nil, ErrUnsealed
	case sealed[0] != form:
		return nil, fmt.Errorf("%w: an entry is sealed in form %d, this program opens %d", ErrTooNew, sealed[0], form)
	case len(sealed) < Overhead:
		return nil, ErrSealed
	}
	nonce, closed := sealed[1:1+nonceLen], sealed[1+nonceLen:]
	plain, err := c.Open(make([]byte, 0, len(closed)-tagLen), nonce, closed, placed(place, number))
	if err != nil {
		return nil, ErrSealed
	}
	return plain, nil
}

// placed is what a payload is bound to.
func placed(place string, number uint64) []byte {
	b := append([]byte(labelSealed), 0)
	return append(le.AppendUint64(b, number), place...)
}

// cipher is the cipher of a purpose while the vault is open. It is made once,
// for each holds a copy of its key that cannot be wiped.
func (v *Vault) cipher(p Purpose) (cipher.AEAD, error) {
	if v.Locked() {
		return nil, ErrLocked
	}
	if c := v.ciphers[p]; c != nil {
		return c, nil
	}
	key, err := expand(v.data, labelSeal+string(p), keyLen)
	if err != nil {
		return nil, err
	}
	defer clear(key)
	c, err := chacha20poly1305.NewX(key)
	if err != nil {
		return nil, err
	}
	v.ciphers[p] = c
	return c, nil
}
