package msgpack

import (
	"bytes"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/tinylib/msgp/msgp"
)

var numbers = []int64{0, 1, 31, 127, 128, 255, 256, 32767, 32768, 65535, 65536, math.MaxInt32, math.MaxInt32 + 1, math.MaxUint32, math.MaxUint32 + 1,
	math.MaxInt64, -1, -32, -33, -128, -129, -32768, -32769, math.MinInt32, math.MinInt32 - 1, math.MinInt64}

var lengths = []int{0, 1, 15, 16, 31, 32, 255, 256, 65535, 65536}

// Every form that is written is the one that the library writes, and is read.
func TestWritesWhatTheLibraryWrites(t *testing.T) {
	for _, n := range numbers {
		wrote(t, AppendInt(nil, n), msgp.AppendInt64(nil, n))
		if got, _, err := ReadInt(AppendInt(nil, n)); err != nil || got != n {
			t.Errorf("%d is read as %d, %v", n, got, err)
		}
		wrote(t, AppendUint(nil, uint64(n)), msgp.AppendUint64(nil, uint64(n)))
		if got, _, err := ReadInt(AppendUint(nil, uint64(n))); n >= 0 && (err != nil || got != n) || n < 0 && !errors.Is(err, ErrKind) {
			t.Errorf("%d is read as %d, %v", uint64(n), got, err)
		}
	}
	for _, n := range lengths {
		text := strings.Repeat("a", n)
		wrote(t, AppendText(nil, text), msgp.AppendString(nil, text))
		if got, rest, err := ReadText(append(AppendText(nil, text), 7)); err != nil || string(got) != text || len(rest) != 1 {
			t.Errorf("a text of %d is read as %d, %v", n, len(got), err)
		}
		wrote(t, AppendMap(nil, n), msgp.AppendMapHeader(nil, uint32(n)))
		wrote(t, AppendList(nil, n), msgp.AppendArrayHeader(nil, uint32(n)))
	}
	for _, is := range []bool{false, true} {
		wrote(t, AppendBool(nil, is), msgp.AppendBool(nil, is))
		if got, _, err := ReadBool(AppendBool(nil, is)); err != nil || got != is {
			t.Errorf("%v is read as %v, %v", is, got, err)
		}
	}
}

func wrote(t *testing.T, got, want []byte) {
	t.Helper()
	if !bytes.Equal(got, want) {
		t.Errorf("got %.20x, want %.20x", got, want)
	}
}

// every is one value of every first byte, as the library skips it.
func every() [][]byte {
	var all [][]byte
	for lead := range 256 {
		b := append([]byte{byte(lead)}, bytes.Repeat([]byte{1}, 1<<10)...)
		if rest, err := msgp.Skip(b); err == nil {
			b = b[:len(b)-len(rest)]
		}
		all = append(all, b)
	}
	return all
}

func TestSkipsWhatTheLibrarySkips(t *testing.T) {
	for _, whole := range every() {
		for cut := range min(len(whole), 40) + 1 {
			skipsAlike(t, whole[:min(cut, len(whole))])
		}
		skipsAlike(t, append(bytes.Clone(whole), 1, 2, 3))
	}
}

// skipsAlike holds Skip and KindOf to the library.
func skipsAlike(t *testing.T, b []byte) {
	t.Helper()
	want, wantErr := msgp.Skip(b)
	got, err := Skip(b)
	if (err == nil) != (wantErr == nil) || err == nil && !bytes.Equal(got, want) {
		t.Fatalf("%.20x: %d left, %v; the library leaves %d, %v", b, len(got), err, len(want), wantErr)
	}
	if len(b) == 0 {
		return
	}
	switch kind := msgp.NextType(b); kind {
	case msgp.TimeType, msgp.Complex64Type, msgp.Complex128Type: // the library's own extensions
	default:
		if KindOf(b).String() != kind.String() {
			t.Fatalf("%x is %v, for the library %v", b[0], KindOf(b), kind)
		}
	}
}

func FuzzSkip(f *testing.F) {
	for _, b := range every() {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 1000 { // the library refuses what is nested very deep
			skipsAlike(t, b)
		}
	})
}

// A length that is only claimed is refused before anything is made for it.
func TestClaimedLengths(t *testing.T) {
	for _, b := range [][]byte{{0xdf, 0xff, 0xff, 0xff, 0xff}, {0xdd, 0xff, 0xff, 0xff, 0xff}, {0xdb, 0xff, 0xff, 0xff, 0xff}, {0xc6, 0x80, 0, 0, 0}, {0xc9, 0xff, 0xff, 0xff, 0xff, 1}, {0x81, 0xa1}} {
		if _, err := Skip(b); !errors.Is(err, ErrShort) {
			t.Errorf("%x: %v", b, err)
		}
	}
	if _, _, err := ReadMap([]byte{0xdf, 0xff, 0xff, 0xff, 0xff}); !errors.Is(err, ErrShort) {
		t.Error(err)
	}
	if _, _, err := ReadList([]byte{0xdd, 0xff, 0xff, 0xff, 0xff}); !errors.Is(err, ErrShort) {
		t.Error(err)
	}
	if _, _, err := ReadText([]byte{0xdb, 0xff, 0xff, 0xff, 0xff}); !errors.Is(err, ErrShort) {
		t.Error(err)
	}
}

// all has a field of every form.
type all struct {
	A    string
	B    string // left out when empty
	C    []string
	D    bool
	E    int64
	F    int64 // left out when 0
	G    int
	H    uint64
	I    uint8
	J    *part
	K    part
	L    []part
	None *part
}

type part struct{ X string }

func (p *part) Fields(f *Fields) { f.Text("x", &p.X) }

func (a *all) Fields(f *Fields) {
	f.Text("a", &a.A)
	f.TextIf("b", &a.B)
	f.Texts("c", &a.C)
	f.Bool("d", &a.D)
	f.Int("e", &a.E)
	f.IntIf("f", &a.F)
	f.Whole("g", &a.G)
	f.Uint("h", &a.H)
	f.Byte("i", &a.I)
	Optional(f, "j", &a.J)
	f.Shape("k", &a.K)
	Shapes(f, "l", &a.L)
	Optional(f, "none", &a.None)
}

func full() *all {
	return &all{A: "1", B: "2", C: []string{"3", ""}, D: true, E: -5, F: 6, G: -7, H: 1 << 40, I: 200, J: &part{"10"}, K: part{"11"}, L: []part{{"12"}, {}}}
}

func TestShape(t *testing.T) {
	b := Append([]byte("before"), full())
	var got all
	rest, err := Read(append(b[len("before"):], 0xc0), &got)
	if err != nil || len(rest) != 1 || !reflect.DeepEqual(&got, full()) {
		t.Fatalf("%d left, %v, read %+v", len(rest), err, got)
	}
	value, _, err := msgp.ReadMapStrIntfBytes(b[len("before"):], nil)
	want := map[string]any{"a": "1", "b": "2", "c": []any{"3", ""}, "d": true, "e": int64(-5), "f": int64(6), "g": int64(-7), "h": uint64(1 << 40), "i": uint64(200),
		"j": map[string]any{"x": "10"}, "k": map[string]any{"x": "11"}, "l": []any{map[string]any{"x": "12"}, map[string]any{"x": ""}}}
	if err != nil || !reflect.DeepEqual(value, want) {
		t.Fatalf("the library reads %v, %v", value, err)
	}
	if empty := Append(nil, &all{}); empty[0] != 0x89 {
		t.Errorf("what may be left out is written: %x", empty)
	}
}

// Newer versions put fields between those of this one, or in another order.
func TestFieldsInAnyOrder(t *testing.T) {
	b := msgp.AppendMapHeader(nil, 4)
	for _, kv := range []struct {
		key   string
		value any
	}{{"k", map[string]any{"y": 1, "x": "11"}}, {"new", []any{1, map[string]any{"a": "no"}}}, {"d", true}, {"a", "1"}} {
		b = msgp.AppendString(b, kv.key)
		b, _ = msgp.AppendIntf(b, kv.value)
	}
	var got all
	if _, err := Read(b, &got); err != nil || !reflect.DeepEqual(got, all{A: "1", D: true, K: part{"11"}}) {
		t.Fatalf("%v, read %+v", err, got)
	}
}

func TestShapesThatAreRefused(t *testing.T) {
	one := func(key string, value any) []byte {
		b, _ := msgp.AppendIntf(msgp.AppendString(msgp.AppendMapHeader(nil, 1), key), value)
		return b
	}
	many := msgp.AppendMapHeader(nil, mostFields+1)
	for range mostFields + 1 {
		many = append(many, 0xa1, 'z', 1)
	}
	for name, x := range map[string]struct {
		b    []byte
		want error
	}{
		"text for a number":    {one("e", "5"), ErrKind},
		"a number for text":    {one("a", 5), ErrKind},
		"a number beyond int":  {one("e", uint64(math.MaxUint64)), ErrKind},
		"below 0":              {one("h", -1), ErrKind},
		"beyond a byte":        {one("i", 256), ErrKind},
		"nil for a map":        {one("j", nil), ErrKind},
		"a list for a map":     {one("k", []any{}), ErrKind},
		"text in a list":       {one("l", []any{"x"}), ErrKind},
		"a field twice":        {[]byte{0x82, 0xa1, 'a', 0xa1, '1', 0xa1, 'a', 0xa1, '2'}, ErrShape},
		"too many":             {many, ErrShape},
		"a key that is none":   {[]byte{0x81, 1, 1}, ErrKind},
		"a byte that is none":  {[]byte{0x81, 0xa1, 'z', 0xc1}, ErrKind},
		"too long a list":      {one("l", make([]any, mostValues+1)), ErrShape},
		"a list, not a map":    {[]byte{0x90}, ErrKind},
		"nothing":              {nil, ErrShort},
		"a value that is gone": {[]byte{0x81, 0xa1, 'a'}, ErrShort},
	} {
		if _, err := Read(x.b, new(all)); !errors.Is(err, x.want) {
			t.Errorf("%s: %v, want %v", name, err, x.want)
		}
	}
	for b := Append(nil, full()); len(b) > 0; {
		b = b[:len(b)-1]
		if _, err := Read(b, new(all)); err == nil {
			t.Errorf("cut to %d bytes, it is read", len(b))
		}
	}
}
