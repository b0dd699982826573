package journal

import "errors"

// ErrFull is what a host's disk wraps when a write finds no room.
var ErrFull = errors.New("the storage is full")

// Disk is the small disk that a host hands in: a flat folder without rename.
// The suite in journaltest holds what an implementation must do.
type Disk interface {
	// Names lists the files, in any order.
	Names() ([]string, error)
	// Open opens a file for reading and writing and creates it, empty, when
	// there is none. The journal has a file open once at a time.
	Open(name string) (File, error)
	// Remove deletes a file that is not open.
	Remove(name string) error
}

// File is one open file. Offsets and sizes are in bytes.
type File interface {
	// ReadAt is io.ReaderAt: fewer bytes than asked for come with an error,
	// io.EOF at the end of the file.
	ReadAt(p []byte, off int64) (int, error)
	// WriteAt is io.WriterAt; beyond the end the gap is filled with zeros.
	// Without room it returns an error that wraps ErrFull.
	WriteAt(p []byte, off int64) (int, error)
	Size() (int64, error)
	Truncate(size int64) error
	// Sync returns nil only when content, size and name of the file would
	// outlive a power cut.
	Sync() error
	Close() error
}

// Sealer closes payloads before they are written and opens them again: the
// seam for encryption at rest. Seal binds what it makes to the segment's name
// and the frame's sequence, so that frames cannot be swapped. It must not make
// its nonce from them: after an append that failed, another payload gets the
// same two. A sealed payload has at most MaxPayload bytes.
type Sealer interface {
	Seal(segment string, seq uint64, plain []byte) ([]byte, error)
	Open(segment string, seq uint64, sealed []byte) ([]byte, error)
}

// Plain seals nothing.
type Plain struct{}

// Seal returns the payload itself.
func (Plain) Seal(_ string, _ uint64, plain []byte) ([]byte, error) { return plain, nil }

// Open returns the payload itself.
func (Plain) Open(_ string, _ uint64, sealed []byte) ([]byte, error) { return sealed, nil }
