package archive

// Sheets are packed in the block format of LZ4: an event repeats the keys and
// most of the envelope of the one before it. Of the packers that make them half
// as large this one adds the fewest bytes to the program.
const (
	leastMatch = 4     // bytes
	lastPlain  = 5     // a block ends in as many bytes that are no match
	lastMatch  = 12    // no match begins nearer to the end
	farthest   = 65535 // a match reaches back no further
	hashBits   = 12
)

// pack appends a block that unpacks to src.
func pack(dst, src []byte) []byte {
	var seen [1 << hashBits]int32 // by hash of four bytes: where they last stood, counted from 1
	slot := func(at int) *int32 { return &seen[le.Uint32(src[at:])*2654435761>>(32-hashBits)] }
	plain := 0 // from here on nothing is written yet
	for at := 0; at+lastMatch <= len(src); {
		s := slot(at)
		from := int(*s) - 1
		*s = int32(at + 1)
		if from < 0 || at-from > farthest || le.Uint32(src[from:]) != le.Uint32(src[at:]) {
			at++
			continue
		}
		for at > plain && from > 0 && src[at-1] == src[from-1] {
			at, from = at-1, from-1
		}
		n := leastMatch
		for at+n < len(src)-lastPlain && src[from+n] == src[at+n] {
			n++
		}
		dst = appendRun(dst, src[plain:at], n-leastMatch)
		dst = le.AppendUint16(dst, uint16(at-from))
		dst = appendMore(dst, n-leastMatch)
		for i := at + 1; i < at+n && i+lastMatch <= len(src); i++ {
			*slot(i) = int32(i + 1)
		}
		at += n
		plain = at
	}
	return appendRun(dst, src[plain:], 0)
}

// appendRun writes the token, with what fits into it of both lengths, and the
// plain bytes.
func appendRun(dst, plain []byte, match int) []byte {
	dst = append(dst, byte(min(len(plain), 15)<<4|min(match, 15)))
	dst = appendMore(dst, len(plain))
	return append(dst, plain...)
}

// appendMore writes what of a length does not fit into its half of the token.
func appendMore(dst []byte, n int) []byte {
	if n < 15 {
		return dst
	}
	for n -= 15; n >= 255; n -= 255 {
		dst = append(dst, 255)
	}
	return append(dst, byte(n))
}

// unpack returns the size bytes that a block holds; false when it holds no or
// other ones. No block holds more than 255 times its bytes, and none is
// believed that claims more than maxSheet.
func unpack(src []byte, size int) ([]byte, bool) {
	if size < 0 || size > maxSheet || size > 255*len(src) {
		return nil, false
	}
	dst := make([]byte, 0, size)
	for len(src) > 0 {
		token := src[0]
		n, rest, ok := more(int(token>>4), src[1:])
		if !ok || n > len(rest) || n > size-len(dst) {
			return nil, false
		}
		dst, src = append(dst, rest[:n]...), rest[n:]
		switch {
		case len(src) == 0 && len(dst) == size:
			return dst, true
		case len(src) < 2:
			return nil, false
		}
		back := int(le.Uint16(src))
		n, src, ok = more(int(token&15), src[2:])
		if n += leastMatch; !ok || back == 0 || back > len(dst) || n > size-len(dst) {
			return nil, false
		}
		for from := len(dst) - back; n > 0; {
			step := min(n, back)
			dst = append(dst, dst[from:from+step]...)
			n, from = n-step, from+step
		}
	}
	return nil, false
}

// more reads the rest of a length that the token began.
func more(n int, b []byte) (int, []byte, bool) {
	if n < 15 {
		return n, b, true
	}
	for i, c := range b {
		if n += int(c); n > maxSheet {
			return 0, nil, false
		}
		if c < 255 {
			return n, b[i+1:], true
		}
	}
	return 0, nil, false
}
