package main

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestPercentile(t *testing.T) {
	hundred := make([]float64, 100)
	for i := range hundred {
		hundred[i] = float64(100 - i) // 100 … 1
	}
	for _, c := range []struct {
		values []float64
		p      float64
		want   float64
	}{
		{hundred, 95, 95}, {hundred, 50, 50}, {hundred, 100, 100}, {hundred, 0.5, 1},
		{[]float64{3, 1, 2}, 50, 2}, {[]float64{4, 1, 3, 2}, 50, 2},
		{[]float64{7}, 95, 7}, {[]float64{1, 2}, 95, 2},
	} {
		if got := percentile(c.values, c.p); got != c.want {
			t.Errorf("%g %% of %v: %g, want %g", c.p, c.values, got, c.want)
		}
	}
	if hundred[0] != 100 {
		t.Error("the values were put in order in place")
	}
	for _, p := range []float64{0, -1, 101, math.NaN()} {
		if got := percentile(hundred, p); !math.IsNaN(got) {
			t.Errorf("%g %%: %g", p, got)
		}
	}
	if got := percentile(nil, 50); !math.IsNaN(got) {
		t.Errorf("of nothing: %g", got)
	}
}

// A percentile is a value that was measured, at least p per cent do not pass
// it, and of any smaller value that is not so.
func TestPercentileProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 1000), 1, 300).Draw(t, "values")
		p := rapid.Float64Range(0.1, 100).Draw(t, "p")
		got := percentile(values, p)
		within, below := 0, 0
		for _, v := range values {
			if v <= got {
				within++
			}
			if v < got {
				below++
			}
		}
		n := float64(len(values))
		if !slices.Contains(values, got) || float64(within) < p/100*n-1e-9 || float64(below) >= p/100*n+1e-9 {
			t.Fatalf("%g %% of %v: %g", p, values, got)
		}
	})
}

func TestSpan(t *testing.T) {
	s := span{whole: 100, worker: 10}
	if s.page() != 90 || s.onPhone() != 90+60 || s.check() != nil {
		t.Errorf("page %g, on a phone %g, %v", s.page(), s.onPhone(), s.check())
	}
	for _, s := range []span{{}, {100, 0}, {100, 100}, {100, 101}, {100, -1}, {math.NaN(), 1}, {1, math.NaN()}} {
		if s.check() == nil {
			t.Errorf("%v passed", s)
		}
	}
}
