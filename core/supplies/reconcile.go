package supplies

import (
	"cmp"
	"slices"
	"strconv"

	"fourchette/core/arrange"
)

// Count is what was counted of one kind.
type Count struct {
	Item string // a word of lower-case letters, digits and underscores
	In   int    // all that was opened or brought, later additions too; 0 to 999
	Out  int    // all that was found afterwards; 0 to 999
}

// ItemCount is how many of one kind.
type ItemCount struct {
	Item string
	N    int // at least 1
}

// Result compares what went in with what came out.
type Result struct {
	// Complete says that every kind counted came out as it went in. It speaks
	// only of what was counted: see NotCounted.
	Complete bool
	// Missing went in and did not come out: it may be in her.
	Missing []ItemCount
	// Extra came out and was not counted in: the count in was wrong, so
	// nothing of that kind is proved.
	Extra []ItemCount
	// NotCounted are the kinds of swab, needle and tampon that nobody counted
	// (NPSA rapid response of 26 May 2010 for swabs; needles and tampon: common
	// practice, no source). Not counted is not nought.
	NotCounted []string
}

// mostCount is a slip of the finger from there on: common practice, no source.
const mostCount = 999

// Reconcile compares the counts kind by kind. All lists of the result are
// sorted by kind. The error is an *Error: nothing counted, the same kind twice
// (adding the two up could hide a piece that is missing behind one too many),
// a word that is none, a count that cannot be.
func Reconcile(counts []Count) (Result, error) {
	if err := check(counts); err != nil {
		return Result{}, err
	}
	var r Result
	for _, c := range counts {
		switch {
		case c.In > c.Out:
			r.Missing = append(r.Missing, ItemCount{c.Item, c.In - c.Out})
		case c.Out > c.In:
			r.Extra = append(r.Extra, ItemCount{c.Item, c.Out - c.In})
		}
	}
	byItem := func(a, b ItemCount) int { return cmp.Compare(a.Item, b.Item) }
	arrange.By(r.Missing, byItem)
	arrange.By(r.Extra, byItem)
	r.Complete = r.Missing == nil && r.Extra == nil
	for _, kind := range []string{Needle, Swab, Tampon} {
		if !slices.ContainsFunc(counts, func(c Count) bool { return c.Item == kind }) {
			r.NotCounted = append(r.NotCounted, kind)
		}
	}
	return r, nil
}

func check(counts []Count) error {
	something := false
	for i, c := range counts {
		at := "items." + strconv.Itoa(i)
		if !word(c.Item) {
			return &Error{WordUnknown, at + ".item", strconv.Quote(c.Item) + " is no word; use lower-case letters, digits and underscores"}
		}
		if slices.ContainsFunc(counts[:i], func(before Count) bool { return before.Item == c.Item }) {
			return &Error{ItemTwice, at + ".item", c.Item + " stands twice; count it together"}
		}
		if err := inRange(at+".in", c.In); err != nil {
			return err
		}
		if err := inRange(at+".out", c.Out); err != nil {
			return err
		}
		something = something || c.In > 0 || c.Out > 0
	}
	if !something {
		return &Error{NothingCounted, "items", "nothing was counted in or out; count before comparing"}
	}
	return nil
}

func inRange(field string, n int) error {
	if n >= 0 && n <= mostCount {
		return nil
	}
	return &Error{OutOfRange, field, strconv.Itoa(n) + " is not between 0 and " + strconv.Itoa(mostCount) + "; count again"}
}

// word says whether s is 1 to 40 lower-case letters, digits and underscores.
func word(s string) bool {
	for _, c := range []byte(s) {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' {
			return false
		}
	}
	return len(s) > 0 && len(s) <= 40
}
