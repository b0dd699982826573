package exchange

import (
	"encoding/binary"
	"errors"

	"fourchette/core/vault"
)

const (
	headAt    = 4096 // where the second head stands
	headBytes = 2 * headAt

	// BlockBytes is the length of a block, and of the longest piece that a
	// [Writer] gives out at a time, but for the first, which has the heads too.
	BlockBytes = 64 << 10
	plainBytes = BlockBytes - vault.Overhead
	blockHead  = 1 + 8
	lengthLen  = 2

	// MaxEntry is the longest entry, in bytes.
	MaxEntry = 60 << 10

	place = "export"
)

var le = binary.LittleEndian

// ErrEntry: an entry that is empty or longer than MaxEntry.
var ErrEntry = errors.New("the entry is empty or too large for an export")

// A block, opened.
type block struct {
	last    bool
	before  uint64
	entries [][]byte
}

var errBlock = errors.New("a block is laid out wrongly")

// readBlock takes nothing that a Writer would not write, byte for byte. The
// entries are parts of b.
func readBlock(b []byte) (block, error) {
	if len(b) != plainBytes || b[0] > 1 {
		return block{}, errBlock
	}
	k := block{last: b[0] == 1, before: le.Uint64(b[1:])}
	for b = b[blockHead:]; len(b) >= lengthLen; {
		n := int(le.Uint16(b))
		if n == 0 {
			break
		}
		if n > MaxEntry || n > len(b)-lengthLen {
			return block{}, errBlock
		}
		k.entries = append(k.entries, b[lengthLen:lengthLen+n])
		b = b[lengthLen+n:]
	}
	if !isZero(b) {
		return block{}, errBlock
	}
	return k, nil
}

func isZero(b []byte) bool {
	for _, c := range b {
		if c != 0 {
			return false
		}
	}
	return true
}
