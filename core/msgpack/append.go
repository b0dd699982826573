package msgpack

import "encoding/binary"

var be = binary.BigEndian

// AppendMap begins a map of n entries, each a key and a value.
func AppendMap(b []byte, n int) []byte { return appendCount(b, 0x80, 0xde, n) }

// AppendList begins a list of n values.
func AppendList(b []byte, n int) []byte { return appendCount(b, 0x90, 0xdc, n) }

// appendCount writes how many entries follow: in the first byte, in two or in
// four more.
func appendCount(b []byte, short, tag byte, n int) []byte {
	switch {
	case n < 16:
		return append(b, short|byte(n))
	case n < 1<<16:
		return be.AppendUint16(append(b, tag), uint16(n))
	}
	return be.AppendUint32(append(b, tag+1), uint32(n))
}

// AppendText writes a text.
func AppendText(b []byte, s string) []byte {
	switch n := len(s); {
	case n < 32:
		b = append(b, 0xa0|byte(n))
	case n < 1<<8:
		b = append(b, 0xd9, byte(n))
	case n < 1<<16:
		b = be.AppendUint16(append(b, 0xda), uint16(n))
	default:
		b = be.AppendUint32(append(b, 0xdb), uint32(n))
	}
	return append(b, s...)
}

// AppendTexts writes a list of texts.
func AppendTexts(b []byte, list []string) []byte {
	b = AppendList(b, len(list))
	for _, s := range list {
		b = AppendText(b, s)
	}
	return b
}

// AppendBool writes yes or no.
func AppendBool(b []byte, is bool) []byte {
	if is {
		return append(b, 0xc3)
	}
	return append(b, 0xc2)
}

// AppendInt writes a whole number in the shortest form that has a sign.
func AppendInt(b []byte, n int64) []byte {
	switch {
	case n == int64(int8(n)) && n >= -32:
		return append(b, byte(n))
	case n == int64(int8(n)):
		return append(b, 0xd0, byte(n))
	case n == int64(int16(n)):
		return be.AppendUint16(append(b, 0xd1), uint16(n))
	case n == int64(int32(n)):
		return be.AppendUint32(append(b, 0xd2), uint32(n))
	}
	return be.AppendUint64(append(b, 0xd3), uint64(n))
}

// AppendUint writes a whole number in the shortest form that has none.
func AppendUint(b []byte, n uint64) []byte {
	switch {
	case n < 1<<7:
		return append(b, byte(n))
	case n < 1<<8:
		return append(b, 0xcc, byte(n))
	case n < 1<<16:
		return be.AppendUint16(append(b, 0xcd), uint16(n))
	case n < 1<<32:
		return be.AppendUint32(append(b, 0xce), uint32(n))
	}
	return be.AppendUint64(append(b, 0xcf), n)
}
