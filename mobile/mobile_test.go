package mobile

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/tinylib/msgp/msgp"

	"fourchette/core/companion"
	"fourchette/core/pack"
)

var nothing = []byte{0x80} // msgpack: an empty map

func testPack(t *testing.T) []byte {
	t.Helper()
	b, err := pack.Pack{Schema: pack.Schema, ID: "test", Version: "0"}.Store()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func mustOpen(t *testing.T, folder string) *Core {
	t.Helper()
	c, err := Open(folder, testPack(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	return c
}

// errorCode is the reply's error code, "" when it is no refusal.
func errorCode(t *testing.T, reply []byte) string {
	t.Helper()
	v, rest, err := msgp.ReadMapStrIntfBytes(reply, nil)
	if err != nil || len(rest) > 0 {
		t.Fatalf("reply %x is not one map: %v", reply, err)
	}
	code, _ := v["error"].(string)
	return code
}

func TestCall(t *testing.T) {
	c := mustOpen(t, "")
	if got := errorCode(t, c.Call("companion.about", nothing)); got != "" {
		t.Errorf("companion.about: refused: %s", got)
	}
	if got := errorCode(t, c.Call("no.such.topic", nothing)); got != companion.FaultTopicUnknown {
		t.Errorf("no.such.topic: got %q", got)
	}
}

// Java lends its bytes for the length of a call and may change them after it.
func TestBytesAreNotKept(t *testing.T) {
	packed := testPack(t)
	c, err := Open("", packed, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	before := c.Call("companion.about", nothing)
	clear(packed)
	if after := c.Call("companion.about", nothing); string(before) != string(after) {
		t.Errorf("the pack's bytes were kept: %q, then %q", before, after)
	}
}

func TestClosedCoreSaysSo(t *testing.T) {
	c := mustOpen(t, "")
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]*Core{"closed": c, "never opened": new(Core)} {
		if got := errorCode(t, c.Call("companion.about", nothing)); got != CodeClosed {
			t.Errorf("%s: got %q", name, got)
		}
		if err := c.Close(); err != nil {
			t.Errorf("%s: close: %v", name, err)
		}
	}
}

func TestFolderHasOneOwner(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new", "records")
	first := mustOpen(t, folder)
	if _, err := Open(folder, testPack(t), nil); err == nil || !strings.Contains(err.Error(), "open already") {
		t.Errorf("a second core: %v", err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	mustOpen(t, folder)
}

// A core that could not be opened must not keep the folder locked.
func TestRefusedOpenGivesTheFolderBack(t *testing.T) {
	folder := t.TempDir()
	if _, err := Open(folder, nil, nil); err == nil || !strings.Contains(err.Error(), companion.FaultPackMissing) {
		t.Errorf("without a pack: %v", err)
	}
	mustOpen(t, folder)
}

func TestFolderThatCannotBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(file, testPack(t), nil); err == nil {
		t.Error("a file was taken for a folder")
	}
}

type falling struct{}

func (falling) Call(string, []byte) []byte { panic("fell in call") }
func (falling) Close() error               { panic("fell in close") }

func TestPanicsEndHere(t *testing.T) {
	c := &Core{core: falling{}}
	reply := c.Call("tear.grade", nothing)
	if got := errorCode(t, reply); got != companion.FaultInternal {
		t.Errorf("call: got %q", got)
	}
	if !strings.Contains(string(reply), "fell in call") || !strings.Contains(string(reply), "tear.grade") {
		t.Errorf("the reply does not say what fell and where: %q", reply)
	}
	if err := c.Close(); err == nil || !strings.Contains(err.Error(), "fell in close") {
		t.Errorf("close: %v", err)
	}
	if got := errorCode(t, c.Call("tear.grade", nothing)); got != CodeClosed {
		t.Errorf("after close: got %q", got)
	}
	var none *Core
	if got := errorCode(t, none.Call("tear.grade", nothing)); got != companion.FaultInternal {
		t.Errorf("no core at all: got %q", got)
	}
}

// Threads of an application call as they like; run with -race.
func TestCallsFromManyThreads(t *testing.T) {
	c := mustOpen(t, t.TempDir())
	want := string(c.Call("companion.about", nothing))
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 50 {
				if got := string(c.Call("companion.about", nothing)); got != want {
					t.Errorf("got %q, wanted %q", got, want)
				}
			}
		})
	}
	all.Wait()
}
