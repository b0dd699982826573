package arrange_test

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/arrange"
)

// pair has a place beside its key, so that it shows who was moved past whom.
type pair struct{ key, place int }

func byKey(a, b pair) int { return cmp.Compare(a.key, b.key) }

func TestAsTheLibraryDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfN(rapid.IntRange(0, 20), 0, 100).Draw(t, "keys")
		list := make([]pair, len(keys))
		for i, key := range keys {
			list[i] = pair{key, i}
		}
		want := slices.Clone(list)
		slices.SortStableFunc(want, byKey)
		arrange.By(list, byKey)
		if !slices.Equal(list, want) {
			t.Fatalf("got %v, want %v", list, want)
		}
	})
}

func TestInOrderAlreadyIsQuick(t *testing.T) {
	list := make([]pair, 1000)
	for i := range list {
		list[i] = pair{i / 3, i}
	}
	looks := 0
	arrange.By(list, func(a, b pair) int { looks++; return byKey(a, b) })
	if looks >= len(list) {
		t.Errorf("%d comparisons of %d", looks, len(list))
	}
}
