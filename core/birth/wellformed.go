package birth

import (
	"bytes"
	"encoding/binary"
	"errors"
	"unicode/utf8"

	"github.com/tinylib/msgp/msgp"
)

// maxDepth is how far maps and lists may nest; this schema needs 3.
const maxDepth = 16

// maxEntries bounds a map; this schema's largest has 10 entries.
const maxEntries = 256

// wellFormed holds what the generated decoder lets pass: one value and nothing
// after it, no key twice in a map, text that is UTF-8, keys that are text. It
// looks into fields of newer versions too, because they are stored and passed
// on.
func wellFormed(b []byte) error {
	if msgp.NextType(b) != msgp.MapType {
		return errors.New("not a map")
	}
	rest, err := skip(b, maxDepth)
	if err == nil && len(rest) > 0 {
		err = errors.New("bytes after the end")
	}
	return err
}

func skip(b []byte, depth int) ([]byte, error) {
	if depth == 0 {
		return nil, errors.New("nested too deep")
	}
	if beyond(b) {
		return nil, errBeyond
	}
	switch msgp.NextType(b) {
	case msgp.MapType:
		return skipMap(b, depth)
	case msgp.ArrayType:
		n, b, err := msgp.ReadArrayHeaderBytes(b)
		for ; n > 0 && err == nil; n-- {
			b, err = skip(b, depth-1)
		}
		return b, err
	case msgp.StrType:
		_, b, err := readText(b)
		return b, err
	}
	return msgp.Skip(b)
}

func skipMap(b []byte, depth int) ([]byte, error) {
	n, b, err := msgp.ReadMapHeaderBytes(b)
	if err != nil {
		return nil, err
	}
	if n > maxEntries {
		return nil, errors.New("too many entries")
	}
	var seen [][]byte
	for ; n > 0 && err == nil; n-- {
		var key []byte
		if key, b, err = readText(b); err != nil {
			return nil, err
		}
		for _, s := range seen {
			if bytes.Equal(s, key) {
				return nil, errors.New("a key is there twice")
			}
		}
		seen = append(seen, key)
		b, err = skip(b, depth-1)
	}
	return b, err
}

func readText(b []byte) (text, rest []byte, err error) {
	if beyond(b) {
		return nil, nil, errBeyond
	}
	text, rest, err = msgp.ReadStringZC(b)
	if err == nil && !utf8.Valid(text) {
		err = errors.New("text that is not UTF-8")
	}
	return text, rest, err
}

var errBeyond = errors.New("a length beyond the end")

// beyond reports whether b begins with bytes, text or an extension whose
// 32-bit length goes beyond the end. Where int has 32 bits the decoder would
// take such a length for a negative one and panic, or go round and miss it.
func beyond(b []byte) bool {
	const bin32, ext32, str32 = 0xc6, 0xc9, 0xdb
	if len(b) < 5 || b[0] != bin32 && b[0] != ext32 && b[0] != str32 {
		return false
	}
	return uint64(binary.BigEndian.Uint32(b[1:])) > uint64(len(b))
}

// isWord reports whether s is a key: ASCII lower-case letters, digits and "_",
// up to 64 of them.
func isWord(s string) bool {
	for _, c := range []byte(s) {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' {
			return false
		}
	}
	return s != "" && len(s) <= 64
}

// isText reports whether s is UTF-8 on one line, up to most bytes.
func isText(s string, most int) bool {
	for _, r := range s {
		if r < ' ' || r == 0x7f {
			return false
		}
	}
	return len(s) <= most && utf8.ValidString(s)
}
