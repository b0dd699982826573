package companion

import (
	"encoding/binary"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/tinylib/msgp/msgp"
)

// The shapes of wire.go are read and written by their tags. Code generated for
// them was nine tenths of this package in the WASM program, which is carried
// from phone to phone, and generated decoders pass what a request must not
// hold: decoding is strict here, in one walk.

// MaxRequest is the most bytes a request may have. It is checked before
// anything is decoded, so that a claimed length can never allocate more.
const MaxRequest = 64 << 10

// maxDepth bounds nesting; no topic needs more than a list of maps.
const maxDepth = 8

// A wireField is one field of a shape and what its tags say.
type wireField struct {
	name      string
	index     int
	omitEmpty bool // left out when empty
	need      bool // a request without it would have to be guessed at
	mayEmpty  bool // "" is an answer
}

var wireFields sync.Map // reflect.Type -> []wireField

func fieldsOf(t reflect.Type) []wireField {
	if known, ok := wireFields.Load(t); ok {
		return known.([]wireField)
	}
	list := make([]wireField, t.NumField())
	for i := range list {
		f := t.Field(i)
		name, rest, _ := strings.Cut(f.Tag.Get("msg"), ",")
		list[i] = wireField{name, i, rest == "omitempty", f.Tag.Get("need") != "", f.Tag.Get("empty") != ""}
	}
	wireFields.Store(t, list)
	return list
}

// Encode writes a shape as one msgpack map, its keys in the order of the
// fields. It takes what wire.go holds and no other type.
func Encode(shape any) []byte {
	return encodeValue(nil, reflect.ValueOf(shape))
}

func encodeValue(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Pointer:
		return encodeValue(b, v.Elem())
	case reflect.Struct:
		return encodeMap(b, v)
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return append(msgp.AppendBytesHeader(b, uint32(v.Len())), v.Bytes()...)
		}
		b = msgp.AppendArrayHeader(b, uint32(v.Len()))
		for i := range v.Len() {
			b = encodeValue(b, v.Index(i))
		}
		return b
	case reflect.String:
		return msgp.AppendString(b, v.String())
	case reflect.Bool:
		return msgp.AppendBool(b, v.Bool())
	default: // whole numbers
		return msgp.AppendInt64(b, v.Int())
	}
}

func encodeMap(b []byte, v reflect.Value) []byte {
	fields := fieldsOf(v.Type())
	n := uint32(0)
	for _, f := range fields {
		if !f.omitted(v) {
			n++
		}
	}
	b = msgp.AppendMapHeader(b, n)
	for _, f := range fields {
		if !f.omitted(v) {
			b = encodeValue(msgp.AppendString(b, f.name), v.Field(f.index))
		}
	}
	return b
}

func (f wireField) omitted(shape reflect.Value) bool {
	v := shape.Field(f.index)
	if v.Kind() == reflect.Pointer {
		return v.IsNil() // an absent pointer has no other form
	}
	return f.omitEmpty && (v.IsZero() || v.Kind() == reflect.Slice && v.Len() == 0)
}

// Decode reads a shape and refuses what could be misread: unknown keys (a
// misspelt "given" would make earlier doses vanish), keys twice, missing keys
// (tagged need:"yes"), nil, wrong types, empty text, invalid UTF-8, and bytes
// after the end. The shape is a pointer to a zero value.
func Decode(b []byte, shape any) *Fault { return decoder{}.whole(b, shape) }

// DecodeReply reads a reply: a text in it may be empty, and keys that the shape
// does not know are passed over, because a reply may grow.
func DecodeReply(b []byte, shape any) *Fault { return decoder{reply: true}.whole(b, shape) }

// decoder is how strictly to decode.
type decoder struct{ reply bool }

func (d decoder) whole(b []byte, shape any) *Fault {
	rest, f := d.value(b, reflect.ValueOf(shape).Elem(), "", 0)
	if f == nil && len(rest) != 0 {
		return &Fault{Code: FaultMalformed, Detail: "bytes after the request"}
	}
	return f
}

func (d decoder) value(b []byte, v reflect.Value, at string, depth int) ([]byte, *Fault) {
	if depth > maxDepth || len(b) == 0 || beyond(b) {
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return d.value(b, v.Elem(), at, depth)
	case reflect.Struct:
		return d.mapOf(b, v, at, depth)
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Uint8 { // part of the request: used up before it goes
			part, rest, err := msgp.ReadBytesZC(b)
			v.SetBytes(part)
			return rest, wrongType(err, b, at)
		}
		return d.list(b, v, at, depth)
	case reflect.String:
		return d.text(b, v, at, false)
	case reflect.Bool:
		is, rest, err := msgp.ReadBoolBytes(b)
		v.SetBool(is)
		return rest, wrongType(err, b, at)
	default:
		return decodeNumber(b, v, at)
	}
}

func (d decoder) mapOf(b []byte, v reflect.Value, at string, depth int) ([]byte, *Fault) {
	n, rest, err := msgp.ReadMapHeaderBytes(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	fields := fieldsOf(v.Type())
	seen := make([]bool, len(fields))
	for ; n > 0; n-- {
		if beyond(rest) {
			return nil, &Fault{Code: FaultMalformed, Field: at}
		}
		key, after, err := msgp.ReadStringBytes(rest)
		if err != nil || !utf8.ValidString(key) {
			return nil, &Fault{Code: FaultMalformed, Field: at, Detail: "a key that is not text"}
		}
		i := named(fields, key)
		if i < 0 && d.reply {
			if rest, err = msgp.Skip(after); err != nil {
				return nil, wrongType(err, after, join(at, key))
			}
			continue
		}
		if i < 0 {
			return nil, &Fault{Code: FaultKeyUnknown, Field: join(at, key)}
		}
		if seen[i] {
			return nil, &Fault{Code: FaultKeyTwice, Field: join(at, key)}
		}
		seen[i] = true
		var f *Fault
		if rest, f = d.field(after, v.Field(i), fields[i], join(at, key), depth+1); f != nil {
			return nil, f
		}
	}
	for i, f := range fields {
		if f.need && !seen[i] {
			return nil, &Fault{Code: FaultKeyMissing, Field: join(at, f.name)}
		}
	}
	return rest, nil
}

func named(fields []wireField, key string) int {
	for i := range fields {
		if fields[i].name == key {
			return i
		}
	}
	return -1
}

func (d decoder) field(b []byte, v reflect.Value, f wireField, at string, depth int) ([]byte, *Fault) {
	if v.Kind() == reflect.String {
		return d.text(b, v, at, f.mayEmpty)
	}
	return d.value(b, v, at, depth)
}

func (d decoder) list(b []byte, v reflect.Value, at string, depth int) ([]byte, *Fault) {
	n, rest, err := msgp.ReadArrayHeaderBytes(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	if uint64(n) > uint64(len(rest)) { // each element has at least a byte
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	if n > 0 { // an empty list stays nil; where it means something a pointer to it is not
		v.Set(reflect.MakeSlice(v.Type(), int(n), int(n)))
	}
	for i := range int(n) {
		var f *Fault
		if rest, f = d.value(rest, v.Index(i), join(at, strconv.Itoa(i)), depth+1); f != nil {
			return nil, f
		}
	}
	return rest, nil
}

func (d decoder) text(b []byte, v reflect.Value, at string, mayBeEmpty bool) ([]byte, *Fault) {
	if beyond(b) {
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	s, rest, err := msgp.ReadStringBytes(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	if !utf8.ValidString(s) {
		return nil, &Fault{Code: FaultMalformed, Field: at, Detail: "text that is not UTF-8"}
	}
	if s == "" && !mayBeEmpty && !d.reply {
		return nil, emptyText(at)
	}
	v.SetString(s)
	return rest, nil
}

// emptyText refuses "": absent is absent, and an empty amount is none.
func emptyText(at string) *Fault {
	for _, unit := range []string{"mg", "ml", "_kg", "_g", "_percent"} {
		if strings.HasSuffix(at, unit) {
			return &Fault{Code: FaultAmount, Field: at}
		}
	}
	return &Fault{Code: FaultWord, Field: at}
}

// decodeNumber takes whole numbers only, and of 32 bits where the shape says
// int, so that every host takes and refuses the same.
func decodeNumber(b []byte, v reflect.Value, at string) ([]byte, *Fault) {
	if t := msgp.NextType(b); t != msgp.IntType && t != msgp.UintType {
		return nil, wrongType(msgp.TypeError{}, b, at)
	}
	n, rest, err := msgp.ReadInt64Bytes(b)
	if err != nil || v.Kind() == reflect.Int && int64(int32(n)) != n {
		return nil, &Fault{Code: FaultMalformed, Field: at, Detail: "a whole number that is too large"}
	}
	v.SetInt(n)
	return rest, nil
}

func wrongType(err error, b []byte, at string) *Fault {
	if err == nil {
		return nil
	}
	if at == "" {
		return &Fault{Code: FaultMalformed}
	}
	return &Fault{Code: FaultWrongType, Field: at, Detail: msgp.NextType(b).String()}
}

// beyond reports whether b begins with text, bytes or an extension whose
// claimed 32-bit length goes beyond the end: where int has 32 bits the library
// would take it for a negative one.
func beyond(b []byte) bool {
	const bin32, ext32, str32 = 0xc6, 0xc9, 0xdb
	if len(b) < 5 || b[0] != bin32 && b[0] != ext32 && b[0] != str32 {
		return false
	}
	return uint64(binary.BigEndian.Uint32(b[1:])) > uint64(len(b))
}

func join(at, key string) string {
	if at == "" {
		return key
	}
	return at + "." + key
}
