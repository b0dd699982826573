package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/core/pack"
)

// testFolder is a folder inside this module, which the build needs, and of
// this test's own.
func testFolder(t *testing.T) string {
	t.Helper()
	root, err := moduleRoot()
	if err != nil {
		t.Fatal(err)
	}
	parent := filepath.Join(root, "mobile", ".build")
	if err := os.MkdirAll(parent, 0o755); err != nil {
		t.Fatal(err)
	}
	folder, err := os.MkdirTemp(parent, "test-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	return folder
}

func TestBoundaryOnAJVM(t *testing.T) {
	out := testFolder(t)
	if err := build(out, bound); err != nil {
		t.Fatal(err)
	}
	bytes, err := pack.Pack{Schema: pack.Schema, ID: "test", Version: "0"}.Store()
	if err != nil {
		t.Fatal(err)
	}
	packFile := filepath.Join(out, "pack")
	if err := os.WriteFile(packFile, bytes, 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := java(out, "BoundaryTest", packFile)
	if err != nil || strings.Contains(said, "FAILED") || !strings.HasSuffix(said, " passed, 0 failed\n") {
		t.Errorf("%v\n%s", err, said)
	}
	refusesNoise(t, out, packFile)
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
	err := build(testFolder(t), "fourchette/mobile/jvm/testdata/gaps")
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
