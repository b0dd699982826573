package site

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
)

// The sections and bytes of a WASM module that are met here.
const (
	wasmHead    = "\x00asm\x01\x00\x00\x00"
	dataSection = 11
	countOfData = 12         // says how many segments follow, for code that names them
	atOffset    = "\x00\x41" // a segment of the memory, at the number that follows
	offsetEnd   = 0x0b
	mostMemory  = 1 << 28 // bytes of it that a module may fill
)

var errModule = errors.New("the compiled program is no WASM module as Go's linker writes them")

// wholeMemory gives a module whose memory is filled by one segment instead of
// many. Go's linker leaves out every run of zeros, and so cuts the table that
// finds a function by its address into 90,000 segments of two bytes, each with
// its place in front. Browsers lay one segment out sooner than those, and what
// is left compresses: the program is a twelfth smaller in brotli.
func wholeMemory(module []byte) ([]byte, error) {
	if len(module) < len(wasmHead) || string(module[:len(wasmHead)]) != wasmHead {
		return nil, errModule
	}
	whole, laid := []byte(wasmHead), false
	for r := (&leb{rest: module[len(wasmHead):]}); len(r.rest) > 0; {
		id, body := r.bytes(1), r.bytes(r.number())
		if r.failed {
			return nil, errModule
		}
		switch {
		case id[0] == countOfData:
			return nil, refused("it names its segments, and there will be one")
		case id[0] == dataSection && laid:
			return nil, refused("a second data section")
		case id[0] == dataSection:
			laid = true
			memory, err := laidOut(body)
			if err != nil {
				return nil, err
			}
			body = oneSegment(memory)
		}
		whole = binary.AppendUvarint(append(whole, id[0]), uint64(len(body)))
		whole = append(whole, body...)
	}
	return whole, nil
}

// laidOut is the memory as a data section fills it, from the first byte on.
func laidOut(section []byte) ([]byte, error) {
	r := &leb{rest: section}
	var memory []byte
	n := r.number()
	if r.failed {
		return nil, refused("a count of segments that cannot be read")
	}
	for ; n > 0; n-- {
		if string(r.bytes(len(atOffset))) != atOffset {
			return nil, refused("a segment that is laid out later, or fewer than were counted")
		}
		offset, end := r.offset(), r.bytes(1)
		content := r.bytes(r.number())
		if r.failed || end[0] != offsetEnd || offset+len(content) > mostMemory {
			return nil, refused("a segment that is cut, or whose place is not understood")
		}
		if more := offset + len(content) - len(memory); more > 0 {
			memory = append(memory, make([]byte, more)...)
		}
		copy(memory[offset:], content)
	}
	if len(r.rest) > 0 {
		return nil, refused("bytes behind its last segment")
	}
	return memory, nil
}

func refused(why string) error { return fmt.Errorf("%w: %s", errModule, why) }

// oneSegment is the data section that fills the memory so. An offset has a sign:
// its last byte is below 64.
func oneSegment(memory []byte) []byte {
	filled := bytes.TrimLeft(memory, "\x00")
	section := append([]byte{1}, atOffset...)
	offset := len(memory) - len(filled)
	for ; offset >= 64; offset >>= 7 {
		section = append(section, byte(offset)|0x80)
	}
	section = append(section, byte(offset), offsetEnd)
	return append(binary.AppendUvarint(section, uint64(len(filled))), filled...)
}

// leb reads a module, whose numbers have as many bytes as they need. What is
// not there reads as zeros and fails.
type leb struct {
	rest   []byte
	failed bool
}

func (r *leb) number() int {
	n, size := binary.Uvarint(r.rest)
	if size <= 0 || n > mostMemory {
		r.failed = true
		return 0
	}
	r.rest = r.rest[size:]
	return int(n)
}

// offset is a number with a sign: where the last byte has its bit 6 set it is
// below nought, and no place that is known here.
func (r *leb) offset() int {
	before := r.rest
	n := r.number()
	if size := len(before) - len(r.rest); size > 0 && before[size-1]&0x40 != 0 {
		r.failed = true
	}
	return n
}

func (r *leb) bytes(n int) []byte {
	if n > len(r.rest) {
		r.failed, r.rest = true, nil
		return make([]byte, n)
	}
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b
}
