//go:build jvmtest

// Command linehost is LineHost.java in Go: it answers topics line by line, so
// that what hosts write can be compared. Built for js/wasm it runs under
// Node.js and keeps its files through it.
//
//	linehost PACK          PACK: the file with the content pack
//	topic REQUEST          -> REPLY            both in base64
//	open FOLDER SEED       -> ok               records there from now on
//	derive PIN RECIPE      -> KEY
//	anything else          -> ! what is wrong
//
// The end of the input ends the program. Only tests build it.
package main

import (
	"bufio"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"

	"fourchette/mobile"
)

func main() {
	pack, err := os.ReadFile(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, "linehost:", err)
		os.Exit(1)
	}
	h := host{pack: pack, core: new(mobile.Core)}
	lines := bufio.NewScanner(os.Stdin)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		said, err := h.answer(strings.Split(lines.Text(), " "))
		if err != nil {
			said = "! " + strings.ReplaceAll(err.Error(), "\n", " ")
		}
		fmt.Println(said)
	}
	h.core.Close()
}

type host struct {
	pack []byte
	core *mobile.Core
}

func (h *host) answer(words []string) (string, error) {
	switch {
	case len(words) == 2:
		request, err := base64.StdEncoding.DecodeString(words[1])
		return base64.StdEncoding.EncodeToString(h.core.Call(words[0], request)), err
	case len(words) == 3 && words[0] == "open":
		return "ok", h.open(words[1], words[2])
	case len(words) == 3 && words[0] == "derive":
		return mobile.Derive(words[1], words[2])
	}
	return "", errors.New("not a line of this protocol")
}

func (h *host) open(folder, seed string) error {
	n, err := strconv.ParseInt(seed, 10, 64)
	if err != nil {
		return err
	}
	if err := h.core.Close(); err != nil {
		return err
	}
	core, err := mobile.Fixed(folder, h.pack, n)
	if err != nil {
		return err
	}
	h.core = core
	return nil
}
