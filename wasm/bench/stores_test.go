package main

import (
	"fmt"
	"strings"
	"testing"
)

func TestParseFigures(t *testing.T) {
	got, err := parseFigures("ns\t120\tbirths\t60\n", "start")
	if err != nil || got["start.ns"] != 120 || got["start.births"] != 60 || len(got) != 2 {
		t.Errorf("%v, %v", got, err)
	}
	for _, out := range []string{"", "ns", "ns\tmany", "ns\t1\tns\t2", "\t1"} {
		if got, err := parseFigures(out, "start"); err == nil {
			t.Errorf("%q was read as %v", out, got)
		}
	}
}

// all are the figures of every way, each twice those of the one before.
func all() []figures {
	var kept []figures
	for i := range keepers {
		f := figures{"make.events": 30, "make.payload": 300, "start.births": 60, "start.events": 9, "birth.events": 5, "append.bare": 90}
		for _, c := range storeCosts {
			f[c.do+"."+c.figure] = float64(int(100) << i)
		}
		kept = append(kept, f)
	}
	return kept
}

func TestStoreRows(t *testing.T) {
	rows, err := storeRows(all(), 1000)
	if err != nil || len(rows) != 2*len(storeCosts)+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	var lines []string
	for _, r := range rows {
		line, err := r.line()
		if err != nil {
			t.Error(err)
		}
		lines = append(lines, line)
	}
	for _, want := range []string{
		"store.size.1000\t100 B\tSQLite\t200 B\t0.50\t≤ 0.5×\tok",
		"store.today.1000\t100 ns\tSQLite\t200 ns\t0.50\t≤ 1×\tok",
		"store.birth.1000.bbolt\t100 ns\tbbolt\t400 ns\t0.25\t-\tok",
		"store.append.1000.bare\t100 ns\tbare write and flush\t90 ns\t1.11\t≤ 1.3×\tok",
	} {
		if !strings.Contains(strings.Join(lines, "\n"), want) {
			t.Errorf("no %q in\n%s", want, strings.Join(lines, "\n"))
		}
	}
}

func TestUnequalWorkIsNoResult(t *testing.T) {
	for _, name := range []string{"make.events", "make.payload", "start.births", "start.events", "birth.events"} {
		kept := all()
		kept[2][name]++
		if rows, err := storeRows(kept, 1000); err == nil {
			t.Errorf("%s differs, and there are %d rows", name, len(rows))
		}
	}
}

func TestGrowth(t *testing.T) {
	var rows []row
	for i, births := range histories {
		rows = append(rows, row{name: fmt.Sprintf("store.today.%d", births), unit: "ns", ours: float64(100 + i)})
	}
	got, err := growth(rows)
	if err != nil || len(got) != 1 || got[0].ours != 102 || got[0].theirs != 100 {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err := growth(rows[:1]); err == nil {
		t.Error("nothing to compare with, and yet a row")
	}
}
