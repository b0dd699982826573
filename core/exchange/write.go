package exchange

import (
	"fmt"
	"io"

	"fourchette/core/vault"
)

// Writer makes one file of entries. It keeps one block.
type Writer struct {
	sealer *vault.Sealer
	number uint64 // of blocks sealed
	count  uint64 // of entries in them
	here   uint64 // of entries in this block
	plain  []byte
}

// NewWriter begins a file that the code opens, as it was typed from the paper,
// and returns the file's first piece. The errors are [vault.CodeError] and that
// of the randomness.
func NewWriter(random io.Reader, code string) (w *Writer, piece []byte, err error) {
	head, sealer, err := vault.NewFile(random, code)
	if err != nil {
		return nil, nil, err
	}
	piece = make([]byte, headBytes)
	copy(piece, head)
	copy(piece[headAt:], head)
	return &Writer{sealer: sealer, plain: make([]byte, blockHead, plainBytes)}, piece, nil
}

// Add adds an entry and returns the next piece of the file when one is full.
// The errors are [ErrEntry] and that of the randomness; after the latter the
// file is to be begun anew.
func (w *Writer) Add(entry []byte) (piece []byte, err error) {
	if len(entry) == 0 || len(entry) > MaxEntry {
		return nil, fmt.Errorf("%w: %d bytes, at most %d", ErrEntry, len(entry), MaxEntry)
	}
	if len(w.plain)+lengthLen+len(entry) > plainBytes {
		if piece, err = w.seal(0); err != nil {
			return nil, err
		}
	}
	w.plain = le.AppendUint16(w.plain, uint16(len(entry)))
	w.plain = append(w.plain, entry...)
	w.here++
	return piece, nil
}

// End returns the last piece. The writer is not to be used after it.
func (w *Writer) End() (piece []byte, err error) { return w.seal(1) }

// Entries is how many there are in the file so far.
func (w *Writer) Entries() uint64 { return w.count + w.here }

func (w *Writer) seal(last byte) ([]byte, error) {
	w.plain[0] = last
	le.PutUint64(w.plain[1:], w.count)
	full := w.plain[:plainBytes]
	clear(full[len(w.plain):])
	w.number++
	piece, err := w.sealer.Seal(place, w.number, full)
	w.count, w.here, w.plain = w.count+w.here, 0, w.plain[:blockHead]
	return piece, err
}
