package vault

import (
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"

	"golang.org/x/crypto/chacha20poly1305"
)

const (
	keyLen   = 32
	markLen  = 16
	nonceLen = chacha20poly1305.NonceSizeX
	tagLen   = chacha20poly1305.Overhead
	wrapLen  = nonceLen + keyLen + tagLen

	maxSlot = 4096 // bytes of any slot
	// MaxHost is the most bytes that a host may keep in its slot.
	MaxHost = 2048
)

// A Kind says what opens a slot.
type Kind uint16

// The kinds of slots. Others may come; they are kept as they are.
const (
	PIN  Kind = 1 // digits that a person knows
	Code Kind = 2 // the printed recovery code
	Host Kind = 3 // a key store of the host's
)

// A slot is the data key, wrapped. The body is as it is in the file.
type slot struct {
	kind Kind
	body []byte
}

// needs is what a slot of a known kind holds beside the wrapped key.
func (s slot) needs() []byte { return s.body[wrapLen:] }

func (s slot) check() error {
	rest := len(s.body) - wrapLen
	switch {
	case s.kind == 0 || len(s.body) == 0 || len(s.body) > maxSlot:
	case s.kind > Host:
		return nil
	case rest < 0:
	case s.kind == PIN:
		_, err := readRecipe(s.needs())
		return err
	case s.kind == Code && rest == 0:
		return nil
	case s.kind == Host && rest >= 1 && rest <= MaxHost:
		return nil
	}
	return fmt.Errorf("a slot of kind %d and %d bytes cannot be", s.kind, len(s.body))
}

// keys is the body of a key file.
type keys struct {
	mark  [markLen]byte
	slots []slot
}

var errKeys = errors.New("the slots are laid out wrongly")

func (k keys) encode() []byte {
	b := slices.Clone(k.mark[:])
	for _, s := range k.slots {
		b = le.AppendUint16(b, uint16(s.kind))
		b = le.AppendUint16(b, uint16(len(s.body)))
		b = append(b, s.body...)
	}
	return b
}

// readKeys reads the body of a key file. It takes nothing that encode would not
// write, byte for byte.
func readKeys(b []byte) (keys, error) {
	if len(b) <= markLen {
		return keys{}, errKeys
	}
	k := keys{mark: [markLen]byte(b)}
	for b = b[markLen:]; len(b) > 0; {
		if len(b) < 4 || len(b)-4 < int(le.Uint16(b[2:])) {
			return keys{}, errKeys
		}
		n := 4 + int(le.Uint16(b[2:]))
		s := slot{kind: Kind(le.Uint16(b)), body: slices.Clone(b[4:n])}
		if err := s.check(); err != nil {
			return keys{}, err
		}
		if s.kind <= Host && k.find(s.kind) != nil {
			return keys{}, fmt.Errorf("two slots of kind %d", s.kind)
		}
		k.slots = append(k.slots, s)
		b = b[n:]
	}
	return k, nil
}

// find is the slot of a known kind; nil: there is none.
func (k keys) find(kind Kind) *slot {
	for i := range k.slots {
		if k.slots[i].kind == kind {
			return &k.slots[i]
		}
	}
	return nil
}

// with is k with this slot in place of the one of its kind.
func (k keys) with(s slot) keys {
	next := k.without(s.kind)
	next.slots = append(next.slots, s)
	return next
}

func (k keys) without(kind Kind) keys {
	return keys{k.mark, slices.DeleteFunc(slices.Clone(k.slots), func(s slot) bool { return s.kind == kind })}
}

// wrap seals the data key under kek for a slot of this kind.
func (k keys) wrap(kind Kind, kek, data, nonce, needs []byte) (slot, error) {
	c, err := chacha20poly1305.NewX(kek)
	if err != nil {
		return slot{}, fmt.Errorf("a key has %d bytes, not %d", len(kek), keyLen)
	}
	body := c.Seal(slices.Clone(nonce), nonce, data, k.bound(kind, needs))
	s := slot{kind, append(body, needs...)}
	return s, s.check()
}

// unwrap opens a slot of a known kind. The error says nothing, for nothing is
// to be said.
func (k keys) unwrap(s slot, kek []byte) ([]byte, error) {
	var c cipher.AEAD
	c, err := chacha20poly1305.NewX(kek)
	if err != nil {
		return nil, ErrWrong
	}
	data, err := c.Open(make([]byte, 0, keyLen), s.body[:nonceLen], s.body[nonceLen:wrapLen], k.bound(s.kind, s.needs()))
	if err != nil {
		return nil, ErrWrong
	}
	return data, nil
}

// bound is what a wrapped key is bound to.
func (k keys) bound(kind Kind, needs []byte) []byte {
	b := append([]byte(labelSlot), 0)
	b = le.AppendUint16(b, uint16(kind))
	b = append(b, k.mark[:]...)
	return append(b, needs...)
}

// The labels keep keys and bindings apart. They are part of the format.
const (
	labelMark   = "fourchette/vault/1/mark"
	labelCode   = "fourchette/vault/1/code"
	labelSlot   = "fourchette/vault/1/slot"
	labelSeal   = "fourchette/vault/1/seal/"
	labelSealed = "fourchette/vault/1/sealed"
)

// expand derives n bytes for one use from the data key, which is random and
// needs no extraction (RFC 5869, section 3.3).
func expand(data []byte, label string, n int) ([]byte, error) {
	return hkdf.Expand(sha256.New, data, label, n)
}
