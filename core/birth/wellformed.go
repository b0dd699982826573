package birth

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"fourchette/core/msgpack"
)

// maxDepth is how far maps and lists may nest; this schema needs 3.
const maxDepth = 16

// maxEntries bounds a map; this schema's largest has 10 entries.
const maxEntries = 256

// wellFormed holds what decoding lets pass: one value and nothing after it, no
// key twice in a map, text that is UTF-8, keys that are text. It looks into
// fields of newer versions too, because they are stored and passed on.
func wellFormed(b []byte) error {
	if msgpack.KindOf(b) != msgpack.Map {
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
	switch msgpack.KindOf(b) {
	case msgpack.Map:
		return skipMap(b, depth)
	case msgpack.List:
		n, b, err := msgpack.ReadList(b)
		for ; n > 0 && err == nil; n-- {
			b, err = skip(b, depth-1)
		}
		return b, err
	case msgpack.Text:
		_, b, err := readText(b)
		return b, err
	}
	return msgpack.Skip(b)
}

func skipMap(b []byte, depth int) ([]byte, error) {
	n, b, err := msgpack.ReadMap(b)
	if err == nil && n > maxEntries {
		err = errors.New("too many entries")
	}
	var room [16][]byte // most maps have no more
	seen := room[:0]
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
	text, rest, err = msgpack.ReadText(b)
	if err == nil && !utf8.Valid(text) {
		err = errors.New("text that is not UTF-8")
	}
	return text, rest, err
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
