// Package msgpack writes and reads the few kinds of msgpack value that records,
// packs, tables and the boundary are made of. Start with [Shape], a map that
// describes itself once for both; below it are Append… and [Next], from which
// all reading is made.
//
// It is our own because it is carried from phone to phone: the library for all
// of msgpack brings JSON, streams and the operating system with it, and the
// code that it generates is as large again. Tests hold it to that library.
package msgpack

import "errors"

// Kind is what a value is.
type Kind uint8

// The kinds. None is that of no value at all.
const (
	None Kind = iota
	Nil
	Bool
	Int  // written with a sign
	Uint // written without
	Float32
	Float64
	Text
	Bytes
	Other
	List
	Map
)

var kindNames = [...]string{"<invalid>", "nil", "bool", "int", "uint", "float32", "float64", "str", "bin", "ext", "array", "map"}

func (k Kind) String() string { return kindNames[k] }

// What can be wrong with bytes.
var (
	ErrShort = errors.New("the bytes end too soon")
	ErrKind  = errors.New("a value of another kind")
	ErrShape = errors.New("a field twice, or more of them than there can be")
)

// A Head is how a value begins. N is the number itself (an Int's 64 bits, 0 or
// 1 for a Bool), or how many bytes, values or entries follow, or should.
type Head struct {
	Kind Kind
	N    uint64
}

// Next reads the head of the first value and gives what follows it. Where the
// head is not whole, or is none, the error is [ErrShort] or [ErrKind].
func Next(b []byte) (h Head, rest []byte, err error) {
	if len(b) == 0 {
		return Head{}, nil, ErrShort
	}
	lead, rest := b[0], b[1:]
	switch {
	case lead < 0x80:
		return Head{Int, uint64(lead)}, rest, nil
	case lead < 0x90:
		return Head{Map, uint64(lead & 0x0f)}, rest, nil
	case lead < 0xa0:
		return Head{List, uint64(lead & 0x0f)}, rest, nil
	case lead < 0xc0:
		return Head{Text, uint64(lead & 0x1f)}, rest, nil
	case lead >= 0xe0:
		return Head{Int, uint64(int8(lead))}, rest, nil
	}
	return heads[lead-0xc0].next(rest)
}

// longHead is a head that says its kind in the first byte, and its number in
// so many that follow; more is what that number leaves out.
type longHead struct {
	kind  Kind
	bytes int
	more  uint64
}

// heads are the long heads from 0xc0 to 0xdf.
var heads = [...]longHead{
	{Nil, 0, 0}, {None, 0, 0}, {Bool, 0, 0}, {Bool, 0, 1},
	{Bytes, 1, 0}, {Bytes, 2, 0}, {Bytes, 4, 0},
	{Other, 1, 1}, {Other, 2, 1}, {Other, 4, 1}, // one more byte, which says what it is
	{Float32, 4, 0}, {Float64, 8, 0},
	{Uint, 1, 0}, {Uint, 2, 0}, {Uint, 4, 0}, {Uint, 8, 0},
	{Int, 1, 0}, {Int, 2, 0}, {Int, 4, 0}, {Int, 8, 0},
	{Other, 0, 2}, {Other, 0, 3}, {Other, 0, 5}, {Other, 0, 9}, {Other, 0, 17},
	{Text, 1, 0}, {Text, 2, 0}, {Text, 4, 0},
	{List, 2, 0}, {List, 4, 0},
	{Map, 2, 0}, {Map, 4, 0},
}

func (l longHead) next(b []byte) (h Head, rest []byte, err error) {
	if l.kind == None {
		return Head{}, nil, ErrKind
	}
	if len(b) < l.bytes {
		return Head{Kind: l.kind}, nil, ErrShort
	}
	n := uint64(0)
	for _, c := range b[:l.bytes] {
		n = n<<8 | uint64(c)
	}
	if unused := 64 - 8*l.bytes; l.kind == Int {
		n = uint64(int64(n<<unused) >> unused)
	}
	return Head{l.kind, n + l.more}, b[l.bytes:], nil
}

// KindOf is the kind of the first value.
func KindOf(b []byte) Kind {
	h, _, _ := Next(b)
	return h.Kind
}

// Skip gives what follows the first value, whatever that is.
func Skip(b []byte) (rest []byte, err error) {
	for left := uint64(1); left > 0; left-- {
		var h Head
		if h, b, err = Next(b); err != nil {
			return nil, err
		}
		switch h.Kind {
		case Map:
			left += 2 * h.N
		case List:
			left += h.N
		case Text, Bytes, Other:
			if h.N > uint64(len(b)) {
				return nil, ErrShort
			}
			b = b[h.N:]
		}
	}
	return b, nil
}

// readHead reads the head of a value that must be of this kind.
func readHead(b []byte, want Kind) (n uint64, rest []byte, err error) {
	h, rest, err := Next(b)
	if err == nil && h.Kind != want {
		err = ErrKind
	}
	if err != nil {
		return 0, nil, err
	}
	return h.N, rest, nil
}

// ReadMap reads how many entries follow. Each has two bytes at the least, and
// so many must be there.
func ReadMap(b []byte) (n int, rest []byte, err error) { return readCount(b, Map, 2) }

// ReadList reads how many values follow. Each has a byte at the least, and so
// many must be there.
func ReadList(b []byte) (n int, rest []byte, err error) { return readCount(b, List, 1) }

// readCount refuses a count that is only claimed, before anything is made for it.
func readCount(b []byte, want Kind, least uint64) (int, []byte, error) {
	n, rest, err := readHead(b, want)
	if err == nil && n*least > uint64(len(rest)) {
		err = ErrShort
	}
	if err != nil {
		return 0, nil, err
	}
	return int(n), rest, nil
}

// ReadText reads a text, which is part of b.
func ReadText(b []byte) (text, rest []byte, err error) {
	n, rest, err := readHead(b, Text)
	if err == nil && n > uint64(len(rest)) {
		err = ErrShort
	}
	if err != nil {
		return nil, nil, err
	}
	return rest[:n], rest[n:], nil
}

// ReadBool reads yes or no.
func ReadBool(b []byte) (is bool, rest []byte, err error) {
	n, rest, err := readHead(b, Bool)
	return n == 1, rest, err
}

// ReadInt reads a whole number, written with a sign or without.
func ReadInt(b []byte) (n int64, rest []byte, err error) {
	h, rest, err := Next(b)
	if err == nil && (h.Kind != Int && h.Kind != Uint || h.Kind == Uint && h.N > 1<<63-1) {
		err = ErrKind
	}
	if err != nil {
		return 0, nil, err
	}
	return int64(h.N), rest, nil
}

// ReadTexts reads a list of texts; nil for an empty one.
func ReadTexts(b []byte) (list []string, rest []byte, err error) {
	n, rest, err := ReadList(b)
	for ; n > 0 && err == nil; n-- {
		var text []byte
		text, rest, err = ReadText(rest)
		list = append(list, string(text))
	}
	return list, rest, err
}
