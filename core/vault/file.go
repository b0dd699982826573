package vault

import (
	"crypto/cipher"
	"fmt"
	"io"
)

// A file that leaves the phone has a random key of its own, wrapped by a code
// of [NewCode] as a key file's slot is, and laid out as a key file is. So who is
// given the file and its code has that file, and nothing else of the vault.

// HeadLen is the length of the head of such a file, in bytes.
const HeadLen = fileExtra + markLen + 4 + wrapLen

var exports = series{"", [8]byte{0xf7, 'F', 'C', 'X', '\r', '\n', 0x1a, '\n'}}

// NewFile makes a random key for one file and returns the file's head, which
// holds it wrapped by the code as it was typed, and the sealer for the rest. Let
// the code be typed from the paper: a file whose code was copied wrongly is
// lost. The errors are [CodeError] and that of the randomness.
func NewFile(random io.Reader, typed string) (head []byte, s *Sealer, err error) {
	drawn, err := draw(random, keyLen+nonceLen)
	if err != nil {
		return nil, nil, err
	}
	v := fileVault()
	v.random, v.safe, v.data = random, true, drawn[:keyLen:keyLen]
	mark, err := expand(v.data, labelMark, markLen)
	if err != nil {
		return nil, nil, err
	}
	v.keys.mark = [markLen]byte(mark)
	kek, err := typedKey(typed, v.keys.mark)
	if err != nil {
		return nil, nil, err
	}
	defer clear(kek)
	wrapped, err := v.keys.wrap(Code, kek, v.data, drawn[keyLen:], nil)
	v.keys.slots = []slot{wrapped}
	return exports.encode(1, v.keys.encode()), v.Sealer(Export), err
}

// OpenFile opens the file that begins with this head, of HeadLen bytes or, where
// the file has no more, fewer; the sealer only opens. The errors are
// [CodeError], ErrWrong for a code of another file, ErrTooNew, ErrNotOurs and
// ErrDamaged; ErrNone when there is nothing but zeros.
func OpenFile(head []byte, typed string) (*Sealer, error) {
	if err := CheckCode(typed); err != nil {
		return nil, err
	}
	is, newest, body := exports.decode(head, 1)
	switch is {
	case newer:
		return nil, fmt.Errorf("%w: the file has version %d, this program reads %d", ErrTooNew, newest, version)
	case foreign:
		return nil, ErrNotOurs
	case unwritten:
		return nil, ErrNone
	case spoilt:
		return nil, ErrDamaged
	}
	v := fileVault()
	var err error
	if v.keys, err = readKeys(body); err != nil {
		return nil, ErrDamaged
	}
	kek, err := typedKey(typed, v.keys.mark)
	if err != nil {
		return nil, err
	}
	defer clear(kek)
	return v.Sealer(Export), v.open(Code, kek)
}

func fileVault() *Vault { return &Vault{ciphers: map[Purpose]cipher.AEAD{}} }
