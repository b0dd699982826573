package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fourchette/core/pack"
)

// freshFolder is a folder inside this module, which the build needs.
func freshFolder() (string, error) {
	root, err := moduleRoot()
	if err != nil {
		return "", err
	}
	parent := filepath.Join(root, "mobile", ".build")
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return "", err
	}
	return os.MkdirTemp(parent, "test-")
}

// binding is the build that the tests of one run share.
type binding struct {
	folder string // of the library and the classes
	pack   string // a content pack's file
	native string // the same host without a JVM
	wasm   string
}

var theBinding = sync.OnceValues(func() (b binding, err error) {
	if b.folder, err = freshFolder(); err != nil {
		return b, err
	}
	if err := build(b.folder, bound); err != nil {
		return b, err
	}
	bytes, err := pack.Pack{Schema: pack.Schema, ID: "test", Version: "0"}.Store()
	if err != nil {
		return b, err
	}
	b.pack, b.native, b.wasm = filepath.Join(b.folder, "pack"), filepath.Join(b.folder, "linehost"), filepath.Join(b.folder, "linehost.wasm")
	return b, errors.Join(
		os.WriteFile(b.pack, bytes, 0o600),
		lineHost(b.native),
		lineHost(b.wasm, "GOOS=js", "GOARCH=wasm"),
	)
})

func TestMain(m *testing.M) {
	code := m.Run()
	if b, _ := theBinding(); b.folder != "" {
		os.RemoveAll(b.folder)
	}
	os.Exit(code)
}

func built(t *testing.T) binding {
	t.Helper()
	b, err := theBinding()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// tells fails unless the Java program printed its checks and all of them held.
func tells(t *testing.T, said string, err error) {
	t.Helper()
	if err != nil || strings.Contains(said, "FAILED") || !strings.HasSuffix(said, " passed, 0 failed\n") {
		t.Errorf("%v\n%s", err, said)
	}
}

func TestBoundaryOnAJVM(t *testing.T) {
	b := built(t)
	said, err := java(b.folder, "BoundaryTest", b.pack)
	tells(t, said, err)
	refusesNoise(t, b.folder, b.pack)
}

// memory is a folder in memory, on a system that has one: these tests flush
// many thousand times, and nobody cuts the power.
func memory(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("/dev/shm", "fourchette-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	return folder
}

func TestRecordsOnAJVM(t *testing.T) {
	b := built(t)
	said, err := java(b.folder, "RecordsTest", b.pack, memory(t))
	tells(t, said, err)
	for line := range strings.Lines(said) {
		if strings.HasPrefix(line, "held") || strings.Contains(line, "opens and closes") || strings.Contains(line, "threads were told") {
			t.Log(strings.TrimSpace(line))
		}
	}
}

// refusesNoise feeds the line host what is not of its protocol: it must say
// so and live on.
func refusesNoise(t *testing.T, out, packFile string) {
	t.Helper()
	said, err := javaFed(out, "nonsense\nbench x\na b c d\ntopic *\nno.such.topic gA==\n", "LineHost", packFile)
	lines := strings.Split(strings.TrimSuffix(said, "\n"), "\n")
	if err != nil || len(lines) != 5 {
		t.Fatalf("%v\n%s", err, said)
	}
	for i, line := range lines {
		if refused := strings.HasPrefix(line, "! "); refused != (i < 4) {
			t.Errorf("line %d was answered with %q", i+1, line)
		}
	}
}

func java(out string, args ...string) (string, error) { return javaFed(out, "", args...) }

func javaFed(out, input string, args ...string) (string, error) {
	cmd := exec.Command("java", append([]string{"-Djava.library.path=" + out, "-cp", filepath.Join(out, "classes")}, args...)...)
	cmd.Stdin = strings.NewReader(input)
	said, err := cmd.CombinedOutput()
	return string(said), err
}

// gobind succeeds when it leaves something out. The build must not.
func TestWhatGobindLeavesOutFailsTheBuild(t *testing.T) {
	folder, err := freshFolder()
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(folder)
	err = build(folder, "fourchette/mobile/jvm/testdata/gaps")
	if err == nil || !strings.Contains(err.Error(), "function Lists") {
		t.Errorf("got %v", err)
	}
}

func TestGap(t *testing.T) {
	for text, found := range map[string]bool{
		"public static native int interface_();\n":                          false,
		"a\n// skipped method Core.List with unsupported parameter types\n": true,
		"": false,
	} {
		if err := gap("somewhere", []byte(text)); (err != nil) != found {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestNothingGeneratedIsAnError(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"src", "java"} {
		if err := os.Mkdir(filepath.Join(folder, name), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := (builder{out: folder}).refuseGaps(); err == nil {
		t.Error("an empty folder passed")
	}
}
