package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/tinylib/msgp/msgp"
)

// whole reports whether the number is written as a whole one.
func (n number) whole() bool {
	if _, err := strconv.ParseInt(string(n), 10, 64); err == nil {
		return true
	}
	_, err := strconv.ParseUint(string(n), 10, 64)
	return err == nil
}

// appendMsgpack writes a value in the shortest form, keys in the file's
// order and as often as they stand there: it is for the boundary to refuse
// what is wrong. A number that is not whole becomes a float, which the
// boundary refuses.
func appendMsgpack(b []byte, v value) ([]byte, error) {
	switch v := v.(type) {
	case nil:
		return msgp.AppendNil(b), nil
	case bool:
		return msgp.AppendBool(b, v), nil
	case string:
		return msgp.AppendString(b, v), nil
	case number:
		return appendNumber(b, v)
	case list:
		return appendList(b, v)
	case object:
		return appendObject(b, v)
	}
	return nil, fmt.Errorf("a %T has no place in a request", v)
}

func appendNumber(b []byte, n number) ([]byte, error) {
	if i, err := strconv.ParseInt(string(n), 10, 64); err == nil {
		return msgp.AppendInt64(b, i), nil
	}
	if u, err := strconv.ParseUint(string(n), 10, 64); err == nil {
		return msgp.AppendUint64(b, u), nil
	}
	f, err := strconv.ParseFloat(string(n), 64)
	if err != nil {
		return nil, err
	}
	return msgp.AppendFloat64(b, f), nil
}

func appendList(b []byte, l list) (_ []byte, err error) {
	b = msgp.AppendArrayHeader(b, uint32(len(l)))
	for _, v := range l {
		if b, err = appendMsgpack(b, v); err != nil {
			return nil, err
		}
	}
	return b, nil
}

func appendObject(b []byte, o object) (_ []byte, err error) {
	b = msgp.AppendMapHeader(b, uint32(len(o)))
	for _, m := range o {
		b = msgp.AppendString(b, m.Key)
		if b, err = appendMsgpack(b, m.Value); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// readReply turns a whole reply into a value. It refuses what a reply must
// not be: anything but one map, a key twice, text that is not UTF-8.
func readReply(b []byte) (object, error) {
	v, rest, err := readMsgpack(b, deepest)
	if err != nil {
		return nil, err
	}
	if len(rest) > 0 {
		return nil, fmt.Errorf("%d bytes after the reply", len(rest))
	}
	o, ok := v.(object)
	if !ok {
		return nil, errors.New("the reply is not a map")
	}
	return o, nil
}

// readMsgpack reads a value that may hold others, levels deep.
func readMsgpack(b []byte, levels int) (value, []byte, error) {
	if levels == 0 {
		return nil, nil, errDeep
	}
	switch t := msgp.NextType(b); t {
	case msgp.NilType:
		rest, err := msgp.ReadNilBytes(b)
		return nil, rest, err
	case msgp.BoolType:
		return keep(msgp.ReadBoolBytes(b))
	case msgp.StrType:
		return readText(b)
	case msgp.BinType:
		raw, rest, err := msgp.ReadBytesBytes(b, nil)
		return bin(raw), rest, err
	case msgp.IntType:
		i, rest, err := msgp.ReadInt64Bytes(b)
		return number(strconv.FormatInt(i, 10)), rest, err
	case msgp.UintType:
		u, rest, err := msgp.ReadUint64Bytes(b)
		return number(strconv.FormatUint(u, 10)), rest, err
	case msgp.Float32Type, msgp.Float64Type:
		f, rest, err := msgp.ReadFloat64Bytes(b)
		return float(f), rest, err
	case msgp.ArrayType:
		return readList(b, levels-1)
	case msgp.MapType:
		return readObject(b, levels-1)
	default:
		return nil, nil, fmt.Errorf("the reply holds a value of type %s", t)
	}
}

func keep[T any](v T, rest []byte, err error) (value, []byte, error) { return v, rest, err }

// float writes a float so that it never equals a whole number: a reply should
// hold none.
func float(f float64) number {
	s := strconv.FormatFloat(f, 'g', -1, 64)
	if f == math.Trunc(f) && !math.IsInf(f, 0) {
		s += ".0"
	}
	return number(s)
}

func readText(b []byte) (value, []byte, error) {
	s, rest, err := msgp.ReadStringBytes(b)
	if err == nil && !utf8.ValidString(s) {
		err = fmt.Errorf("the reply holds text that is not UTF-8: %q", s)
	}
	return s, rest, err
}

func readList(b []byte, levels int) (value, []byte, error) {
	n, b, err := msgp.ReadArrayHeaderBytes(b)
	if err != nil {
		return nil, nil, err
	}
	l := list{}
	for ; n > 0; n-- {
		var v value
		if v, b, err = readMsgpack(b, levels); err != nil {
			return nil, nil, err
		}
		l = append(l, v)
	}
	return l, b, nil
}

func readObject(b []byte, levels int) (value, []byte, error) {
	n, b, err := msgp.ReadMapHeaderBytes(b)
	if err != nil {
		return nil, nil, err
	}
	o := object{}
	for ; n > 0; n-- {
		var key string
		if key, b, err = msgp.ReadStringBytes(b); err != nil {
			return nil, nil, err
		}
		var v value
		if v, b, err = readMsgpack(b, levels); err != nil {
			return nil, nil, err
		}
		o = append(o, member{key, v})
	}
	if key := o.twice(); key != "" {
		return nil, nil, fmt.Errorf("the reply holds the key %q twice", key)
	}
	return o, b, nil
}
