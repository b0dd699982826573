package companion

import (
	"encoding/binary"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/tinylib/msgp/msgp"
)

// MaxRequest is the most bytes a request may have. It is checked before
// anything is decoded, so that a claimed length can never allocate more.
const MaxRequest = 64 << 10

// maxDepth bounds nesting; no topic needs more than a list of maps.
const maxDepth = 8

// strict walks a request beside the Go type it is meant for and refuses what
// generated decoders let pass: unknown keys (a misspelt "given" would make
// earlier doses vanish), keys twice, missing keys (tagged need:"yes"), nil,
// wrong types, invalid UTF-8, and bytes after the end.
func strict(b []byte, t reflect.Type) *Fault {
	rest, f := walk(b, t, "", 0)
	if f != nil {
		return f
	}
	if len(rest) != 0 {
		return &Fault{Code: FaultMalformed, Detail: "bytes after the request"}
	}
	return nil
}

func walk(b []byte, t reflect.Type, at string, depth int) ([]byte, *Fault) {
	if depth > maxDepth || len(b) == 0 || beyond(b) {
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Struct:
		return walkMap(b, t, at, depth)
	case reflect.Slice:
		return walkList(b, t.Elem(), at, depth)
	case reflect.String:
		return walkString(b, at, false)
	case reflect.Bool:
		rest, err := skipIf(b, msgp.BoolType)
		return rest, wrongType(err, b, at)
	default: // whole numbers
		rest, err := skipIf(b, msgp.IntType, msgp.UintType)
		return rest, wrongType(err, b, at)
	}
}

func walkMap(b []byte, t reflect.Type, at string, depth int) ([]byte, *Fault) {
	n, rest, err := msgp.ReadMapHeaderBytes(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	seen := make([]bool, t.NumField())
	for ; n > 0; n-- {
		if beyond(rest) {
			return nil, &Fault{Code: FaultMalformed, Field: at}
		}
		key, after, err := msgp.ReadStringBytes(rest)
		if err != nil || !utf8.ValidString(key) {
			return nil, &Fault{Code: FaultMalformed, Field: at, Detail: "a key that is not text"}
		}
		i := fieldNamed(t, key)
		if i < 0 {
			return nil, &Fault{Code: FaultKeyUnknown, Field: join(at, key)}
		}
		if seen[i] {
			return nil, &Fault{Code: FaultKeyTwice, Field: join(at, key)}
		}
		seen[i] = true
		var f *Fault
		if rest, f = walkField(after, t.Field(i), join(at, key), depth+1); f != nil {
			return nil, f
		}
	}
	for i := range seen {
		if !seen[i] && t.Field(i).Tag.Get("need") != "" {
			return nil, &Fault{Code: FaultKeyMissing, Field: join(at, wireName(t.Field(i)))}
		}
	}
	return rest, nil
}

func walkField(b []byte, field reflect.StructField, at string, depth int) ([]byte, *Fault) {
	if field.Type.Kind() == reflect.String {
		return walkString(b, at, field.Tag.Get("empty") != "")
	}
	return walk(b, field.Type, at, depth)
}

func walkList(b []byte, elem reflect.Type, at string, depth int) ([]byte, *Fault) {
	n, rest, err := msgp.ReadArrayHeaderBytes(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	if n > MaxRequest { // each element has at least a byte
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	for i := range int(n) {
		var f *Fault
		if rest, f = walk(rest, elem, join(at, strconv.Itoa(i)), depth+1); f != nil {
			return nil, f
		}
	}
	return rest, nil
}

func walkString(b []byte, at string, mayBeEmpty bool) ([]byte, *Fault) {
	if beyond(b) {
		return nil, &Fault{Code: FaultMalformed, Field: at}
	}
	s, rest, err := msgp.ReadStringZC(b)
	if err != nil {
		return nil, wrongType(err, b, at)
	}
	if !utf8.Valid(s) {
		return nil, &Fault{Code: FaultMalformed, Field: at, Detail: "text that is not UTF-8"}
	}
	if len(s) == 0 && !mayBeEmpty {
		return nil, emptyText(at)
	}
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

// beyond reports whether b begins with text, bytes or an extension whose
// claimed 32-bit length goes beyond the end: where int has 32 bits the decoder
// would take it for a negative one.
func beyond(b []byte) bool {
	const bin32, ext32, str32 = 0xc6, 0xc9, 0xdb
	if len(b) < 5 || b[0] != bin32 && b[0] != ext32 && b[0] != str32 {
		return false
	}
	return uint64(binary.BigEndian.Uint32(b[1:])) > uint64(len(b))
}

// skipIf passes over a value of one of the types.
func skipIf(b []byte, types ...msgp.Type) ([]byte, error) {
	for _, t := range types {
		if msgp.NextType(b) == t {
			return msgp.Skip(b)
		}
	}
	return nil, msgp.TypeError{}
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

func fieldNamed(t reflect.Type, key string) int {
	for i := range t.NumField() {
		if wireName(t.Field(i)) == key {
			return i
		}
	}
	return -1
}

func wireName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("msg"), ",")
	return name
}

func join(at, key string) string {
	if at == "" {
		return key
	}
	return at + "." + key
}
