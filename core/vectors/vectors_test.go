package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/tinylib/msgp/msgp"
)

// echo is a host that answers every call with the request itself, so a test
// writes the reply it wants to compare into "given".
type echo struct{ closed bool }

func (*echo) Call(topic string, request []byte) ([]byte, error) { return request, nil }
func (*echo) Bench(string, []byte, int) (cost, error)           { return cost{1000, 3}, nil }
func (e *echo) Close() error                                    { e.closed = true; return nil }

// vectorFile writes a file and returns its name.
func vectorFile(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "v.json")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// checkEcho runs the files against echo.
func checkEcho(t *testing.T, o options, files ...string) (failed int, said string) {
	t.Helper()
	var out bytes.Buffer
	cases, faults := load(files)
	failed, err := o.check(&echo{}, cases, faults, &out)
	if err != nil {
		t.Fatal(err)
	}
	return failed, out.String()
}

// one is a file with one case.
func one(given, want string) string {
	return `[{"name": "n", "topic": "t.t", "given": ` + given + `, "want": ` + want + `, "source": "common practice, no source"}]`
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		name, given, want string
		wrong             string // what must be said; "" when the case holds
	}{
		{"equal", `{"a": "1"}`, `{"a": "1"}`, ""},
		{"keys left out are not compared", `{"a": "1", "b": 2}`, `{"a": "1"}`, ""},
		{"wrong value", `{"a": "1"}`, `{"a": "2"}`, `n: a: got "1", wanted "2"`},
		{"missing key", `{"b": 1}`, `{"a": 1}`, `n: a: got nothing, wanted 1`},
		{"null wants absence, and finds it", `{"b": 1}`, `{"a": null}`, ""},
		{"null wants absence, and there is a value", `{"a": 1}`, `{"a": null}`, `n: a: got 1, wanted nothing`},
		{"null wants absence, and there is nil", `{"a": null}`, `{"a": null}`, `n: a: got null, wanted nothing`},
		{"false is not absence", `{"a": false}`, `{"a": null}`, `n: a: got false`},
		{"a text is not a number", `{"a": "1"}`, `{"a": 1}`, `n: a: got "1", wanted 1`},
		{"a number is not a text", `{"a": 1}`, `{"a": "1"}`, `n: a: got 1, wanted "1"`},
		{"a float is not a whole number", `{"a": 1.0}`, `{"a": 1}`, `n: a: got 1.0, wanted 1`},
		{"whole numbers are exact", `{"a": 9007199254740993}`, `{"a": 9007199254740992}`, `wanted 9007199254740992`},
		{"the largest whole numbers", `{"a": 18446744073709551615, "b": -9223372036854775808}`, `{"a": 18446744073709551615, "b": -9223372036854775808}`, ""},
		{"true is not false", `{"a": true}`, `{"a": false}`, `n: a: got true, wanted false`},
		{"lists equal", `{"a": ["x", "y"]}`, `{"a": ["x", "y"]}`, ""},
		{"lists in another order", `{"a": ["x", "y"]}`, `{"a": ["y", "x"]}`, `n: a.0: got "x", wanted "y"`},
		{"a longer list", `{"a": ["x", "y"]}`, `{"a": ["x"]}`, `got ["x", "y"], wanted ["x"]`},
		{"a shorter list", `{"a": []}`, `{"a": ["x"]}`, `got [], wanted ["x"]`},
		{"no list is not an empty list", `{"b": 1}`, `{"a": []}`, `n: a: got nothing, wanted []`},
		{"inside a map", `{"a": {"b": 1, "c": 2}}`, `{"a": {"b": 1}}`, ""},
		{"inside a map, wrong", `{"a": {"b": 1}}`, `{"a": {"b": 2}}`, `n: a.b: got 1, wanted 2`},
		{"inside a list of maps, wrong", `{"a": [{"b": 1}, {"b": 2}]}`, `{"a": [{"b": 1}, {"b": 3}]}`, `n: a.1.b: got 2, wanted 3`},
		{"a map is not a list", `{"a": {"b": 1}}`, `{"a": [1]}`, `n: a: got {"b": 1}, wanted [1]`},
		{"a refusal that is wanted", `{"error": "e"}`, `{"error": "e"}`, ""},
		{"another refusal than wanted", `{"error": "f"}`, `{"error": "e"}`, `n: error: got "f", wanted "e"`},
		{"no refusal where one is wanted", `{"a": 1}`, `{"error": "e"}`, `n: error: got nothing, wanted "e"`},
		{"a refusal that is not wanted", `{"error": "topic_unknown", "field": "t.t"}`, `{"a": null}`, `n: error: got "topic_unknown" "t.t", wanted nothing`},
	} {
		failed, said := checkEcho(t, options{}, vectorFile(t, one(c.given, c.want)))
		if c.wrong == "" && (failed != 0 || said != "1 passed, 0 failed\n") {
			t.Errorf("%s: failed %d, said %q", c.name, failed, said)
		}
		if c.wrong != "" && (failed != 1 || !strings.Contains(said, c.wrong) || !strings.HasSuffix(said, "0 passed, 1 failed\n")) {
			t.Errorf("%s: failed %d, said %q, which lacks %q", c.name, failed, said, c.wrong)
		}
	}
}

func TestMismatchNamesTheSource(t *testing.T) {
	file := vectorFile(t, `[{"name": "n", "topic": "t", "given": {"a": 1}, "want": {"a": 2}, "source": "A paper, table 3, 2004"}]`)
	if _, said := checkEcho(t, options{}, file); !strings.Contains(said, "(A paper, table 3, 2004)") {
		t.Errorf("said %q without the source", said)
	}
}

func TestFaultyFilesFail(t *testing.T) {
	ok := `"topic": "t", "given": {"a": 1}, "want": {"a": 1}, "source": "common practice, no source"`
	for _, c := range []struct{ name, text, what string }{
		{"empty file", ``, "unexpected EOF"},
		{"no case", `[]`, "holds no case"},
		{"not a list", `{"name": "n", ` + ok + `}`, "is a list of cases"},
		{"broken JSON", `[{"name": "n", ` + ok, "unexpected EOF"},
		{"nested deep", strings.Repeat("[", 1<<20), "nested too deep"},
		{"text after the end", `[{"name": "n", ` + ok + `}] []`, "after the end"},
		{"not UTF-8", "[{\"name\": \"\xff\", " + ok + `}]`, "not UTF-8"},
		{"case is no object", `[1]`, "a case is an object"},
		{"unknown key", `[{"name": "n", "wants": {}, ` + ok + `}]`, `unknown key "wants"`},
		{"key twice", `[{"name": "n", "name": "m", ` + ok + `}]`, `"name" stands twice`},
		{"no name", `[{` + ok + `}]`, "name must be"},
		{"name with a tab", `[{"name": "a\tb", ` + ok + `}]`, "name must be"},
		{"no topic", `[{"name": "n", "given": {}, "want": {"a": 1}, "source": "common practice, no source"}]`, "topic must be"},
		{"no given", `[{"name": "n", "topic": "t", "want": {"a": 1}, "source": "common practice, no source"}]`, "given must be"},
		{"given is a list", `[{"name": "n", "topic": "t", "given": [], "want": {"a": 1}, "source": "common practice, no source"}]`, "given must be"},
		{"no want", `[{"name": "n", "topic": "t", "given": {}, "source": "common practice, no source"}]`, "want must be"},
		{"want is empty", `[{"name": "n", "topic": "t", "given": {}, "want": {}, "source": "common practice, no source"}]`, "nothing could fail"},
		{"want is empty inside", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": {}}, "source": "common practice, no source"}]`, "nothing could fail"},
		{"want has a key twice", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": 1, "a": 2}, "source": "common practice, no source"}]`, `"a" stands twice`},
		{"want has a float", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": [1.5]}, "source": "common practice, no source"}]`, "not a whole number"},
		{"no source", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": 1}}]`, "source must be"},
		{"source in no form", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": 1}, "source": "a book"}]`, `source "a book"`},
		{"memory of nothing", `[{"name": "n", "topic": "t", "given": {}, "want": {"a": 1}, "source": "from memory: "}]`, "source"},
		{"duplicate name", `[{"name": "n", ` + ok + `}, {"name": "n", ` + ok + `}]`, "already taken"},
	} {
		failed, said := checkEcho(t, options{}, vectorFile(t, c.text))
		if failed != 1 || !strings.Contains(said, c.what) || !strings.Contains(said, "1 failed\n") {
			t.Errorf("%s: failed %d, said %q, which lacks %q", c.name, failed, said, c.what)
		}
	}
}

func TestMissingFileFails(t *testing.T) {
	if failed, said := checkEcho(t, options{}, filepath.Join(t.TempDir(), "none.json")); failed != 1 {
		t.Errorf("failed %d, said %q", failed, said)
	}
}

func TestNamesAreUniqueOverFiles(t *testing.T) {
	a, b := vectorFile(t, one(`{"a": 1}`, `{"a": 1}`)), vectorFile(t, one(`{"a": 1}`, `{"a": 1}`))
	if failed, said := checkEcho(t, options{}, a, b); failed != 1 || !strings.HasSuffix(said, "1 passed, 1 failed\n") {
		t.Errorf("failed %d, said %q", failed, said)
	}
}

func TestSourceForms(t *testing.T) {
	for s, good := range map[string]bool{
		"WHO guideline, section 3, table 2, 2023": true,
		"A label, maximum dosages, 1999":          true,
		"common practice, no source":              true,
		"from memory: a handbook":                 true,
		"A label, 1999":                           false,
		"A label, , 1999":                         false,
		"A label, maximum dosages":                false,
		"A label, maximum dosages, 999":           false,
		"common practice":                         false,
		"from memory":                             false,
		"":                                        false,
	} {
		if err := checkSource(s); (err == nil) != good {
			t.Errorf("%q: %v", s, err)
		}
	}
}

// The bytes are from the msgpack specification, worked out by hand.
func TestRequestBytes(t *testing.T) {
	for text, want := range map[string]string{
		`{}`:                            "\x80",
		`{"b": 1, "a": 2}`:              "\x82\xa1b\x01\xa1a\x02",
		`{"a": 1, "a": 1}`:              "\x82\xa1a\x01\xa1a\x01",
		`{"a": null}`:                   "\x81\xa1a\xc0",
		`{"a": [true, false]}`:          "\x81\xa1a\x92\xc3\xc2",
		`{"a": -1}`:                     "\x81\xa1a\xff",
		`{"a": 1.5}`:                    "\x81\xa1a\xcb\x3f\xf8\x00\x00\x00\x00\x00\x00",
		`{"a": 1e0}`:                    "\x81\xa1a\xcb\x3f\xf0\x00\x00\x00\x00\x00\x00",
		`{"a": {"b": "é"}}`:             "\x81\xa1a\x81\xa1b\xa2\xc3\xa9",
		`{"a": 18446744073709551615}`:   "\x81\xa1a\xcf\xff\xff\xff\xff\xff\xff\xff\xff",
		`{"a": 18446744073709551616.5}`: "\x81\xa1a\xcb\x43\xf0\x00\x00\x00\x00\x00\x00",
	} {
		v, err := parseJSON([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		got, err := appendMsgpack(nil, v)
		if err != nil || string(got) != want {
			t.Errorf("%s: got %x, %v, wanted %x", text, got, err, want)
		}
	}
}

func TestMalformedRepliesFail(t *testing.T) {
	c := testCase{Name: "n", Want: object{{"a", nil}}}
	for name, reply := range map[string][]byte{
		"no bytes":       {},
		"not a map":      msgp.AppendString(nil, "x"),
		"cut short":      []byte("\x81\xa1a"),
		"bytes after":    []byte("\x80\x80"),
		"key twice":      []byte("\x82\xa1b\x01\xa1b\x01"),
		"not UTF-8":      []byte("\x81\xa1b\xa1\xff"),
		"twice, inside":  []byte("\x81\xa1b\x82\xa1c\x01\xa1c\x01"),
		"key not a text": []byte("\x81\x01\x01"),
		"nested deep":    append([]byte("\x81\xa1b"), bytes.Repeat([]byte("\x91"), 1<<20)...),
		"extension":      []byte("\x81\xa1b\xd4\x05\x00"),
	} {
		if len(mismatches(c, reply)) == 0 {
			t.Errorf("%s: %x passed", name, reply)
		}
	}
}

func TestRepliesAreComparedByteForByte(t *testing.T) {
	file := vectorFile(t, `[
		{"name": "one", "topic": "t", "given": {"a": 1}, "want": {"a": 1}, "source": "common practice, no source"},
		{"name": "two", "topic": "t", "given": {"b": 2}, "want": {"b": 2}, "source": "common practice, no source"}]`)
	replies := filepath.Join(t.TempDir(), "replies")
	checkEcho(t, options{replies: replies}, file)
	text, err := os.ReadFile(replies)
	if err != nil || string(text) != "one\t81a16101\ntwo\t81a16202\n" {
		t.Fatalf("wrote %q, %v", text, err)
	}
	for _, c := range []struct {
		theirs string
		differ int
		said   string
	}{
		{string(text), 0, "2 replies compared"},
		{"one\t81a16102\ntwo\t81a16202\n", 1, "one: the reply is 81a16101"},
		{"one\t81a161d001\ntwo\t81a16202\n", 1, "one: the reply is 81a16101"}, // the same number, longer bytes
		{"two\t81a16202\n", 1, "it is missing"},
		{string(text) + "three\t80\n", 1, "three: a reply is in"},
	} {
		os.WriteFile(replies, []byte(c.theirs), 0o600)
		failed, said := checkEcho(t, options{compare: replies}, file)
		if failed != c.differ || !strings.Contains(said, c.said) {
			t.Errorf("%q: failed %d, said %q", c.theirs, failed, said)
		}
	}
}

func TestNothingToCompareWithIsAnError(t *testing.T) {
	file := vectorFile(t, one(`{"a": 1}`, `{"a": 1}`))
	for _, theirs := range []string{"", "one 80\n", "one\tzz\n", "one\t80\none\t80\n"} {
		replies := filepath.Join(t.TempDir(), "replies")
		os.WriteFile(replies, []byte(theirs), 0o600)
		cases, faults := load([]string{file})
		if _, err := (options{compare: replies}).check(&echo{}, cases, faults, &bytes.Buffer{}); err == nil {
			t.Errorf("%q: no error", theirs)
		}
	}
}

func TestBenchGroupsByTopic(t *testing.T) {
	file := vectorFile(t, `[
		{"name": "1", "topic": "b", "given": {}, "want": {"error": "e"}, "source": "common practice, no source"},
		{"name": "2", "topic": "a", "given": {}, "want": {"error": "e"}, "source": "common practice, no source"},
		{"name": "3", "topic": "b", "given": {}, "want": {"x": 1}, "source": "common practice, no source"}]`)
	cases, faults := load([]string{file})
	var out bytes.Buffer
	_, err := (options{host: "echo", each: time.Microsecond}).measure(&echo{}, cases, faults, &out)
	want := "topic\thost\tcases\tns/call\tallocs/call\nb\techo\t1\t1000\t3.0\n"
	if err != nil || out.String() != want {
		t.Errorf("said %q, %v", out.String(), err)
	}
	if _, err := (options{}).measure(&echo{}, cases[:2], nil, &out); err == nil {
		t.Error("refusals alone were measured")
	}
}

// From here on the native core answers.

func TestNativeRun(t *testing.T) {
	right := `{"name": "right", "topic": "tear.grade", "given": {}, "want": {"grade": "undetermined", "settled": false}, "source": "common practice, no source"}`
	wrong := `{"name": "wrong", "topic": "tear.grade", "given": {}, "want": {"grade": "none"}, "source": "common practice, no source"}`
	unknown := `{"name": "unknown", "topic": "tear.great", "given": {}, "want": {"grade": null}, "source": "common practice, no source"}`
	refused := `{"name": "refused", "topic": "tear.great", "given": {}, "want": {"error": "topic_unknown"}, "source": "common practice, no source"}`
	float := `{"name": "float", "topic": "bleeding.assess", "given": {"pulse": 80.5}, "want": {"error": "wrong_type"}, "source": "common practice, no source"}`
	twice := `{"name": "twice", "topic": "bleeding.assess", "given": {"pulse": 80, "pulse": 90}, "want": {"error": "key_twice"}, "source": "common practice, no source"}`
	for _, c := range []struct {
		name, text, said string
		status           int
	}{
		{"right", right, "1 passed, 0 failed", 0},
		{"wrong", right + "," + wrong, "1 passed, 1 failed", 1},
		{"unknown topic", unknown, `got "topic_unknown"`, 1},
		{"unknown topic, wanted", refused, "1 passed", 0},
		{"a float and a key twice reach the boundary", float + "," + twice, "2 passed", 0},
	} {
		var out, errs bytes.Buffer
		status := run([]string{vectorFile(t, "["+c.text+"]")}, &out, &errs)
		if status != c.status || !strings.Contains(out.String(), c.said) || errs.Len() > 0 {
			t.Errorf("%s: status %d, said %q %q", c.name, status, out.String(), errs.String())
		}
	}
}

func TestNativeBench(t *testing.T) {
	file := vectorFile(t, `[{"name": "n", "topic": "tear.grade", "given": {}, "want": {"grade": "undetermined"}, "source": "common practice, no source"}]`)
	var out, errs bytes.Buffer
	if status := run([]string{"-bench", "-each", "1ms", file}, &out, &errs); status != 0 {
		t.Fatalf("status %d: %s", status, errs.String())
	}
	if lines := strings.Split(out.String(), "\n"); len(lines) != 3 || strings.HasSuffix(lines[1], "\t0\t0.0") {
		t.Errorf("said %q", out.String())
	}
}

func TestCommandLine(t *testing.T) {
	file := vectorFile(t, one(`{}`, `{"a": 1}`))
	for _, args := range [][]string{
		{},
		{"-host", "moon", file},
		{"-pack", filepath.Join(t.TempDir(), "none"), file},
		{"-nonsense", file},
	} {
		var out, errs bytes.Buffer
		if status := run(args, &out, &errs); status != 2 || errs.Len() == 0 {
			t.Errorf("%q: status %d, said %q", args, status, errs.String())
		}
	}
}

// TestMain lets this test program stand in for a host that speaks lines.
func TestMain(m *testing.M) {
	if behaviour := os.Getenv("VECTORS_TEST_HOST"); behaviour != "" {
		pretendHost(behaviour)
	}
	os.Exit(m.Run())
}

func TestLineHost(t *testing.T) {
	for _, c := range []struct{ behaviour, wrong string }{
		{"echo", ""},
		{"refuse", "not understood"},
		{"die", "the host is gone"},
		{"noise", "not base64"},
	} {
		t.Setenv("VECTORS_TEST_HOST", c.behaviour)
		h, err := program{run: []string{os.Args[0]}}.start([]byte("pack"))
		if err != nil {
			t.Fatal(err)
		}
		reply, err := h.Call("t.t", []byte("\x80"))
		if c.wrong == "" && (err != nil || string(reply) != "\x80") {
			t.Errorf("%s: %x, %v", c.behaviour, reply, err)
		}
		if c.wrong != "" && (err == nil || !strings.Contains(err.Error(), c.wrong)) {
			t.Errorf("%s: %v", c.behaviour, err)
		}
		if c.behaviour == "echo" {
			if got, err := h.Bench("t.t", []byte("\x80"), 9); err != nil || got != (cost{12.5, 9}) {
				t.Errorf("bench: %v, %v", got, err)
			}
		}
		if err := h.Close(); err != nil && !errors.Is(err, os.ErrClosed) {
			t.Errorf("%s: close: %v", c.behaviour, err)
		}
	}
}

func TestHostThatIsNotThere(t *testing.T) {
	if _, err := (program{run: []string{"no-such-program-anywhere"}}).start(nil); err == nil {
		t.Error("started")
	}
}
