package main

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// A program is a host outside this process. It is given the content pack's
// file and speaks lines:
//
//	topic REQUEST          -> REPLY            both in base64
//	bench topic REQUEST n  -> NS ALLOCATIONS   a call, mean of n calls
//	anything else          -> ! what is wrong
//
// The end of its input ends it.
type program struct {
	build []string // the command that builds it
	run   []string // the command that starts it; the pack's file is added
}

// programs are the hosts beside the native one. Both commands are run in the
// module's root.
var programs = map[string]program{
	"wasm": {
		build: []string{"go", "run", "./wasm/serve", "-build-only"},
		run:   []string{"node", "wasm/app/node/linehost.mjs"},
	},
	"jvm": {
		build: []string{"go", "run", "./mobile/jvm"},
		run:   []string{"java", "-Djava.library.path=mobile/.build", "-cp", "mobile/.build/classes", "LineHost"},
	},
}

func (p program) make() error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	cmd := exec.Command(p.build[0], p.build[1:]...)
	cmd.Dir = root
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("cannot build the host: %s: %w\n%s", strings.Join(p.build, " "), err, said)
	}
	return nil
}

func (p program) start(pack []byte) (host, error) {
	root, err := moduleRoot()
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp("", "vectors-")
	if err != nil {
		return nil, err
	}
	packFile := filepath.Join(folder, "pack")
	if err := os.WriteFile(packFile, pack, 0o600); err != nil {
		return nil, err
	}
	args := append(p.run[1:len(p.run):len(p.run)], packFile)
	h := &lineHost{folder: folder, cmd: exec.Command(p.run[0], args...)}
	h.cmd.Dir = root
	h.cmd.Stderr = &h.complaint
	return h, h.start()
}

// lineHost is a running program.
type lineHost struct {
	folder    string // holds the pack while the program runs
	cmd       *exec.Cmd
	in        io.WriteCloser
	out       *bufio.Reader
	complaint bytes.Buffer // what it wrote to its standard error
}

func (h *lineHost) start() (err error) {
	if h.in, err = h.cmd.StdinPipe(); err != nil {
		return err
	}
	out, err := h.cmd.StdoutPipe()
	if err != nil {
		return err
	}
	h.out = bufio.NewReader(out)
	if err := h.cmd.Start(); err != nil {
		os.RemoveAll(h.folder)
		return fmt.Errorf("cannot start the host: %w", err)
	}
	return nil
}

func (h *lineHost) Call(topic string, request []byte) ([]byte, error) {
	line, err := h.ask(topic + " " + base64.StdEncoding.EncodeToString(request))
	if err != nil {
		return nil, err
	}
	reply, err := base64.StdEncoding.DecodeString(line)
	if err != nil {
		return nil, fmt.Errorf("the host answered %q, which is not base64", line)
	}
	return reply, nil
}

func (h *lineHost) Bench(topic string, request []byte, n int) (cost, error) {
	line, err := h.ask(fmt.Sprintf("bench %s %s %d", topic, base64.StdEncoding.EncodeToString(request), n))
	if err != nil {
		return cost{}, err
	}
	var c cost
	if _, err := fmt.Sscan(line, &c.nanoseconds, &c.allocations); err != nil {
		return cost{}, fmt.Errorf("the host answered %q, which is not a cost", line)
	}
	return c, nil
}

// longest is how long a host may take for one line before it counts as hung.
const longest = time.Minute

func (h *lineHost) ask(line string) (string, error) {
	hung := time.AfterFunc(longest, func() { h.cmd.Process.Kill() })
	defer hung.Stop()
	if _, err := io.WriteString(h.in, line+"\n"); err != nil {
		return "", h.gone(err)
	}
	answer, err := h.out.ReadString('\n')
	if err != nil {
		return "", h.gone(err)
	}
	answer = strings.TrimSuffix(answer, "\n")
	if what, bad := strings.CutPrefix(answer, "! "); bad {
		return "", fmt.Errorf("the host refused the line %.80q: %s", line, what)
	}
	return answer, nil
}

// gone says how the program ended, with what it complained of.
func (h *lineHost) gone(err error) error {
	h.in.Close()
	ended := h.cmd.Wait()
	return fmt.Errorf("the host is gone (%w, %v)\n%s", err, ended, h.complaint.Bytes())
}

// Close ends the program by ending its input.
func (h *lineHost) Close() error {
	defer os.RemoveAll(h.folder)
	if h.cmd.ProcessState != nil { // gone has seen it end
		return nil
	}
	hung := time.AfterFunc(longest, func() { h.cmd.Process.Kill() })
	defer hung.Stop()
	h.in.Close()
	if err := h.cmd.Wait(); err != nil {
		return fmt.Errorf("the host ended badly: %w\n%s", err, h.complaint.Bytes())
	}
	return nil
}

func moduleRoot() (string, error) {
	said, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("cannot ask go for this module: %w", err)
	}
	mod := strings.TrimSpace(string(said))
	if filepath.Base(mod) != "go.mod" {
		return "", errors.New("run this inside the module: no go.mod above here")
	}
	return filepath.Dir(mod), nil
}
