package course

import (
	"cmp"
	"slices"
)

// The phases of a count.
const (
	In    = "in"    // laid out; replaces, for the items it names, what was counted in before
	Added = "added" // opened since
	Out   = "out"   // found again
)

// Count is what was counted at one place of the record.
type Count struct {
	Phase string
	Items []CountItem
	Place int
}

// CountItem is one thing and how many of it.
type CountItem struct {
	Item string
	N    int
}

// Tally is what was counted of one thing.
type Tally struct {
	Item string
	In   int
	// Out is what was found again and what was left in her on purpose, if
	// OutKnown: it was counted after the last of it went in and after the last
	// stitch. Where nothing went in, nothing need be counted out.
	Out, Left int
	OutKnown  bool

	inAt, outAt int
}

// Tallies is what was counted of each thing, sorted by item.
func (f Facts) Tallies() []Tally {
	var list []Tally
	for _, c := range f.Counts {
		for _, it := range c.Items {
			at, found := slices.BinarySearchFunc(list, it.Item, func(t Tally, item string) int { return cmp.Compare(t.Item, item) })
			if !found {
				list = slices.Insert(list, at, Tally{Item: it.Item, inAt: -1, outAt: -1})
			}
			list[at].enter(c, it.N)
		}
	}
	w := walk{f}
	for i := range list {
		t := &list[i]
		t.OutKnown = t.outAt > max(t.inAt, w.lastStitch()) || t.In == 0 && t.outAt < 0
		if t.Item == tamponItem {
			t.Left = w.tamponsLeft()
			t.Out += t.Left
		}
	}
	return list
}

func (t *Tally) enter(c Count, n int) {
	switch c.Phase {
	case In:
		t.In, t.inAt = n, c.Place
	case Added:
		t.In, t.inAt = t.In+n, c.Place
	case Out:
		t.Out, t.outAt = n, c.Place
	}
}

const tamponItem = "tampon"

// mustCount is counted in at every repair; nought is a count, silence is none
// (swabs: NPSA rapid response of 26 May 2010; needles: common practice, no
// source).
var mustCount = []string{"swab", "needle"}

// tamponsLeft is how many stay in her on purpose, once all about them is told.
func (w walk) tamponsLeft() int {
	t := w.answer("tampon", -1)
	if t == nil || t.Value != "left" || len(w.missing(t.Place, "tampon_number", "tampon_at", "tampon_receiver")) > 0 {
		return 0
	}
	return int(w.answer("tampon_number", t.Place).Number)
}

func (w walk) countedIn() bool {
	for _, item := range mustCount {
		if !slices.ContainsFunc(w.Counts, func(c Count) bool { return c.Phase == In && c.names(item) }) {
			return false
		}
	}
	return true
}

// CountedLate: something was counted in after the first stitch, from what lay
// there then. What is opened later is counted as added.
func (f Facts) CountedLate() bool {
	first := walk{f}.firstStitch()
	return slices.ContainsFunc(f.Counts, func(c Count) bool { return c.Phase == In && c.Place > first })
}

// firstStitch is the place of the first word that something was stitched.
func (w walk) firstStitch() int {
	first := never
	for _, place := range w.Stitches {
		first = min(first, place)
	}
	if w.says("repair_finished", "yes") {
		first = min(first, w.place("repair_finished"))
	}
	for _, l := range w.Layers {
		if l.Done {
			first = min(first, l.Place)
		}
	}
	return first
}

func (c Count) names(item string) bool {
	return slices.ContainsFunc(c.Items, func(it CountItem) bool { return it.Item == item })
}

// outKnown: everything that went in was counted out since.
func (f Facts) outKnown() bool {
	counted := slices.ContainsFunc(f.Counts, func(c Count) bool { return c.Phase == Out })
	return counted && !slices.ContainsFunc(f.Tallies(), func(t Tally) bool { return !t.OutKnown })
}

// OutKnown reports whether the counts may be compared: until then nobody is
// shown how many went in, because the number out is counted first.
func (f Facts) OutKnown() bool { return f.outKnown() }

func (w walk) lastCount() int {
	if len(w.Counts) == 0 {
		return -1
	}
	return w.Counts[len(w.Counts)-1].Place
}
