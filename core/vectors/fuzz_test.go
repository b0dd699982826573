package main

import (
	"reflect"
	"testing"
)

// What is accepted as a reply reads the same after it was written anew, so
// nothing in it was lost or changed on the way into a comparison.
func FuzzReply(f *testing.F) {
	for _, seed := range []string{"\x80", "\x81\xa1a\x01", "\x82\xa1a\xc3\xa1b\x92\xc0\xcb\x3f\xf8\x00\x00\x00\x00\x00\x00", "\x81\xa1a\xdd\xff\xff\xff\xff"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, reply []byte) {
		v, err := readReply(reply)
		if err != nil {
			if v != nil {
				t.Errorf("%x: refused, and yet gave %s", reply, show(v))
			}
			return
		}
		b, err := appendMsgpack(nil, v)
		if err != nil {
			return // bytes, which no request holds
		}
		again, err := readReply(b)
		if err != nil || !reflect.DeepEqual(v, again) {
			t.Errorf("%x: read %s, then %s, %v", reply, show(v), show(again), err)
		}
	})
}

// What is accepted as JSON shows as JSON that reads the same.
func FuzzJSON(f *testing.F) {
	for _, seed := range []string{`[]`, `{"a": [1, -2.5e3, "é\n", true, null]}`, `{"a": 1, "a": 2}`, `[1] 2`, `[`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		v, err := parseJSON(text)
		if err != nil {
			return
		}
		again, err := parseJSON([]byte(show(v)))
		if err != nil || !reflect.DeepEqual(v, again) {
			t.Errorf("%q: read %s, then %s, %v", text, show(v), show(again), err)
		}
	})
}
