package vault

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"strconv"
	"strings"
)

const (
	version   = 1
	prefixLen = 16 // of the header: the same in every version
	headerLen = 28
	fileExtra = headerLen + 4 // what a file adds to its body

	maxFile = 16 << 10
	// maxNumber bounds the files' numbers, so that a wrong one cannot bring the
	// counting to its end.
	maxNumber = 1 << 53
)

var (
	castagnoli = crc32.MakeTable(crc32.Castagnoli)
	le         = binary.LittleEndian
)

func checksum(b []byte) uint32 { return crc32.Checksum(b, castagnoli) }

// A series is one sort of numbered files.
type series struct {
	prefix string // of the name
	magic  [8]byte
}

var (
	keyFiles = series{"keys-", [8]byte{0xf7, 'F', 'C', 'K', '\r', '\n', 0x1a, '\n'}}
	tryFiles = series{"tries-", [8]byte{0xf7, 'F', 'C', 'T', '\r', '\n', 0x1a, '\n'}}
)

func (s series) name(number uint64) string { return fmt.Sprintf("%s%08d", s.prefix, number) }

// number is the number in a file's name; 0 for a name of any other sort.
func (s series) number(name string) uint64 {
	digits, _ := strings.CutPrefix(name, s.prefix)
	n, err := strconv.ParseUint(digits, 10, 64)
	if err != nil || n > maxNumber || s.name(n) != name {
		return 0
	}
	return n
}

// encode lays out a file.
func (s series) encode(number uint64, body []byte) []byte {
	b := append(make([]byte, 0, len(body)+fileExtra), s.magic[:]...)
	b = le.AppendUint32(b, version)
	b = le.AppendUint32(b, checksum(b))
	b = le.AppendUint64(b, number)
	b = le.AppendUint32(b, uint32(len(body)))
	b = append(b, body...)
	return le.AppendUint32(b, checksum(b))
}

// What a file's bytes can be.
type state int

const (
	whole     state = iota // of this version, and as it was written
	unwritten              // nothing but zeros, or no byte at all
	spoilt                 // ours, but cut or damaged
	foreign                // somebody else's bytes
	newer                  // ours, of a newer version
)

// decode reads a file's bytes. The body is there only for a whole one; v is the
// version for newer. More than maxFile bytes are never whole.
func (s series) decode(b []byte, number uint64) (is state, v uint32, body []byte) {
	switch {
	case isZero(b):
		return unwritten, 0, nil
	case len(b) < prefixLen || le.Uint32(b[12:]) != checksum(b[:12]):
		return s.looksOurs(b), 0, nil
	case [8]byte(b) != s.magic:
		return foreign, 0, nil
	}
	if v = le.Uint32(b[8:]); v > version {
		return newer, v, nil
	}
	end := len(b) - 4
	if v != version || len(b) < fileExtra || len(b) > maxFile || le.Uint32(b[end:]) != checksum(b[:end]) {
		return spoilt, 0, nil
	}
	if le.Uint64(b[16:]) != number || uint64(le.Uint32(b[24:])) != uint64(len(b)-fileExtra) {
		return spoilt, 0, nil
	}
	return whole, 0, b[headerLen:end]
}

// looksOurs tells a header that lost bytes to zeros or was altered from bytes
// that never were a header: most of the magic must still be there.
func (s series) looksOurs(b []byte) state {
	wrong := 0
	for i := range min(len(b), len(s.magic)) {
		if b[i] != s.magic[i] && b[i] != 0 {
			wrong++
		}
	}
	if wrong > 1 {
		return foreign
	}
	return spoilt
}

func isZero(b []byte) bool {
	for _, c := range b {
		if c != 0 {
			return false
		}
	}
	return true
}
