package site

import (
	"bytes"
	"errors"
	"testing"
)

// module is a module of one section before its data section, and one after it.
func module(data ...byte) []byte {
	m := append([]byte(wasmHead), 1, 4, 1, 0x60, 0, 0)
	m = append(m, dataSection, byte(len(data)))
	return append(append(m, data...), 0, 2, 1, 'x')
}

func TestMemoryIsOneSegment(t *testing.T) {
	many := module(3,
		0, 0x41, 9, 0x0b, 2, 'c', 'd', // the linker does not sort them
		0, 0x41, 2, 0x0b, 2, 'a', 'b',
		0, 0x41, 11, 0x0b, 1, 'e')
	want := module(append([]byte{1, 0, 0x41, 2, 0x0b, 10}, "ab\x00\x00\x00\x00\x00cde"...)...)
	got, err := wholeMemory(many)
	if err != nil || !bytes.Equal(got, want) {
		t.Fatalf("%v\ngot    %x\nwanted %x", err, got, want)
	}
	if again, err := wholeMemory(got); err != nil || !bytes.Equal(again, got) {
		t.Fatalf("not the same when done twice: %v, %x", err, again)
	}
}

// An offset has a sign: the bytes that Go's linker writes for 64 and for 4096.
func TestMemoryOfLargeOffsets(t *testing.T) {
	at4096 := []byte{1, 0, 0x41, 0x80, 0x20, 0x0b, 1, 'b'}
	if got, err := wholeMemory(module(at4096...)); err != nil || !bytes.Equal(got, module(at4096...)) {
		t.Errorf("%x, %v", got, err)
	}
	at64 := []byte{1, 0, 0x41, 0xc0, 0x00, 0x0b, 1, 'a'}
	if got, err := wholeMemory(module(at64...)); err != nil || !bytes.Equal(got, module(at64...)) {
		t.Errorf("%x, %v", got, err)
	}
}

func TestNoModule(t *testing.T) {
	whole := module(1, 0, 0x41, 9, 0x0b, 2, 'c', 'd')
	for cut := range whole {
		if cut == len(wasmHead) || cut == len(wasmHead)+6 || cut == len(whole)-4 {
			continue // between two sections
		}
		if _, err := wholeMemory(whole[:cut]); !errors.Is(err, errModule) {
			t.Errorf("cut at %d: %v", cut, err)
		}
	}
	for name, data := range map[string][]byte{
		"a passive segment":        {1, 1, 2, 'c', 'd'},
		"no end of the offset":     {1, 0, 0x41, 9, 0, 2, 'c', 'd'},
		"fewer segments than said": {2, 0, 0x41, 9, 0x0b, 2, 'c', 'd'},
		"a place beyond all":       {1, 0, 0x41, 0xff, 0xff, 0xff, 0xff, 7, 0x0b, 1, 'c'},
		"a place below nought":     {1, 0, 0x41, 0x7f, 0x0b, 1, 'c'},
		"no count":                 {},
		"a count too large":        {0xff, 0xff, 0xff, 0xff, 0x0f},
		"more than was counted":    {1, 0, 0x41, 9, 0x0b, 1, 'c', 9, 9},
	} {
		if _, err := wholeMemory(module(data...)); !errors.Is(err, errModule) {
			t.Errorf("%s: %v", name, err)
		}
	}
	data := module(1, 0, 0x41, 9, 0x0b, 1, 'c')
	for name, m := range map[string][]byte{
		"a count of data":      append([]byte(wasmHead+"\x0c\x01\x01"), data[len(wasmHead):]...),
		"two sections of data": append(data, data[len(wasmHead):]...),
	} {
		if _, err := wholeMemory(m); !errors.Is(err, errModule) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
