package main

import (
	"math"
	"strings"
	"testing"
)

func sound() row {
	return row{name: "a.b", unit: "ms", ours: 50, rival: "floor", theirs: 20, goal: "≤ 60 ms"}
}

func TestLine(t *testing.T) {
	with := func(change func(*row)) row {
		r := sound()
		change(&r)
		return r
	}
	for _, c := range []struct {
		row  row
		want string
	}{
		{sound(), "a.b\t50 ms\tfloor\t20 ms\t2.50\t≤ 60 ms\tok"},
		{with(func(r *row) { r.ours = 60 }), "a.b\t60 ms\tfloor\t20 ms\t3.00\t≤ 60 ms\tok"},
		// Held against the goal as measured: 60.04 is printed as 60.0 and is short.
		{with(func(r *row) { r.ours = 60.04 }), "a.b\t60.0 ms\tfloor\t20 ms\t3.00\t≤ 60 ms\tshort"},
		{with(func(r *row) { r.goal = "≤ 2.5×" }), "a.b\t50 ms\tfloor\t20 ms\t2.50\t≤ 2.5×\tok"},
		{with(func(r *row) { r.goal, r.theirs = "≤ 2.5×", 19.99 }), "a.b\t50 ms\tfloor\t20.0 ms\t2.50\t≤ 2.5×\tshort"},
		{with(func(r *row) { r.goal = "-" }), "a.b\t50 ms\tfloor\t20 ms\t2.50\t-\tok"},
		{with(func(r *row) { r.goal, r.ours = "-", 1234567.8 }), "a.b\t1234568 ms\tfloor\t20 ms\t61728.39\t-\tok"},
		{with(func(r *row) { r.goal, r.unit, r.ours, r.theirs = "-", "allocs", 3.25, 0 }), "a.b\t3.2 allocs\tfloor\t0 allocs\t-\t-\tok"},
	} {
		if got, err := c.row.line(); err != nil || got != c.want {
			t.Errorf("got %q, %v\nwant %q", got, err, c.want)
		}
	}
}

func TestNoRowWithoutItsRival(t *testing.T) {
	for what, spoil := range map[string]func(*row){
		"no rival":                   func(r *row) { r.rival = "" },
		"no name":                    func(r *row) { r.name = "" },
		"no unit":                    func(r *row) { r.unit = "" },
		"rival not measured":         func(r *row) { r.theirs = math.NaN() },
		"rival without end":          func(r *row) { r.theirs = math.Inf(1) },
		"ours not measured":          func(r *row) { r.ours = math.NaN() },
		"ours below nought":          func(r *row) { r.ours = -1 },
		"goal in another unit":       func(r *row) { r.goal = "≤ 60 B" },
		"no goal at all":             func(r *row) { r.goal = "" },
		"ratio to nought":            func(r *row) { r.goal, r.theirs = "≤ 3×", 0 },
		"ratio of nought":            func(r *row) { r.goal, r.ours = "≤ 3×", 0 },
		"nought meets no time's end": func(r *row) { r.ours = 0 },
	} {
		r := sound()
		spoil(&r)
		if got, err := r.line(); err == nil {
			t.Errorf("%s: printed as %q", what, got)
		}
	}
}

func TestParseGoal(t *testing.T) {
	for s, want := range map[string]goal{
		"-": {}, "≤ 60 ms": {"ms", 60}, "≤ 3×": {"×", 3}, "≤ 1300000 B": {"B", 1300000}, "≤ 0.5 MB": {"MB", 0.5},
	} {
		if got, err := parseGoal(s); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", s, got, err, want)
		}
	}
	for _, s := range []string{"", "60 ms", "≤60 ms", "≤ ms", "≤ 60", "≤ x ms", "≤ 0 ms", "≤ -1 ms", "≤ NaN ms", "≤ Inf ms", "< 60 ms", "≤ ×"} {
		if got, err := parseGoal(s); err == nil {
			t.Errorf("%q was read as %v", s, got)
		}
	}
}

func TestEveryGoalCanBeRead(t *testing.T) {
	for _, s := range []string{wasmGoal, startGoal, tapGoal} {
		if g, err := parseGoal(s); err != nil || g.unit == "" {
			t.Errorf("%q: %v, %v", s, g, err)
		}
	}
}

func TestChoose(t *testing.T) {
	for only, want := range map[string]string{
		"":           "size.wasm size.app start.cold tap.p95 topic store",
		"size":       "size.wasm size.app",
		"size.app":   "size.app",
		"topic":      "topic",
		"tap":        "tap.p95",
		"siz":        "",
		"size.app.x": "size.app", // measured, then no row has the name: an error
		"nothing":    "",

		"topic.tear.grade.wasm": "topic",
	} {
		var got []string
		for _, c := range choose(only) {
			got = append(got, c.name)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("ONLY=%s: %q, want %q", only, got, want)
		}
	}
}

func TestPrintRowsStopsAtTheFirstFault(t *testing.T) {
	bad := sound()
	bad.rival = ""
	var out strings.Builder
	if n, err := printRows(&out, []row{sound(), bad, sound()}, ""); err == nil || n != 1 || strings.Count(out.String(), "\n") != 1 {
		t.Errorf("%d rows, %v:\n%s", n, err, out.String())
	}
	out.Reset()
	if n, err := printRows(&out, []row{sound()}, "a.c"); err != nil || n != 0 || out.Len() != 0 {
		t.Errorf("a row that was not asked for: %d, %v, %q", n, err, out.String())
	}
}
