package main

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
)

// A mismatch is a key of a reply that is not as wanted.
type mismatch struct {
	name, key, got, wanted, source string
}

func (m mismatch) String() string {
	return fmt.Sprintf("%s: %s: got %s, wanted %s (%s)", m.name, m.key, m.got, m.wanted, m.source)
}

const absent = "nothing"

// mismatches compares a reply with what the case wants. Keys that it leaves
// out are not compared, at any depth; null wants the key absent. A refusal
// that it does not mention is a mismatch, so that no case passes by asking
// only for what a refusal leaves out.
func mismatches(c testCase, reply []byte) []mismatch {
	got, err := readReply(reply)
	if err != nil {
		return []mismatch{{c.Name, "the reply", fmt.Sprintf("%x", reply), "one msgpack map: " + err.Error(), c.Source}}
	}
	d := differ{c: c}
	if code, refused := got.get("error"); refused {
		if _, wanted := c.Want.get("error"); !wanted {
			d.add("error", show(code)+d.told(got), absent)
		}
	}
	d.object("", got, c.Want)
	return d.found
}

// differ gathers the mismatches of one case.
type differ struct {
	c     testCase
	found []mismatch
}

func (d *differ) add(key, got, wanted string) {
	d.found = append(d.found, mismatch{d.c.Name, key, got, wanted, d.c.Source})
}

// told is what a refusal says beside its code.
func (d *differ) told(reply object) string {
	said := ""
	for _, key := range []string{"field", "detail"} {
		if v, ok := reply.get(key); ok {
			said += " " + show(v)
		}
	}
	return said
}

func (d *differ) object(at string, got, want object) {
	for _, m := range want {
		v, there := got.get(m.Key)
		switch {
		case m.Value == nil && there:
			d.add(at+m.Key, show(v), absent)
		case m.Value == nil:
		case !there:
			d.add(at+m.Key, absent, show(m.Value))
		default:
			d.value(at+m.Key, v, m.Value)
		}
	}
}

func (d *differ) value(at string, got, want value) {
	switch w := want.(type) {
	case object:
		if g, ok := got.(object); ok {
			d.object(at+".", g, w)
			return
		}
	case list:
		if g, ok := got.(list); ok && len(g) == len(w) {
			for i := range w {
				d.value(fmt.Sprintf("%s.%d", at, i), g[i], w[i])
			}
			return
		}
	case number:
		if g, ok := got.(number); ok && sameWhole(g, w) {
			return
		}
	default: // a text, a bool, or null inside a list
		if scalar(got) && got == want {
			return
		}
	}
	d.add(at, show(got), show(want))
}

func scalar(v value) bool {
	switch v.(type) {
	case nil, bool, string:
		return true
	}
	return false
}

// sameWhole compares whole numbers exactly; "-0" is 0.
func sameWhole(a, b number) bool {
	if b == "-0" {
		b = "0"
	}
	return a == b
}

// A namedReply is a reply and the case it answers.
type namedReply struct {
	name  string
	reply []byte
}

// writeReplies writes a line a case: name, tab, the reply's bytes in hex.
func writeReplies(file string, replies []namedReply) error {
	var b bytes.Buffer
	for _, r := range replies {
		fmt.Fprintf(&b, "%s\t%x\n", r.name, r.reply)
	}
	return os.WriteFile(file, b.Bytes(), 0o644)
}

// compareReplies counts the replies that differ from those in the file, byte
// for byte, and those that only one side has.
func compareReplies(file string, replies []namedReply, stdout io.Writer) (differ int, err error) {
	theirs, err := readReplies(file)
	if err != nil {
		return 0, err
	}
	compared := 0
	for _, r := range replies {
		other, there := theirs[r.name]
		delete(theirs, r.name)
		if there {
			compared++
		}
		if there && bytes.Equal(other, r.reply) {
			continue
		}
		differ++
		fmt.Fprintf(stdout, "%s: the reply is %x, in %s it is %s\n", r.name, r.reply, file, hexOr(other, there))
	}
	for _, name := range slices.Sorted(maps.Keys(theirs)) {
		differ++
		fmt.Fprintf(stdout, "%s: a reply is in %s and none was given here\n", name, file)
	}
	fmt.Fprintf(stdout, "%d replies compared with %s byte for byte, %d differ\n", compared, file, differ)
	return differ, nil
}

func hexOr(b []byte, there bool) string {
	if !there {
		return "missing"
	}
	return hex.EncodeToString(b)
}

func readReplies(file string) (map[string][]byte, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	replies := map[string][]byte{}
	lines := bufio.NewScanner(bytes.NewReader(text))
	lines.Buffer(nil, 16<<20)
	for n := 1; lines.Scan(); n++ {
		name, hexed, ok := strings.Cut(lines.Text(), "\t")
		b, err := hex.DecodeString(hexed)
		if !ok || err != nil {
			return nil, fmt.Errorf("%s: line %d is not a name, a tab and hex", file, n)
		}
		if _, twice := replies[name]; twice {
			return nil, fmt.Errorf("%s: line %d: %s stands twice", file, n, name)
		}
		replies[name] = b
	}
	if err := lines.Err(); err != nil {
		return nil, err
	}
	if len(replies) == 0 {
		return nil, errors.New(file + " holds no reply to compare with")
	}
	return replies, nil
}
