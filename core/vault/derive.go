package vault

import (
	"errors"
	"fmt"
	"io"

	"golang.org/x/crypto/argon2"
)

// Cost is how much work it is to try one PIN.
type Cost struct {
	MemoryKiB uint32 // 19 to 32 MiB
	Passes    uint32 // 1 to 16
}

// Usual is the cost of a new PIN: about a second in the browser of a slow
// phone, an eighth of that in one of a laptop. 19 MiB is as little as is
// advised anywhere and as much as is wise where memory once taken by a WASM
// program never comes back; so the third pass, and not more memory.
var Usual = Cost{MemoryKiB: 19 << 10, Passes: 3}

// The bounds. Those of memory for a new recipe are narrower than those for one
// that is read: a weak one that is read cannot have been made weak by somebody
// else, for the slot is bound to it. What must never be read is one that takes
// too much memory or time.
const (
	leastNewKiB = 19 << 10
	leastKiB    = 8
	mostKiB     = 32 << 10
	mostPasses  = 16
	lanes       = 1
	saltLen     = 16
	recipeLen   = 12 + saltLen
)

// ErrRecipe: bytes that are no recipe, or a cost out of bounds.
var ErrRecipe = errors.New("the recipe of the key cannot be used")

// NewRecipe makes what a new PIN's key is derived with: the cost and a random
// salt, 28 bytes that are no secret. The error is ErrRecipe for a cost out of
// bounds, or that of the randomness.
func NewRecipe(random io.Reader, c Cost) ([]byte, error) {
	if c.MemoryKiB < leastNewKiB {
		return nil, fmt.Errorf("%w: %d KiB of memory, at least %d", ErrRecipe, c.MemoryKiB, leastNewKiB)
	}
	return newRecipe(random, c)
}

func newRecipe(random io.Reader, c Cost) ([]byte, error) {
	salt, err := draw(random, saltLen)
	if err != nil {
		return nil, err
	}
	b := le.AppendUint32(nil, c.MemoryKiB)
	b = le.AppendUint32(b, c.Passes)
	b = le.AppendUint32(b, lanes)
	b = append(b, salt...)
	_, err = readRecipe(b)
	return b, err
}

func readRecipe(b []byte) (Cost, error) {
	if len(b) != recipeLen {
		return Cost{}, fmt.Errorf("%w: %d bytes, not %d", ErrRecipe, len(b), recipeLen)
	}
	c := Cost{MemoryKiB: le.Uint32(b), Passes: le.Uint32(b[4:])}
	if c.MemoryKiB < leastKiB || c.MemoryKiB > mostKiB || c.Passes < 1 || c.Passes > mostPasses || le.Uint32(b[8:]) != lanes {
		return Cost{}, fmt.Errorf("%w: %d KiB, %d passes, %d lanes", ErrRecipe, c.MemoryKiB, c.Passes, le.Uint32(b[8:]))
	}
	return c, nil
}

// Derive makes the key of 32 bytes that a PIN and a recipe give. It is the slow
// part and needs nothing else: run it where its memory is given back when it is
// done, in a worker that is ended, and clear what it returns after use. It
// checks the recipe before it takes any memory. The PIN may be typed in digits
// of any script. The errors are ErrRecipe and ErrDigits.
func Derive(typed string, recipe []byte) ([]byte, error) {
	c, err := readRecipe(recipe)
	if err != nil {
		return nil, err
	}
	pin, err := pinDigits(typed)
	if err != nil {
		return nil, err
	}
	return argon2.IDKey([]byte(pin), recipe[recipeLen-saltLen:], c.Passes, c.MemoryKiB, lanes, keyLen), nil
}

// draw takes n bytes of randomness. All zero is refused: it is a source that
// does not work.
func draw(random io.Reader, n int) ([]byte, error) {
	b := make([]byte, n)
	if _, err := io.ReadFull(random, b); err != nil {
		return nil, fmt.Errorf("take randomness: %w", err)
	}
	if isZero(b) {
		return nil, errors.New("take randomness: nothing but zeros came")
	}
	return b, nil
}
