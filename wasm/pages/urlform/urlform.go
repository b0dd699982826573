// Package urlform reads and writes the values of forms and queries as browsers
// send them: names and values in pairs, what is no plain letter as %XX. Start
// with Parse and Values.
//
// It is our own because it is carried from phone to phone: net/url knows whole
// addresses and brings those of networks with it, 15 kB in brotli. Tests hold it
// to net/url.
package urlform

import (
	"strconv"
	"strings"

	"fourchette/core/arrange"
)

// Values are the values of each name, in the order in which they came.
type Values map[string][]string

// Parse reads pairs. A pair that cannot be read is absent.
func Parse(text string) Values {
	v := Values{}
	for pair := range strings.SplitSeq(text, "&") {
		name, value, _ := strings.Cut(pair, "=")
		name, whole := unescape(name)
		value, wholeToo := unescape(value)
		if whole && wholeToo && pair != "" && !strings.Contains(pair, ";") {
			v.Add(name, value)
		}
	}
	return v
}

// Get is the first value of a name, "" where there is none.
func (v Values) Get(name string) string {
	if !v.Has(name) {
		return ""
	}
	return v[name][0]
}

// Has reports whether there is a value.
func (v Values) Has(name string) bool { return len(v[name]) > 0 }

func (v Values) Set(name, value string) { v[name] = []string{value} }
func (v Values) Add(name, value string) { v[name] = append(v[name], value) }
func (v Values) Del(name string)        { delete(v, name) }

// Encode writes all pairs, sorted by name.
func (v Values) Encode() string {
	names := make([]string, 0, len(v))
	for name := range v {
		names = append(names, name)
	}
	arrange.By(names, strings.Compare)
	var pairs []string
	for _, name := range names {
		for _, value := range v[name] {
			pairs = append(pairs, Escape(name)+"="+Escape(value))
		}
	}
	return strings.Join(pairs, "&")
}

// Escape writes a text so that it can stand for one name or value.
func Escape(s string) string {
	const figures = "0123456789ABCDEF"
	var b strings.Builder
	for _, c := range []byte(s) {
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', strings.IndexByte("-_.~", c) >= 0:
			b.WriteByte(c)
		case c == ' ':
			b.WriteByte('+')
		default:
			b.WriteByte('%')
			b.WriteByte(figures[c>>4])
			b.WriteByte(figures[c&15])
		}
	}
	return b.String()
}

// unescape undoes Escape; whole is false where a %XX is none.
func unescape(s string) (text string, whole bool) {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch c {
		case '+':
			c = ' '
		case '%':
			n, err := strconv.ParseUint(s[i+1:min(i+3, len(s))], 16, 8)
			if err != nil || i+3 > len(s) {
				return "", false
			}
			c = byte(n)
			i += 2
		}
		b.WriteByte(c)
	}
	return b.String(), true
}
