package main

import (
	"strings"
	"testing"
)

func TestParseTopics(t *testing.T) {
	got, order, err := parseTopics(topicHeader+"\na.b\twasm\t3\t1200\t7.5\nc.d\twasm\t1\t90\t0.0\n", "wasm")
	if err != nil || strings.Join(order, " ") != "a.b c.d" || got["a.b"] != (topicCost{1200, 7.5}) || got["c.d"] != (topicCost{90, 0}) {
		t.Errorf("%v %v %v", got, order, err)
	}
	for _, out := range []string{
		"", topicHeader, "a.b\twasm\t3\t1200\t7.5",
		topicHeader + "\na.b\tjvm\t3\t1200\t7.5",
		topicHeader + "\na.b\twasm\t3\t1200",
		topicHeader + "\na.b\twasm\t3\tmany\t7.5",
		topicHeader + "\na.b\twasm\t3\t1\t7.5\na.b\twasm\t3\t1\t7.5",
	} {
		if got, _, err := parseTopics(out, "wasm"); err == nil {
			t.Errorf("%q was read as %v", out, got)
		}
	}
}

func TestTopicRows(t *testing.T) {
	all := func() map[string]map[string]topicCost {
		m := map[string]map[string]topicCost{}
		for i, host := range hosts {
			m[host] = map[string]topicCost{"a": {float64(100 * (i + 1)), 2}, "b": {5, 0}}
		}
		return m
	}
	rows, err := topicRows(all(), []string{"a", "b"})
	if err != nil || len(rows) != 2*2*len(hosts) {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	if line, err := rows[2].line(); err != nil || line != "topic.a.wasm\t200 ns\tnative\t100 ns\t2.00\t-\tok" {
		t.Errorf("%q, %v", line, err)
	}
	if line, err := rows[3].line(); err != nil || line != "topic.a.wasm.allocs\t2 allocs\tnative\t2 allocs\t1.00\t-\tok" {
		t.Errorf("%q, %v", line, err)
	}
	for _, host := range hosts {
		lacking := all()
		delete(lacking[host], "b")
		if _, err := topicRows(lacking, []string{"a", "b"}); err == nil {
			t.Errorf("%s lacks a topic and nobody says so", host)
		}
		lacking = all()
		lacking[host]["c"] = topicCost{1, 1}
		if _, err := topicRows(lacking, []string{"a", "b"}); err == nil {
			t.Errorf("%s has a topic more and nobody says so", host)
		}
	}
}

func TestLowest(t *testing.T) {
	now := func() map[string]topicCost { return map[string]topicCost{"a": {20, 3}, "b": {5, 1}} }
	if got := lowest(nil, now()); got["a"] != (topicCost{20, 3}) || len(got) != 2 {
		t.Errorf("of one turn: %v", got)
	}
	got := lowest(map[string]topicCost{"a": {10, 4}, "gone": {1, 1}}, now())
	if got["a"] != (topicCost{10, 3}) || got["b"] != (topicCost{5, 1}) || len(got) != 2 {
		t.Errorf("of two turns: %v", got)
	}
}
