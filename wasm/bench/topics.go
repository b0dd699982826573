package main

import (
	"bytes"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"fourchette/wasm/browser"
)

// hosts of the core, the rival of the others first.
var hosts = []string{"native", "wasm", "jvm"}

// A topicCost is what one call of a topic takes, as the mean over its cases.
type topicCost struct {
	nanoseconds float64
	allocations float64
}

// turns is how often every topic is measured on every host.
const turns = 3

// lowest keeps of each topic's costs the lower: what another program on this
// machine adds is no cost of ours.
func lowest(before, now map[string]topicCost) map[string]topicCost {
	for topic, c := range before {
		if n, again := now[topic]; again {
			now[topic] = topicCost{min(c.nanoseconds, n.nanoseconds), min(c.allocations, n.allocations)}
		}
	}
	return now
}

// topics lets the vectors' command measure every topic on every host.
func topics(m *made) ([]row, error) {
	repo, err := browser.Root()
	if err != nil {
		return nil, err
	}
	files, err := filepath.Glob(filepath.Join(repo, "testdata", "vectors", "*.json"))
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("no vector file found (%v)", err)
	}
	tool := m.path("vectors")
	measured := map[string]map[string]topicCost{}
	var order []string
	if _, err := command(m, repo, "go", "build", "-o", tool, "./core/vectors"); err != nil {
		return nil, err
	}
	for turn := range turns { // the hosts take turns, so that all meet the same weather
		for _, host := range hosts {
			args := append([]string{"-bench", "-each", "100ms", "-host", host, fmt.Sprintf("-built=%t", turn > 0)}, files...)
			out, err := command(m, repo, tool, args...)
			if err != nil {
				return nil, err
			}
			costs, names, err := parseTopics(out, host)
			if err != nil {
				return nil, fmt.Errorf("on %s: %w", host, err)
			}
			measured[host], order = lowest(measured[host], costs), names
		}
	}
	return topicRows(measured, order)
}

func command(m *made, dir, name string, args ...string) (string, error) {
	cmd := exec.CommandContext(m.ctx, name, args...)
	cmd.Dir = dir
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		return "", fmt.Errorf("%s %.60s: %w\n%s%s", name, strings.Join(args, " "), err, out.String(), errs.String())
	}
	return out.String(), nil
}

const topicHeader = "topic\thost\tcases\tns/call\tallocs/call"

// parseTopics reads what the vectors' command prints, and the order of its
// topics. What it cannot read is an error: a line that is left out would be a
// cost that nobody sees.
func parseTopics(out, host string) (map[string]topicCost, []string, error) {
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if lines[0] != topicHeader || len(lines) == 1 {
		return nil, nil, fmt.Errorf("this is no table of topics:\n%s", out)
	}
	costs := map[string]topicCost{}
	var order []string
	for _, line := range lines[1:] {
		f := strings.Split(line, "\t")
		if len(f) != 5 || f[1] != host {
			return nil, nil, fmt.Errorf("%q is no cost of a topic on %s", line, host)
		}
		ns, err1 := strconv.ParseFloat(f[3], 64)
		allocs, err2 := strconv.ParseFloat(f[4], 64)
		if err := errors.Join(err1, err2); err != nil {
			return nil, nil, fmt.Errorf("%q: %w", line, err)
		}
		if _, twice := costs[f[0]]; twice {
			return nil, nil, fmt.Errorf("%s comes twice", f[0])
		}
		costs[f[0]] = topicCost{ns, allocs}
		order = append(order, f[0])
	}
	return costs, order, nil
}

// topicRows sets every host beside the first one. A topic that one host has
// and another has not is an error.
func topicRows(measured map[string]map[string]topicCost, order []string) ([]row, error) {
	var rows []row
	for _, topic := range order {
		native, known := measured[hosts[0]][topic]
		for _, host := range hosts {
			c, here := measured[host][topic]
			if !known || !here || len(measured[host]) != len(order) {
				return nil, fmt.Errorf("%s was not measured on %s, or not beside %s", topic, host, hosts[0])
			}
			name := "topic." + topic + "." + host
			rows = append(rows,
				row{name: name, unit: "ns", ours: c.nanoseconds, rival: hosts[0], theirs: native.nanoseconds, goal: "-"},
				row{name: name + ".allocs", unit: "allocs", ours: c.allocations, rival: hosts[0], theirs: native.allocations, goal: "-"})
		}
	}
	return rows, nil
}
