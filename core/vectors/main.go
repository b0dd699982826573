// Command vectors sends the cases of vector files through the boundary and
// compares the replies with what a published source wants.
//
//	go run ./core/vectors [-host native|wasm|jvm] [-replies FILE] [-compare FILE] FILE…
//	go run ./core/vectors -bench [-host native|wasm|jvm] FILE…
//
// Start with run. The files' form is told in testdata/vectors/README.md: case.go
// reads them, msgpack.go turns requests and replies into bytes and back,
// compare.go compares, and a host (native.go, line.go) answers.
//
// It prints each mismatch with its source, closes with "N passed, N failed",
// and exits 1 when anything failed. A file without a case, a case that could
// not fail, and a case whose source is not told are failures too. It exits 2
// when it could not begin.
//
// This is the one command under core, and the one exception to its arrows: it
// reads files and starts the other hosts.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"time"

	"fourchette/core/pack"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// options are what the command line says.
type options struct {
	host    string
	pack    string
	built   bool
	replies string
	compare string
	bench   bool
	each    time.Duration
	files   []string
}

func run(args []string, stdout, stderr io.Writer) int {
	o, err := parse(args, stderr)
	if errors.Is(err, flag.ErrHelp) {
		return 0
	}
	if err != nil {
		return 2
	}
	failed, err := o.answer(stdout)
	if err != nil {
		fmt.Fprintln(stderr, "vectors:", err)
		return 2
	}
	if failed > 0 {
		return 1
	}
	return 0
}

func parse(args []string, stderr io.Writer) (options, error) {
	var o options
	f := flag.NewFlagSet("vectors", flag.ContinueOnError)
	f.SetOutput(stderr)
	f.StringVar(&o.host, "host", "native", "who answers: native, wasm (under Node.js) or jvm (through the Android binding)")
	f.StringVar(&o.pack, "pack", "", "the content pack's file (default: a pack that chooses nothing)")
	f.BoolVar(&o.built, "built", false, "take the host as it was last built instead of building it first")
	f.StringVar(&o.replies, "replies", "", "write each reply to this file: name, tab, bytes in hex")
	f.StringVar(&o.compare, "compare", "", "the replies must equal those in this file, byte for byte")
	f.BoolVar(&o.bench, "bench", false, "measure each topic instead of comparing replies")
	f.DurationVar(&o.each, "each", 300*time.Millisecond, "how long to measure each topic")
	if err := f.Parse(args); err != nil {
		return o, err
	}
	o.files = f.Args()
	if len(o.files) == 0 {
		err := errors.New("name at least one vector file")
		fmt.Fprintln(stderr, "vectors:", err)
		return o, err
	}
	return o, nil
}

// answer loads the files, opens the host and does what was asked. It counts
// what failed; an error means that it could not begin or go on.
func (o options) answer(stdout io.Writer) (failed int, err error) {
	cases, faults := load(o.files)
	packed, err := o.packBytes()
	if err != nil {
		return 0, err
	}
	h, err := openHost(o.host, packed, o.built)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, h.Close()) }()
	if o.bench {
		return o.measure(h, cases, faults, stdout)
	}
	return o.check(h, cases, faults, stdout)
}

func (o options) packBytes() ([]byte, error) {
	if o.pack != "" {
		return os.ReadFile(o.pack)
	}
	return pack.Pack{Schema: pack.Schema, ID: "vectors", Version: "0"}.Store()
}

// check compares every reply, and says what did not hold.
func (o options) check(h host, cases []testCase, faults []fault, stdout io.Writer) (failed int, err error) {
	for _, f := range faults {
		fmt.Fprintln(stdout, f)
	}
	failed = len(faults)
	passed := 0
	var replies []namedReply
	for _, c := range cases {
		reply, err := h.Call(c.Topic, c.Request)
		if err != nil {
			return failed, fmt.Errorf("%s: %s: %w", c.Name, c.Topic, err)
		}
		replies = append(replies, namedReply{c.Name, reply})
		wrong := mismatches(c, reply)
		for _, m := range wrong {
			fmt.Fprintln(stdout, m)
		}
		if len(wrong) > 0 {
			failed++
		} else {
			passed++
		}
	}
	if o.replies != "" {
		if err := writeReplies(o.replies, replies); err != nil {
			return failed, err
		}
	}
	if o.compare != "" {
		differ, err := compareReplies(o.compare, replies, stdout)
		if err != nil {
			return failed, err
		}
		failed += differ
	}
	fmt.Fprintf(stdout, "%d passed, %d failed\n", passed, failed)
	return failed, nil
}
