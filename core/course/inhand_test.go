package course

import "testing"

// TestInHand: what keeps somebody at it, each alone, and what does not. The
// timers of a birth of yesterday are over.
func TestInHand(t *testing.T) {
	const day = 24 * 60
	old := func(change func(*Facts)) Facts {
		f := born(true, moment(0, 0, "r"), moment(day, day, "r"), moment(day+1, day+1, "r"))
		f.Found = -1
		change(&f)
		return f
	}
	told := func(question, value string, at int64) func(*Facts) {
		return func(f *Facts) {
			f.Answers = append(f.Answers, Answer{Question: question, Value: value, At: at, Place: 1})
		}
	}
	for name, c := range map[string]struct {
		f  Facts
		is bool
	}{
		"nothing":                   {old(func(f *Facts) {}), false},
		"the first hours":           {born(true, moment(0, 0, "r"), moment(1, 1, "r")), true},
		"hour unknown":              {born(false, moment(0, 0, "r"), moment(1, 1, "r")), true},
		"hour unknown, a day later": {born(false, moment(0, 0, "r"), moment(day, day, "r")), false},
		"examination begun":         {old(func(f *Facts) { f.Found = 1 }), true},
		"and a grade written":       {old(func(f *Facts) { f.Found, f.Notes, f.NoteStands = 1, []Note{{}}, true }), false},
		"and changed since":         {old(func(f *Facts) { f.Found, f.Notes = 1, []Note{{}} }), true},
		"a layer closed of two": {old(func(f *Facts) {
			f.Planned, f.Layers = []string{"a", "b"}, []Layer{{Key: "a", Done: true, Place: 1}}
		}), true},
		"both": {old(func(f *Facts) {
			f.Planned, f.Layers = []string{"a", "b"}, []Layer{{Key: "a", Done: true, Place: 1}, {Key: "b", Done: true, Place: 1}}
		}), false},
		"counted in":       {old(func(f *Facts) { f.Counts = []Count{{Phase: In, Items: []CountItem{{Item: "swab", N: 5}}, Place: 1}} }), true},
		"injected":         {old(func(f *Facts) { f.Injections = []int{1} }), true},
		"catheter":         {old(told("urine_passed", "catheter", 0)), false},
		"tampon":           {old(told("tampon", "left", 0)), false},
		"examined at noon": {func() Facts { f := born(true, moment(0, 0, "r"), moment(719, 719, "r")); f.Found = 0; return f }(), true},
		"and at midnight":  {func() Facts { f := born(true, moment(0, 0, "r"), moment(720, 720, "r")); f.Found = 0; return f }(), false},
		"a clock set on":   {func() Facts { f := born(true, moment(0, 0, "r"), moment(5000, 5, "r")); f.Found = 0; return f }(), true},
	} {
		if got := c.f.InHand(); got != c.is {
			t.Errorf("%s: %v", name, got)
		}
	}
}
