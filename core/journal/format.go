package journal

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"strconv"
	"strings"
)

const (
	version    = 1
	headerLen  = 36
	prefixLen  = 16 // of the header: the same in every version
	frameExtra = 16 // what a frame adds to its payload
	maxFrame   = 64 << 10

	// MaxPayload is the largest payload, sealed, in bytes.
	MaxPayload = maxFrame - frameExtra
	// maxCount bounds sequences and segment numbers, so that a wrong one cannot
	// bring the counting to its end.
	maxCount = 1 << 53
	// segmentBytes is the size above which the next segment is begun.
	segmentBytes = 4 << 20
)

var (
	segments   = Kind{Magic: [8]byte{0xf7, 'F', 'C', 'J', '\r', '\n', 0x1a, '\n'}, Version: version}
	castagnoli = crc32.MakeTable(crc32.Castagnoli)
	le         = binary.LittleEndian
)

func checksum(b []byte) uint32 { return crc32.Checksum(b, castagnoli) }

// segmentName is the file's name of the n-th segment, counted from 1.
func segmentName(n uint64) string { return fmt.Sprintf("journal-%08d", n) }

// segmentNumber is the number in a segment's name; 0 for any other name.
func segmentNumber(name string) uint64 {
	digits, _ := strings.CutPrefix(name, "journal-")
	n, err := strconv.ParseUint(digits, 10, 64)
	if err != nil || n > maxCount || segmentName(n) != name {
		return 0
	}
	return n
}

// IsSegment reports whether a file of that name belongs to a journal.
func IsSegment(name string) bool { return segmentNumber(name) > 0 }

// Kind is a kind of file that is built as a segment is: another magic, a
// version of its own, the same header and frames.
type Kind struct {
	Magic   [8]byte
	Version uint32
}

// AppendHeader writes the 36 bytes that a file of this kind begins with.
func (k Kind) AppendHeader(b []byte, number, first uint64) []byte {
	start := len(b)
	b = append(b, k.Magic[:]...)
	b = le.AppendUint32(b, k.Version)
	b = le.AppendUint32(b, checksum(b[start:]))
	b = le.AppendUint64(b, number)
	b = le.AppendUint64(b, first)
	return le.AppendUint32(b, checksum(b[start:]))
}

// What the beginning of a segment can be.
type beginning int

const (
	begun     beginning = iota // a header of this version
	unwritten                  // nothing but zeros, or no byte at all
	spoilt                     // ours, but torn or damaged
	foreign                    // somebody else's bytes
	newer                      // ours, of a newer version
)

// readHeader looks at a segment's first bytes; fewer than headerLen only when
// the file is shorter. v is the version for newer, first the sequence for begun.
func (k Kind) readHeader(b []byte, number uint64) (is beginning, v uint32, first uint64) {
	switch {
	case isZero(b):
		return unwritten, 0, 0
	case len(b) < prefixLen || le.Uint32(b[12:]) != checksum(b[:12]):
		return k.looksOurs(b), 0, 0
	case [8]byte(b) != k.Magic:
		return foreign, 0, 0
	}
	if v = le.Uint32(b[8:]); v > k.Version {
		return newer, v, 0
	}
	if v != k.Version || len(b) < headerLen || le.Uint32(b[32:]) != checksum(b[:32]) || le.Uint64(b[16:]) != number {
		return spoilt, 0, 0
	}
	if first = le.Uint64(b[24:]); first == 0 || first > maxCount {
		return spoilt, 0, 0
	}
	return begun, v, first
}

// looksOurs tells a header that lost bytes to zeros or was altered from bytes
// that never were a header: most of the magic must still be there.
func (k Kind) looksOurs(b []byte) beginning {
	wrong := 0
	for i := range min(len(b), len(k.Magic)) {
		if b[i] != k.Magic[i] && b[i] != 0 {
			wrong++
		}
	}
	if wrong > 1 {
		return foreign
	}
	return spoilt
}

// AppendFrame writes one frame; the payload has 1 to MaxPayload bytes.
func AppendFrame(b []byte, seq uint64, payload []byte) []byte {
	start := len(b)
	b = le.AppendUint32(b, uint32(len(payload)))
	b = le.AppendUint64(b, seq)
	b = append(b, payload...)
	return le.AppendUint32(b, checksum(b[start:]))
}

func isZero(b []byte) bool {
	for _, c := range b {
		if c != 0 {
			return false
		}
	}
	return true
}
