package journal

import (
	"errors"
	"fmt"
	"io"
)

// windowBytes is how much of a file is in memory at a time; it holds the
// largest frame several times over.
const windowBytes = 4 * maxFrame

// window reads a file through a buffer of bounded size.
type window struct {
	f     File
	name  string
	size  int64
	start int64
	buf   []byte
}

// bytes returns n bytes from off, all of them inside the file, and n at most
// windowBytes. They are good until the next call.
func (w *window) bytes(off int64, n int) ([]byte, error) {
	if off < w.start || off+int64(n) > w.start+int64(len(w.buf)) {
		if err := w.fill(off); err != nil {
			return nil, err
		}
	}
	return w.buf[off-w.start:][:n], nil
}

func (w *window) fill(off int64) error {
	n := int(min(windowBytes, w.size-off))
	if cap(w.buf) < n {
		w.buf = make([]byte, n)
	}
	w.buf = w.buf[:0]
	got, err := w.f.ReadAt(w.buf[:n], off)
	if got < n && err == nil {
		err = io.ErrUnexpectedEOF
	}
	if err != nil && !(got == n && errors.Is(err, io.EOF)) {
		return fmt.Errorf("read %s at byte %d: %w", w.name, off, err)
	}
	w.start, w.buf = off, w.buf[:n]
	return nil
}

// frame is a frame whose length, sequence and CRC agree.
type frame struct {
	at, end int64
	seq     uint64
	payload []byte // good until the window's next call
}

// frame reads the frame that begins at the byte at; nil: none does.
func (w *window) frame(at int64) (*frame, error) {
	n, err := w.length(at)
	if err != nil || n == 0 {
		return nil, err
	}
	b, err := w.bytes(at, frameExtra+n)
	if err != nil || le.Uint32(b[12+n:]) != checksum(b[:12+n]) {
		return nil, err
	}
	return &frame{at: at, end: at + int64(len(b)), seq: le.Uint64(b[4:]), payload: b[12 : 12+n]}, nil
}

// length is the payload's length that a frame at this byte claims; 0 when no
// whole frame of that length can be there.
func (w *window) length(at int64) (int, error) {
	if at+frameExtra >= w.size {
		return 0, nil
	}
	b, err := w.bytes(at, 4)
	if err != nil {
		return 0, err
	}
	n := le.Uint32(b)
	if n == 0 || n > MaxPayload || at+frameExtra+int64(n) > w.size {
		return 0, nil
	}
	return int(n), nil
}

// tail tells a frame that is all there, but altered, from one that is cut.
func (w *window) tail(at int64) (tail, error) {
	n, err := w.length(at)
	if n == 0 {
		return torn, err
	}
	return damaged, err
}

// zeros reports whether nothing but zeros follows from this byte on.
func (w *window) zeros(at int64) (bool, error) {
	for at < w.size {
		n := int(min(windowBytes, w.size-at))
		b, err := w.bytes(at, n)
		if err != nil || !isZero(b) {
			return false, err
		}
		at += int64(n)
	}
	return true, nil
}
