// Command jvm builds package mobile for a plain Java virtual machine, so that
// the binding an Android application uses can be tried without Android. Start
// with build.
//
//	go run ./mobile/jvm [-out FOLDER]
//
// It runs gobind, refuses what gobind left out, links the Go side as a shared
// library for this machine, and compiles the Java side with LineHost and
// BoundaryTest. It needs a C compiler and a JDK (JAVA_HOME, or javac on the
// path). The folder must lie inside this module; afterwards
//
//	java -Djava.library.path=FOLDER -cp FOLDER/classes LineHost PACK
//
// answers topics line by line.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// bound is the package that gobind binds, with what only tests are given.
const (
	bound = "fourchette/mobile"
	tags  = "jvmtest"
)

func main() {
	out := flag.String("out", "mobile/.build", "the folder to build into, inside this module")
	flag.Parse()
	if err := build(*out, bound); err != nil {
		fmt.Fprintln(os.Stderr, "mobile/jvm:", err)
		os.Exit(1)
	}
}

// build makes libgojni.so and classes/ in the folder.
func build(out, pkg string) error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	b := builder{root: root, out: out}
	if !filepath.IsAbs(out) {
		b.out = filepath.Join(root, out)
	}
	if b.jdk, err = findJDK(); err != nil {
		return err
	}
	for _, step := range []func() error{
		b.clear,
		func() error { return b.bind(pkg) },
		b.refuseGaps,
		b.rename,
		b.link,
		b.compile,
	} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// A builder knows where things are: absolute paths.
type builder struct {
	root string // this module
	out  string // what is built
	jdk  string // the Java development kit
}

func (b builder) path(parts ...string) string {
	return filepath.Join(append([]string{b.out}, parts...)...)
}

// clear takes away what an earlier build generated: a class that is no longer
// bound must not linger.
func (b builder) clear() error {
	for _, name := range []string{"src", "java", "classes", "c"} {
		if err := os.RemoveAll(b.path(name)); err != nil {
			return err
		}
	}
	return os.MkdirAll(b.out, 0o755)
}

func (b builder) bind(pkg string) error {
	said, err := b.run(nil, "go", "tool", "gobind", "-lang=go,java", "-tags="+tags, "-outdir="+b.out, pkg)
	if err != nil {
		return err
	}
	return gap("gobind", said)
}

// refuseGaps fails when gobind left something out: it only says so in a
// comment of what it generates, and succeeds.
func (b builder) refuseGaps() error {
	found := 0
	for _, top := range []string{"src", "java"} {
		err := filepath.WalkDir(b.path(top), func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			found++
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			return gap(path, text)
		})
		if err != nil {
			return err
		}
	}
	if found == 0 {
		return fmt.Errorf("gobind generated nothing in %s", b.out)
	}
	return nil
}

// gap finds gobind's word for what it left out.
func gap(where string, text []byte) error {
	for line := range bytes.Lines(text) {
		if bytes.Contains(line, []byte("skipped")) {
			return fmt.Errorf("%s: gobind left something out: %s; use types it passes: string, []byte, bool, int32, int64, float64, error, pointers to structs",
				where, strings.TrimSpace(string(line)))
		}
	}
	return nil
}

// rename takes the word android out of the names of the C and Go files: the
// go command builds files so named for Android only.
func (b builder) rename() error {
	dir := b.path("src", "gobind")
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		for _, ext := range []string{".c", ".go"} {
			name, android := strings.CutSuffix(e.Name(), "_android"+ext)
			if !android {
				continue
			}
			if err := os.Rename(filepath.Join(dir, e.Name()), filepath.Join(dir, name+"_jvm"+ext)); err != nil {
				return err
			}
		}
	}
	return nil
}

// logHeader stands in for Android's header of this name.
const logHeader = `#include <stdio.h>
#define ANDROID_LOG_INFO 4
#define ANDROID_LOG_FATAL 7
#define __android_log_print(level, tag, ...) (fprintf(stderr, "%s: ", tag), fprintf(stderr, __VA_ARGS__), fputc('\n', stderr))
`

// emptyArchive stands in for Android's log library: an ar archive without
// members.
const emptyArchive = "!<arch>\n"

// link builds the shared library.
func (b builder) link() error {
	if err := os.MkdirAll(b.path("c", "android"), 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(b.path("c", "android", "log.h"), []byte(logHeader), 0o644); err != nil {
		return err
	}
	if err := os.WriteFile(b.path("c", "liblog.a"), []byte(emptyArchive), 0o644); err != nil {
		return err
	}
	include := filepath.Join(b.jdk, "include")
	env := []string{
		"CGO_ENABLED=1",
		fmt.Sprintf("CGO_CFLAGS=-O2 -D__GOBIND_ANDROID__ -Wno-incompatible-pointer-types -I%s -I%s -I%s",
			include, filepath.Join(include, "linux"), b.path("c")),
		"CGO_LDFLAGS=-L" + b.path("c"),
	}
	_, err := b.run(env, "go", "build", "-tags="+tags, "-trimpath", "-ldflags=-s -w", "-buildmode=c-shared",
		"-o", b.path("libgojni.so"), b.path("src", "gobind"))
	return err
}

// compile builds the Java side: what gobind generated and what stands beside
// this file.
func (b builder) compile() error {
	var sources []string
	for _, top := range []string{b.path("java"), filepath.Join(b.root, "mobile", "jvm", "java")} {
		err := filepath.WalkDir(top, func(path string, d os.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(path, ".java") {
				sources = append(sources, path)
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	args := append([]string{"--release", "11", "-nowarn", "-encoding", "UTF-8", "-d", b.path("classes")}, sources...)
	_, err := b.run(nil, filepath.Join(b.jdk, "bin", "javac"), args...)
	return err
}

// run runs a command in the module's root and gives back all it said.
func (b builder) run(env []string, name string, args ...string) ([]byte, error) {
	cmd := exec.Command(name, args...)
	cmd.Dir = b.root
	cmd.Env = append(os.Environ(), env...)
	said, err := cmd.CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("%s %s: %w\n%s", filepath.Base(name), args[0], err, said)
	}
	return said, nil
}

func moduleRoot() (string, error) {
	said, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("cannot ask go for this module: %w", err)
	}
	mod := strings.TrimSpace(string(said))
	if filepath.Base(mod) != "go.mod" {
		return "", fmt.Errorf("run this inside the module: no go.mod above here")
	}
	return filepath.Dir(mod), nil
}

// findJDK looks where JAVA_HOME points, then where javac is.
func findJDK() (string, error) {
	home := os.Getenv("JAVA_HOME")
	if home == "" {
		javac, err := exec.LookPath("javac")
		if err != nil {
			return "", fmt.Errorf("no javac on the path: install a JDK (Debian: openjdk-17-jdk-headless) or set JAVA_HOME")
		}
		if javac, err = filepath.EvalSymlinks(javac); err != nil {
			return "", err
		}
		home = filepath.Dir(filepath.Dir(javac))
	}
	if _, err := os.Stat(filepath.Join(home, "include", "jni.h")); err != nil {
		return "", fmt.Errorf("%s is not a JDK with headers: install one (Debian: openjdk-17-jdk-headless) or set JAVA_HOME: %w", home, err)
	}
	return home, nil
}
