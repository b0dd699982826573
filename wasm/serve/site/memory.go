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
	whole := []byte(wasmHead)
	for r := (&leb{rest: module[len(wasmHead):]}); len(r.rest) > 0; {
		id, body := r.bytes(1), r.bytes(r.number())
		if r.failed {
			return nil, errModule
		}
		if id[0] == dataSection {
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
	for n := r.number(); n > 0; n-- {
		if string(r.bytes(len(atOffset))) != atOffset {
			return nil, fmt.Errorf("%w: a segment that is laid out later", errModule)
		}
		offset, end := r.number(), r.bytes(1)
		content := r.bytes(r.number())
		if r.failed || end[0] != offsetEnd || offset+len(content) > mostMemory {
			return nil, errModule
		}
		if more := offset + len(content) - len(memory); more > 0 {
			memory = append(memory, make([]byte, more)...)
		}
		copy(memory[offset:], content)
	}
	return memory, nil
}

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

func (r *leb) bytes(n int) []byte {
	if n > len(r.rest) {
		r.failed, r.rest = true, nil
		return make([]byte, n)
	}
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b
}
