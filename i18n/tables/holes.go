package tables

import "errors"

// ErrBrace is the answer to a text whose braces are not whole placeholders.
var ErrBrace = errors.New(`a brace stands outside a placeholder: write {name}, with a small letter first and then small letters, digits or _`)

// Holes lists the placeholders of a text in order, without their braces: "n"
// and "limit" for "{n} of {limit}". The error is ErrBrace.
func Holes(text string) ([]string, error) {
	var holes []string
	if _, err := each(text, func(name string) { holes = append(holes, name) }, nil); err != nil {
		return nil, err
	}
	return holes, nil
}

// fill puts the values in place of the placeholders. The pairs are name and
// value in turn. whole is false when a placeholder had no value: it stays in
// sight, braces and all, rather than leave a silent gap before a unit.
func fill(text string, pairs []string) (filled string, whole bool) {
	whole = true
	filled, err := each(text, nil, func(name string) string {
		for i := 0; i+1 < len(pairs); i += 2 {
			if pairs[i] == name {
				return pairs[i+1]
			}
		}
		whole = false
		return "{" + name + "}"
	})
	if err != nil {
		return text, false
	}
	return filled, whole
}

// each walks the placeholders of a text, telling see about each and putting
// what value gives in its place. Either may be nil. Values are never walked again.
func each(text string, see func(string), value func(string) string) (string, error) {
	var out []byte
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '}':
			return "", ErrBrace
		case '{':
			end := nameEnd(text, i+1)
			if end < 0 {
				return "", ErrBrace
			}
			name := text[i+1 : end]
			if see != nil {
				see(name)
			}
			if value != nil {
				out = append(out, value(name)...)
			}
			i = end
		default:
			out = append(out, text[i])
		}
	}
	return string(out), nil
}

// nameEnd finds the closing brace of the placeholder name that begins at start,
// or gives -1 when no well-formed name stands there.
func nameEnd(text string, start int) int {
	for i := start; i < len(text); i++ {
		c := text[i]
		switch {
		case 'a' <= c && c <= 'z':
		case i > start && (c == '_' || '0' <= c && c <= '9'):
		case i > start && c == '}':
			return i
		default:
			return -1
		}
	}
	return -1
}
