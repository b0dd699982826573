package main

import (
	"fmt"
	"math"
	"slices"
)

// percentile is the smallest value that at least p per cent of the values do
// not pass (nearest rank): always a value that was measured. p is above 0 and
// at most 100; without values there is none, and NaN says so.
func percentile(values []float64, p float64) float64 {
	if len(values) == 0 || !(p > 0 && p <= 100) {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(values))
	rank := int(math.Ceil(p / 100 * float64(len(sorted))))
	return sorted[rank-1]
}

func median(values []float64) float64 { return percentile(values, 50) }

// throttle is how many times slower than this machine the phone is taken to be.
const throttle = 6

// A span is what one start or tap took, in milliseconds as measured: whole from
// beginning to painted with the page's thread throttled, and therein the time
// of the worker, which DevTools cannot throttle.
type span struct {
	whole  float64
	worker float64
}

// page is what is left to the page: it waits while the worker works.
func (s span) page() float64 { return s.whole - s.worker }

// onPhone is the span with the worker as slow as the page.
func (s span) onPhone() float64 { return s.page() + throttle*s.worker }

// check refuses a span whose two clocks cannot both be right.
func (s span) check() error {
	if !(s.worker > 0 && s.whole > s.worker) {
		return fmt.Errorf("%.1f ms in the worker out of %.1f ms in all cannot be", s.worker, s.whole)
	}
	return nil
}

// each gives one figure of every span.
func each(spans []span, figure func(span) float64) []float64 {
	values := make([]float64, len(spans))
	for i, s := range spans {
		values[i] = figure(s)
	}
	return values
}
