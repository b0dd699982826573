package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A row is one cost beside its rival's, both measured in this run and in the
// same unit.
type row struct {
	name   string  // "size.wasm"
	unit   string  // "B", "ms", "ns", "allocs"
	ours   float64 //
	rival  string  // what ours is compared with
	theirs float64 // the rival's figure
	goal   string  // "≤ 1300000 B", "≤ 3×", or "-" where none is set
}

const header = "name\tours\trival\trival's figure\tratio\tgoal\tverdict"

// line is the row as printed. A row that lacks its rival, or whose goal cannot
// be held against it, is an error: it must not look like a result.
func (r row) line() (string, error) {
	if err := r.check(); err != nil {
		return "", fmt.Errorf("%s: %w", r.name, err)
	}
	g, err := parseGoal(r.goal)
	if err != nil {
		return "", fmt.Errorf("%s: %w", r.name, err)
	}
	met, err := g.met(r)
	if err != nil {
		return "", fmt.Errorf("%s: %w", r.name, err)
	}
	verdict := "short"
	if met {
		verdict = "ok"
	}
	figure := func(v float64) string { return number(v) + " " + r.unit }
	return strings.Join([]string{r.name, figure(r.ours), r.rival, figure(r.theirs), r.ratioText(), r.goal, verdict}, "\t"), nil
}

func (r row) check() error {
	switch {
	case r.name == "" || r.unit == "":
		return errors.New("a row needs a name and a unit")
	case r.rival == "":
		return errors.New("it has no rival")
	case !measured(r.ours):
		return fmt.Errorf("its figure, %v, is no measurement", r.ours)
	case !measured(r.theirs):
		return fmt.Errorf("the figure of its rival %s, %v, is no measurement", r.rival, r.theirs)
	}
	return nil
}

// measured tells a figure from what a failed measurement leaves. Nothing but
// a count of allocations is ever nought; check leaves that to met.
func measured(v float64) bool { return v >= 0 && !math.IsInf(v, 0) }

// ratio is ours over theirs; false where theirs is nought.
func (r row) ratio() (float64, bool) {
	if r.theirs == 0 {
		return 0, false
	}
	return r.ours / r.theirs, true
}

func (r row) ratioText() string {
	ratio, known := r.ratio()
	if !known {
		return "-"
	}
	return strconv.FormatFloat(ratio, 'f', 2, 64)
}

// number prints whole what is large, and what is small with one decimal.
func number(v float64) string {
	if v >= 1000 || v == math.Trunc(v) {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'f', 1, 64)
}

// A goal bounds our figure, or its ratio to the rival's.
type goal struct {
	unit string // of the figure; "×" is the ratio; "" is no goal
	most float64
}

// parseGoal reads a goal as it is printed: "≤ 60 ms", "≤ 3×" or "-".
func parseGoal(s string) (goal, error) {
	if s == "-" {
		return goal{}, nil
	}
	bound, found := strings.CutPrefix(s, "≤ ")
	value, unit, spaced := strings.Cut(bound, " ")
	if !spaced {
		if value, found = strings.CutSuffix(bound, "×"); found {
			unit = "×"
		}
	}
	most, err := strconv.ParseFloat(value, 64)
	if !found || !strings.HasPrefix(s, "≤ ") || unit == "" || err != nil || !(most > 0) || math.IsInf(most, 0) {
		return goal{}, fmt.Errorf("the goal %q is none: write \"≤ 60 ms\", \"≤ 3×\" or \"-\"", s)
	}
	return goal{unit, most}, nil
}

// met holds a row against the goal. Figures are compared as measured, not as
// printed.
func (g goal) met(r row) (bool, error) {
	switch g.unit {
	case "":
		return true, nil
	case "×":
		ratio, known := r.ratio()
		if !known || ratio == 0 {
			return false, fmt.Errorf("the goal is a ratio, and %v to %v gives none", r.ours, r.theirs)
		}
		return ratio <= g.most, nil
	case r.unit:
		if r.ours == 0 {
			return false, errors.New("a figure of nought was not measured")
		}
		return r.ours <= g.most, nil
	}
	return false, fmt.Errorf("the goal is in %s and the figure in %s", g.unit, r.unit)
}
