package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fourchette/core/companion"
)

// A host is the core in a program of its own that speaks lines: LineHost.java
// on the JVM, linehost natively and, as WASM, under Node.js.
type host struct {
	t    *testing.T
	name string
	in   io.WriteCloser
	out  *bufio.Reader
}

// hosts starts the three.
func hosts(t *testing.T) []*host {
	t.Helper()
	b := built(t)
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	wasmExec := filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec_node.js")
	return []*host{
		started(t, "native", b.native, b.pack),
		started(t, "jvm", "java", "-Djava.library.path="+b.folder, "-cp", filepath.Join(b.folder, "classes"), "LineHost", b.pack),
		started(t, "wasm", "node", wasmExec, b.wasm, b.pack),
	}
}

// lineHost builds the program in Go.
func lineHost(program string, env ...string) error {
	cmd := exec.Command("go", "build", "-tags="+tags, "-o", program, "fourchette/mobile/jvm/linehost")
	cmd.Env = append(os.Environ(), env...)
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, said)
	}
	return nil
}

func started(t *testing.T, name string, command ...string) *host {
	t.Helper()
	cmd := exec.Command(command[0], command[1:]...)
	in, err1 := cmd.StdinPipe()
	out, err2 := cmd.StdoutPipe()
	cmd.Stderr = os.Stderr
	if err := errors.Join(err1, err2, cmd.Start()); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	t.Cleanup(func() {
		in.Close()
		hung := time.AfterFunc(time.Minute, func() { cmd.Process.Kill() })
		defer hung.Stop()
		if err := cmd.Wait(); err != nil {
			t.Errorf("%s ended badly: %v", name, err)
		}
	})
	return &host{t, name, in, bufio.NewReader(out)}
}

// ask sends a line and returns the answer; what is wrong begins with "! ".
func (h *host) ask(line string) string {
	h.t.Helper()
	if _, err := io.WriteString(h.in, line+"\n"); err != nil {
		h.t.Fatalf("%s: %v", h.name, err)
	}
	answer, err := h.out.ReadString('\n')
	if err != nil {
		h.t.Fatalf("%s: %v", h.name, err)
	}
	return strings.TrimSuffix(answer, "\n")
}

func (h *host) open(folder string, seed int) {
	h.t.Helper()
	if said := h.ask(fmt.Sprintf("open %s %d", folder, seed)); said != "ok" {
		h.t.Fatalf("%s: %s", h.name, said)
	}
}

// call fails the test when the topic refuses.
func (h *host) call(topic string, request any) []byte {
	h.t.Helper()
	line := h.ask(topic + " " + base64.StdEncoding.EncodeToString(companion.Encode(request)))
	reply, err := base64.StdEncoding.DecodeString(line)
	var f companion.Fault
	if err == nil {
		_ = companion.DecodeReply(reply, &f)
	}
	if err != nil || f.Code != "" {
		h.t.Fatalf("%s: %s: %q %v %v", h.name, topic, line, &f, err)
	}
	return reply
}

func decoded[A any](h *host, reply []byte) (a A) {
	h.t.Helper()
	if f := companion.DecodeReply(reply, &a); f != nil {
		h.t.Fatalf("%s: %v", h.name, f)
	}
	return a
}

// seen is all that a host tells of the records: replies as bytes.
func (h *host) seen() string {
	h.t.Helper()
	list := h.call("birth.list", &companion.Nothing{})
	var all bytes.Buffer
	all.Write(list)
	for _, b := range decoded[companion.BirthList](h, list).Births {
		all.Write(h.call("birth.show", &companion.BirthRequest{Birth: b.Birth}))
		all.Write(h.call("course.walk", &companion.BirthRequest{Birth: b.Birth}))
	}
	return all.String()
}

const pin = "739104"

// derived makes a key on this host.
func (h *host) derived(recipe string) string {
	h.t.Helper()
	key := h.ask("derive " + pin + " " + recipe)
	if len(key) != 64 {
		h.t.Fatalf("%s: %s", h.name, key)
	}
	return key
}

func (h *host) setPIN() {
	h.t.Helper()
	r := decoded[companion.RecipeReply](h, h.call("lock.recipe", &companion.PINRequest{PIN: pin})).Recipe
	h.call("lock.set_pin", &companion.SetPINRequest{Recipe: r, Key: h.derived(r)})
}

func (h *host) unlock() {
	h.t.Helper()
	r := decoded[companion.RecipeReply](h, h.call("lock.try", &companion.Nothing{})).Recipe
	h.call("lock.unlock", &companion.KeyRequest{Key: h.derived(r)})
}

// typed is what somebody types into each record.
const typed = "magnésium 硫酸镁"

// write adds a birth with something of each kind of value.
func (h *host) write(turn int) {
	h.t.Helper()
	open := &companion.OpenRequest{Born: "now", Bed: fmt.Sprintf("سرير %d", turn), Another: true}
	id := decoded[companion.SavedReply](h, h.call("birth.open", open)).Birth
	n := 80 + turn
	h.call("birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: &n})
	h.call("birth.answer", &companion.AnswerRequest{Birth: id, Question: "other_medicines", Text: typed})
	h.call("birth.find", &companion.FindRequest{Birth: id, Finding: "external_sphincter", Value: "half_or_more"})
	h.call("birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	h.call("birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	h.call("birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
}

// sealedFrom is the turn in which the PIN is set: what was written before it is
// sealed then, by whoever has that turn.
const sealedFrom = 6

// turns lets the hosts write in one folder, one after the other. Each must see
// what the one before it saw, to the byte, and alter nothing by looking.
func turns(t *testing.T, folder string, order []*host) {
	t.Helper()
	last := ""
	for turn, h := range order {
		before := files(t, folder)
		h.open(folder, turn+1)
		if turn > sealedFrom {
			h.unlock()
		}
		now := h.seen()
		if turn > 0 && now != last {
			t.Errorf("turn %d: %s saw other records than %s:\n%q\n%q", turn, h.name, order[turn-1].name, now, last)
		}
		if after := files(t, folder); turn > 0 && turn <= sealedFrom && !maps.Equal(after, before) {
			t.Errorf("turn %d: looking altered the files", turn)
		}
		h.write(turn)
		if turn == sealedFrom {
			h.setPIN()
		}
		last = h.seen()
		if n := strings.Count(last, typed); n != 2*(turn+1) { // among the answers, and in the log
			t.Errorf("turn %d: %s tells %d times what was typed", turn, h.name, n)
		}
		h.open("", 0) // gives the folder up
		if in := readable(t, folder); in != (turn < sealedFrom) {
			t.Errorf("turn %d: what was typed can be read in the files: %v", turn, in)
		}
	}
}

// readable reports whether what was typed stands in any file.
func readable(t *testing.T, folder string) bool {
	t.Helper()
	for name := range files(t, folder) {
		b, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(b, []byte(typed)) {
			return true
		}
	}
	return false
}

// files are the hashes of a folder's files.
func files(t *testing.T, folder string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = fmt.Sprintf("%d bytes, %x", len(b), sha256.Sum256(b))
	}
	return all
}

// TestAJournalMovesBetweenHosts: each host goes on with what each other host
// wrote, open and sealed, and the files have the same bytes whoever wrote them.
func TestAJournalMovesBetweenHosts(t *testing.T) {
	three := hosts(t)
	native, jvm, wasm := three[0], three[1], three[2]
	round := []*host{native, jvm, wasm, native, wasm, jvm, native} // from each to each other
	round = append(round, round[1:]...)                            // open, and once more sealed
	mixed := memory(t)
	turns(t, mixed, round)
	want := files(t, mixed)
	for _, h := range three {
		alone := memory(t)
		turns(t, alone, slices.Repeat([]*host{h}, len(round)))
		if got := files(t, alone); !maps.Equal(got, want) {
			t.Errorf("%s alone wrote\n%v\nthe three in turns\n%v", h.name, got, want)
		}
	}
}

// kept lists the folders of testdata that hold all files of a phone.
func kept(t *testing.T) []string {
	t.Helper()
	open, err1 := filepath.Glob("../../testdata/journals/v*")
	sealed, err2 := filepath.Glob("../../testdata/sealed/v*")
	if err := errors.Join(err1, err2); err != nil || len(open) == 0 || len(sealed) == 0 {
		t.Fatalf("%d open and %d sealed folders are kept: %v", len(open), len(sealed), err)
	}
	return append(open, sealed...)
}

func isSealed(folder string) bool { return strings.Contains(folder, "sealed") }

// copied is a copy of a kept folder.
func copied(t *testing.T, folder string) string {
	t.Helper()
	to := memory(t)
	if err := os.CopyFS(to, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	return to
}

// TestKeptFilesOpenOnEveryHost: those of every version, with the same replies.
func TestKeptFilesOpenOnEveryHost(t *testing.T) {
	three := hosts(t)
	for _, folder := range kept(t) {
		var want string
		for i, h := range three {
			h.open(copied(t, folder), 1)
			if isSealed(folder) {
				h.unlock()
			}
			got := h.seen()
			h.open("", 0)
			if i == 0 {
				want = got
			}
			if got != want {
				t.Errorf("%s: %s tells\n%q\n%s\n%q", folder, h.name, got, three[0].name, want)
			}
		}
	}
}

// TestNewerFilesAreRefusedOnEveryHost: with the fault's code, and no byte
// altered.
func TestNewerFilesAreRefusedOnEveryHost(t *testing.T) {
	for _, h := range hosts(t) {
		for file, code := range map[string]string{
			"../../testdata/journals/v1/journal-00000002":      "journal_too_new",
			"../../testdata/sealed/v1/sealed-journal-00000001": "journal_too_new",
			"../../testdata/sealed/v1/keys-00000002":           "keys_too_new",
		} {
			folder := copied(t, filepath.Dir(file))
			makeNewer(t, filepath.Join(folder, filepath.Base(file)))
			before := files(t, folder)
			if said := h.ask("open " + folder + " 1"); !strings.HasPrefix(said, "! ") || !strings.Contains(said, code) {
				t.Errorf("%s: newer %s: %s", h.name, file, said)
			}
			if after := files(t, folder); !maps.Equal(after, before) {
				t.Errorf("%s: newer %s: the files were altered", h.name, file)
			}
		}
	}
}

// makeNewer gives a segment the next version: its first 16 bytes stay as they
// are in every version (core/journal).
func makeNewer(t *testing.T, path string) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	binary.LittleEndian.PutUint32(b[8:], binary.LittleEndian.Uint32(b[8:])+1)
	binary.LittleEndian.PutUint32(b[12:], crc32.Checksum(b[:12], crc32.MakeTable(crc32.Castagnoli)))
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
}
