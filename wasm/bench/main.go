package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Getenv("ONLY"), os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

// A cost is measured as one, and gives one row or several.
type cost struct {
	name    string // of its row; rows of several begin with it and a point
	measure func(*made) ([]row, error)
	noApp   bool // it is measured without the app
}

var costs = []cost{
	{"size.wasm", sizeOfProgram, false},
	{"size.app", sizeOfApp, false},
	{"start.cold", coldStart, false},
	{"tap.p95", taps, false},
	{"topic", topics, true},
	{"store", stores, true},
}

// run measures the costs whose names begin with only; "" is all of them.
func run(ctx context.Context, only string, out, notes io.Writer) error {
	chosen := choose(only)
	if len(chosen) == 0 {
		return fmt.Errorf("ONLY=%s names no cost: there are %s", only, strings.Join(names(), ", "))
	}
	m, err := build(ctx, notes, slices.ContainsFunc(chosen, func(c cost) bool { return !c.noApp }))
	if err != nil {
		return err
	}
	defer m.remove()
	fmt.Fprintln(out, header)
	printed := 0
	for _, c := range chosen {
		m.note("%s: measuring; load %s on %d processors (above half of them, times are worse than the program's own)", c.name, load(), runtime.NumCPU())
		rows, err := c.measure(m)
		if err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		n, err := printRows(out, rows, only)
		if err != nil {
			return err
		}
		printed += n
	}
	if printed == 0 {
		return fmt.Errorf("ONLY=%s names no cost that was measured", only)
	}
	return nil
}

// choose gives the costs that have rows of this name or below it.
func choose(only string) []cost {
	var chosen []cost
	for _, c := range costs {
		if within(c.name, only) || within(only, c.name) {
			chosen = append(chosen, c)
		}
	}
	return chosen
}

// within tells whether name is group, or one of its parts; "" holds all.
func within(name, group string) bool {
	return group == "" || name == group || strings.HasPrefix(name, group+".")
}

func names() []string {
	var all []string
	for _, c := range costs {
		all = append(all, c.name)
	}
	return all
}

func printRows(out io.Writer, rows []row, only string) (printed int, err error) {
	for _, r := range rows {
		line, err := r.line()
		if err != nil {
			return printed, err
		}
		if within(r.name, only) {
			fmt.Fprintln(out, line)
			printed++
		}
	}
	return printed, nil
}

// load is the machine's load, for whoever reads the figures.
func load() string {
	b, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "not known"
	}
	return strings.Join(strings.Fields(string(b))[:3], " ")
}
