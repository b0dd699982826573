package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"fourchette/wasm/browser"
)

// histories are how many births there are, in ten years of a busy clinic at
// most.
var histories = []int{1_000, 10_000, 100_000}

// keepers are the ways to keep records, ours first.
var keepers = []struct{ name, called string }{
	{"ours", "ours"}, {"sqlite", "SQLite"}, {"bbolt", "bbolt"},
}

// figures are what one program of the command stores measured, by name.
type figures map[string]float64

// A storeCost is one thing that is measured of every keeper.
type storeCost struct {
	name, unit, figure string
	goal               string // against SQLite
	do                 string // of the command stores
	turns              int
}

var storeCosts = []storeCost{
	{"size", "B", "bytes", "≤ 0.5×", "make", 1},
	{"today", "ns", "ns", "≤ 1×", "start", 15},
	{"heap", "B", "grown", "-", "start", 0}, // from the same turns
	{"birth", "ns", "ns", "-", "birth", 3},
	{"append", "ns", "ns", "-", "append", 3},
}

// stores lets the command stores keep records in each way.
func stores(m *made) ([]row, error) {
	repo, err := browser.Root()
	if err != nil {
		return nil, err
	}
	if _, err := command(m, filepath.Join(repo, "wasm", "bench", "stores"), "go", "build", "-o", m.path("stores"), "."); err != nil {
		return nil, err
	}
	var rows []row
	for _, births := range histories {
		kept, err := keepAll(m, births)
		if err != nil {
			return nil, fmt.Errorf("with %d births: %w", births, err)
		}
		m.note("store.%d: %.0f events of %.0f B in all; today %.0f births of %.0f events", births,
			kept[0]["make.events"], kept[0]["make.payload"], kept[0]["start.births"], kept[0]["start.events"])
		of, err := storeRows(kept, births)
		if err != nil {
			return nil, err
		}
		rows = append(rows, of...)
	}
	grown, err := growth(rows)
	return append(rows, grown...), err
}

// keepAll fills a folder in each way, and measures the ways in turn, so that all
// meet the same weather. Of several turns the lowest figure counts.
func keepAll(m *made, births int) ([]figures, error) {
	kept := make([]figures, len(keepers))
	for _, c := range storeCosts {
		for range c.turns {
			for i, k := range keepers {
				dir := m.path(fmt.Sprintf("%s-%d", k.name, births))
				out, err := command(m, m.dir, m.path("stores"), "-dir", dir, "-store", k.name, "-births", strconv.Itoa(births), "-do", c.do)
				if err != nil {
					return nil, err
				}
				now, err := parseFigures(out, c.do)
				if err != nil {
					return nil, fmt.Errorf("%s, %s: %w", k.name, c.do, err)
				}
				kept[i] = lower(kept[i], now)
			}
		}
	}
	return kept, nil
}

// parseFigures reads names and numbers, one after another.
func parseFigures(out, do string) (figures, error) {
	f := strings.Split(strings.TrimSpace(out), "\t")
	if len(f)%2 > 0 {
		return nil, fmt.Errorf("%q are no names with numbers", out)
	}
	read := figures{}
	for i := 0; i < len(f); i += 2 {
		n, err := strconv.ParseFloat(f[i+1], 64)
		if _, twice := read[do+"."+f[i]]; err != nil || twice || f[i] == "" {
			return nil, fmt.Errorf("%q are no names with numbers", out)
		}
		read[do+"."+f[i]] = n
	}
	return read, nil
}

func lower(before, now figures) figures {
	if before == nil {
		before = figures{}
	}
	for name, n := range now {
		if was, again := before[name]; !again || n < was {
			before[name] = n
		}
	}
	return before
}

// storeRows sets ours beside each rival. What the ways were given, and what they
// found, must be the same.
func storeRows(kept []figures, births int) (rows []row, err error) {
	ours := kept[0]
	for _, name := range []string{"make.events", "make.payload", "start.births", "start.events", "birth.events"} {
		for i, k := range keepers {
			if n, there := kept[i][name]; !there || n == 0 || n != ours[name] {
				return nil, fmt.Errorf("%s has %v %s, ours %v: they did not do the same work", k.name, n, name, ours[name])
			}
		}
	}
	for _, c := range storeCosts {
		figure := c.do + "." + c.figure
		name := fmt.Sprintf("store.%s.%d", c.name, births)
		if c.name == "append" {
			rows = append(rows, row{name: name + ".bare", unit: c.unit, ours: ours[figure], rival: "bare write and flush", theirs: ours["append.bare"], goal: "≤ 1.3×"})
		}
		for i, k := range keepers[1:] {
			r := row{name: name, unit: c.unit, ours: ours[figure], rival: k.called, theirs: kept[i+1][figure], goal: c.goal}
			if i > 0 {
				r.name, r.goal = name+"."+k.name, "-"
			}
			rows = append(rows, r)
		}
	}
	return rows, nil
}

// growth sets what today's list takes after the longest history beside what it
// takes after the shortest.
func growth(rows []row) ([]row, error) {
	of := func(births int) (row, bool) {
		for _, r := range rows {
			if r.name == fmt.Sprintf("store.today.%d", births) {
				return r, true
			}
		}
		return row{}, false
	}
	short, one := of(histories[0])
	long, other := of(histories[len(histories)-1])
	if !one || !other {
		return nil, errors.New("today's list was not measured")
	}
	return []row{{name: "store.today.growth", unit: "ns", ours: long.ours, rival: fmt.Sprintf("with %d births", histories[0]), theirs: short.ours, goal: "≤ 1.25×"}}, nil
}
