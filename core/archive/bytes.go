package archive

import "encoding/binary"

var le = binary.LittleEndian

// in reads fields one after another. After the first that is not there it
// reads zeros, and bad says so.
type in struct {
	b   []byte
	bad bool
}

func (r *in) number() uint64 {
	n, size := binary.Uvarint(r.b)
	if size <= 0 {
		r.fail()
		return 0
	}
	r.b = r.b[size:]
	return n
}

// offset is a number that a file can have as a place or size.
func (r *in) offset() int64 {
	n := r.number()
	if n > maxOffset {
		r.fail()
		return 0
	}
	return int64(n)
}

// count is a number of things of at least one byte each that still follow.
func (r *in) count() int {
	n := r.number()
	if n > uint64(len(r.b)) {
		r.fail()
		return 0
	}
	return int(n)
}

// bytes are the next ones with their length before them, good as long as r's.
func (r *in) bytes() []byte {
	n := r.count()
	b := r.b[:n:n]
	r.b = r.b[n:]
	return b
}

func (r *in) key() string {
	b := r.bytes()
	if len(b) > MaxKey {
		r.fail()
		return ""
	}
	return string(b)
}

func (r *in) fail() { r.b, r.bad = nil, true }

// done reports whether all was read and nothing is left.
func (r *in) done() bool { return !r.bad && len(r.b) == 0 }

func appendNumber(b []byte, n uint64) []byte { return binary.AppendUvarint(b, n) }

func appendBytes[T ~string | ~[]byte](b []byte, v T) []byte {
	return append(binary.AppendUvarint(b, uint64(len(v))), v...)
}
