package main

import (
	"errors"
	"fmt"
	"io"
	"time"
)

// measure prints one line a topic, tab-separated: topic, host, how many
// cases, nanoseconds a call, allocations a call. Both are means over the
// topic's cases that are answered: a refusal is cheaper, and says nothing of
// the topic.
func (o options) measure(h host, cases []testCase, faults []fault, stdout io.Writer) (failed int, err error) {
	for _, f := range faults {
		fmt.Fprintln(stdout, f)
	}
	groups := byTopic(cases)
	if len(groups) == 0 {
		return len(faults), errors.New("no case is answered, so there is nothing to measure")
	}
	fmt.Fprintln(stdout, "topic\thost\tcases\tns/call\tallocs/call")
	for _, t := range groups {
		c, err := topicCost(h, t.cases, o.each)
		if err != nil {
			return len(faults), fmt.Errorf("%s: %w", t.name, err)
		}
		fmt.Fprintf(stdout, "%s\t%s\t%d\t%.0f\t%.1f\n", t.name, o.host, len(t.cases), c.nanoseconds, c.allocations)
	}
	return len(faults), nil
}

// A topicGroup is a topic and the cases to measure it by.
type topicGroup struct {
	name  string
	cases []testCase
}

// byTopic groups the cases that want an answer, topics in the order in which
// they first appear.
func byTopic(cases []testCase) []topicGroup {
	var groups []topicGroup
	at := map[string]int{}
	for _, c := range cases {
		if _, refused := c.Want.get("error"); refused {
			continue
		}
		i, known := at[c.Topic]
		if !known {
			i = len(groups)
			at[c.Topic] = i
			groups = append(groups, topicGroup{name: c.Topic})
		}
		groups[i].cases = append(groups[i].cases, c)
	}
	return groups
}

// topicCost calls each case as often as fills the time, and takes the mean
// over the cases. A first round warms the host up and tells how often.
func topicCost(h host, cases []testCase, each time.Duration) (cost, error) {
	const warm = 50
	share := float64(each.Nanoseconds()) / float64(len(cases))
	var sum cost
	for _, c := range cases {
		first, err := h.Bench(c.Topic, c.Request, warm)
		if err != nil {
			return cost{}, err
		}
		n := max(warm, int(share/max(first.nanoseconds, 1)))
		got, err := h.Bench(c.Topic, c.Request, n)
		if err != nil {
			return cost{}, err
		}
		sum.nanoseconds += got.nanoseconds
		sum.allocations += got.allocations
	}
	n := float64(len(cases))
	return cost{sum.nanoseconds / n, sum.allocations / n}, nil
}
