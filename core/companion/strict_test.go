package companion_test

import (
	"strings"
	"testing"

	"github.com/tinylib/msgp/msgp"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// code sends raw bytes and reads the error code of the answer, "" for none.
func code(t testing.TB, c *companion.Companion, topic string, request []byte) (code, field string) {
	t.Helper()
	answer := c.Call(topic, request)
	if rest, err := msgp.Skip(answer); err != nil || len(rest) != 0 {
		t.Fatalf("%s: the answer is not one msgpack value: %x", topic, answer)
	}
	var f companion.Fault
	if len(msgp.Locate("error", answer)) == 0 {
		return "", ""
	}
	if fault := companion.DecodeReply(answer, &f); fault != nil {
		t.Fatal(fault)
	}
	return f.Code, f.Field
}

func object(pairs ...any) []byte {
	b := msgp.AppendMapHeader(nil, uint32(len(pairs)/2))
	for i := 0; i < len(pairs); i += 2 {
		b = msgp.AppendString(b, pairs[i].(string))
		b, _ = msgp.AppendIntf(b, pairs[i+1])
	}
	return b
}

func TestRequestsAreStrict(t *testing.T) {
	c := open(t, nil)
	deep := []byte{}
	for range 100 {
		deep = append(deep, 0x91)
	}
	for name, x := range map[string]struct {
		topic   string
		request []byte
		code    string
		field   string
	}{
		"no such topic":          {"tear.grades", object(), "topic_unknown", "tear.grades"},
		"nothing at all":         {"tear.grade", nil, "request_malformed", ""},
		"a list":                 {"tear.grade", []byte{0x90}, "request_malformed", ""},
		"bytes after":            {"tear.grade", append(object(), 0), "request_malformed", ""},
		"cut off":                {"tear.grade", object("perineal_skin", "torn")[:5], "request_malformed", ""},
		"a misspelt key":         {"anaesthetic.ceiling", object("agent", "lidocaine", "givven", "x"), "key_unknown", "givven"},
		"a key twice":            {"tear.grade", object("perineal_skin", "torn", "perineal_skin", "intact"), "key_twice", "perineal_skin"},
		"a key missing":          {"anaesthetic.ceiling", object(), "key_missing", "agent"},
		"nil":                    {"tear.grade", object("perineal_skin", nil), "wrong_type", "perineal_skin"},
		"a number for text":      {"anaesthetic.rescue", object("weight_kg", 60), "wrong_type", "weight_kg"},
		"a float for an int":     {"bleeding.assess", object("pulse", 80.5), "wrong_type", "pulse"},
		"text for a bool":        {"tear.grade", object("episiotomy", "yes"), "wrong_type", "episiotomy"},
		"empty text":             {"anaesthetic.rescue", object("weight_kg", ""), "amount_malformed", "weight_kg"},
		"an empty word":          {"tear.grade", object("perineal_skin", ""), "word_unknown", "perineal_skin"},
		"invalid UTF-8":          {"tear.grade", object("perineal_skin", "\xff"), "request_malformed", "perineal_skin"},
		"lists in lists":         {"bleeding.assess", append([]byte{0x81, 0xa4}, append([]byte("pads"), deep...)...), "wrong_type", "pads.0"},
		"too large":              {"tear.grade", object("perineal_skin", strings.Repeat("x", companion.MaxRequest)), "request_too_large", "tear.grade"},
		"inside a list":          {"bleeding.assess", object("pads", []any{map[string]any{"wet_g": "1"}}), "key_missing", "pads.0.dry_g"},
		"a claimed length":       {"bleeding.assess", append([]byte{0x81, 0xa4}, append([]byte("pads"), 0xdd, 0xff, 0xff, 0xff, 0xff)...), "request_malformed", "pads"},
		"a whole number too big": {"bleeding.assess", append([]byte{0x81, 0xa5}, append([]byte("pulse"), 0xcf, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff)...), "request_malformed", ""},
	} {
		got, field := code(t, c, x.topic, x.request)
		if got != x.code || (x.field != "" && field != x.field) {
			t.Errorf("%s: %q at %q, want %q at %q", name, got, field, x.code, x.field)
		}
	}
}

// FuzzCall: whatever comes, the answer is one msgpack map, and never a caught
// panic.
func FuzzCall(f *testing.F) {
	topics := companion.Topics()
	for i := range topics {
		f.Add(uint8(i), object())
	}
	f.Add(uint8(0), object("agent", "lidocaine", "adrenaline", false, "weight_kg", "60", "given", []any{}))
	f.Add(uint8(1), object("perineal_skin", "torn", "rectal_exam", "done"))
	f.Add(uint8(2), object("birth", "aeaqcaib-1", "finding", "perineal_skin", "value", "torn"))
	c := open(f, journaltest.New())
	newBirth(f, c)
	f.Fuzz(func(t *testing.T, which uint8, request []byte) {
		topic := topics[int(which)%len(topics)]
		if got, at := code(t, c, topic, request); got == companion.FaultInternal {
			t.Errorf("%s: internal at %s", topic, at)
		}
	})
}
