package tear_test

import (
	"fmt"
	"math/big"
	"reflect"
	"slices"
	"testing"

	. "fourchette/core/tear"
)

var (
	findingWords  = []Finding{NotExamined, Unsure, Intact, Torn}
	externalWords = []External{ExternalNotExamined, ExternalUnsure, ExternalIntact, UnderHalf, HalfOrMore, Through}
	rectalWords   = []RectalExam{RectalNotSaid, RectalDeclined, RectalDone}
)

// every lists all combinations of all words: 4^5 · 6 · 3 · 2 · 2.
var every = func() []Findings {
	list := []Findings{{}}
	vary(&list, findingWords, func(f *Findings, w Finding) { f.PerinealSkin = w })
	vary(&list, findingWords, func(f *Findings, w Finding) { f.VaginalMucosa = w })
	vary(&list, findingWords, func(f *Findings, w Finding) { f.PerinealMuscle = w })
	vary(&list, findingWords, func(f *Findings, w Finding) { f.InternalSphincter = w })
	vary(&list, findingWords, func(f *Findings, w Finding) { f.AnorectalMucosa = w })
	vary(&list, externalWords, func(f *Findings, w External) { f.ExternalSphincter = w })
	vary(&list, rectalWords, func(f *Findings, w RectalExam) { f.RectalExam = w })
	vary(&list, []bool{false, true}, func(f *Findings, w bool) { f.Episiotomy = w })
	vary(&list, []bool{false, true}, func(f *Findings, w bool) { f.SecondLookDone = w })
	return list
}()

func vary[W any](list *[]Findings, words []W, set func(*Findings, W)) {
	var next []Findings
	for _, f := range *list {
		for _, w := range words {
			set(&f, w)
			next = append(next, f)
		}
	}
	*list = next
}

var verdicts = func() map[Findings]Verdict {
	m := make(map[Findings]Verdict, len(every))
	for _, f := range every {
		m[f] = Judge(f)
	}
	return m
}()

// simple gives access to the five two-valued findings by name, and whether the
// rectal examination is needed for them.
var simple = []struct {
	name   string
	get    func(*Findings) *Finding
	behind bool
}{
	{PerinealSkin, func(f *Findings) *Finding { return &f.PerinealSkin }, false},
	{VaginalMucosa, func(f *Findings) *Finding { return &f.VaginalMucosa }, false},
	{PerinealMuscle, func(f *Findings) *Finding { return &f.PerinealMuscle }, false},
	{InternalSphincter, func(f *Findings) *Finding { return &f.InternalSphincter }, true},
	{AnorectalMucosa, func(f *Findings) *Finding { return &f.AnorectalMucosa }, true},
}

func TestEveryCombinationIsTried(t *testing.T) {
	if len(every) != 73728 || len(verdicts) != 73728 {
		t.Fatalf("%d combinations, %d different; want 73,728", len(every), len(verdicts))
	}
}

// invariant runs check on every combination and reports the first few failures.
func invariant(t *testing.T, name string, check func(f Findings, v Verdict) string) {
	t.Run(name, func(t *testing.T) {
		failed := 0
		for _, f := range every {
			if why := check(f, verdicts[f]); why != "" {
				if failed++; failed <= 3 {
					t.Errorf("%+v: %s\n%+v", f, why, verdicts[f])
				}
			}
		}
		if failed > 3 {
			t.Errorf("%d combinations in all", failed)
		}
	})
}

// may says whether the findings leave this truth possible, spelled out from
// the rules rather than from the package's spans.
func may(f Findings, w truth) bool {
	done := f.RectalExam == RectalDone
	cut := f.Episiotomy
	return simpleMay(f.PerinealSkin, w.r.skin, cut, false) &&
		simpleMay(f.VaginalMucosa, w.r.vagina, cut, false) &&
		simpleMay(f.PerinealMuscle, w.r.muscle, cut, false) &&
		simpleMay(f.InternalSphincter, w.s.internal, false, !done) &&
		simpleMay(f.AnorectalMucosa, w.s.mucosa, false, !done) &&
		externalMay(f.ExternalSphincter, w.s.external, !done)
}

func simpleMay(said, is Finding, cut, lowerBound bool) bool {
	switch {
	case cut:
		return is == Torn
	case said == Torn:
		return is == Torn
	case said == Intact && !lowerBound:
		return is == Intact
	}
	return true
}

func externalMay(said, is External, lowerBound bool) bool {
	switch said {
	case HalfOrMore, Through:
		return is == said
	case UnderHalf:
		return is == UnderHalf || lowerBound && (is == HalfOrMore || is == Through)
	case ExternalIntact:
		return is == ExternalIntact || lowerBound
	}
	return true
}

// possible is what the truths left by the findings come to.
type possible struct {
	least, most, plan       Grade
	buttonhole, fourth, all bool // some buttonhole, some 4; all: nothing but buttonholes
}

func possibleOf(all []truth, f Findings) possible {
	p := possible{least: Fourth + 1, all: true}
	for _, w := range all {
		if !may(f, w) {
			continue
		}
		p.least, p.most, p.plan = min(p.least, w.grade), max(p.most, w.grade), max(p.plan, w.plan)
		p.buttonhole = p.buttonhole || w.buttonhole
		p.fourth = p.fourth || w.grade == Fourth
		p.all = p.all && w.buttonhole
	}
	return p
}

func TestBounds(t *testing.T) {
	all := truths(t)
	outside := 0
	invariant(t, "bounds are the lowest and highest of all that is possible", func(f Findings, v Verdict) string {
		p := possibleOf(all, f)
		if v.AtLeast != p.least || v.AtMost != p.most || v.TreatAs != p.plan || v.Buttonhole != p.all {
			return fmt.Sprintf("want at least %v, at most %v, treat as %v, buttonhole %v", p.least, p.most, p.plan, p.all)
		}
		return ""
	})
	invariant(t, "the bounds are grades and in order", func(f Findings, v Verdict) string {
		if v.AtLeast < None || v.AtLeast > v.AtMost || v.AtMost > v.TreatAs || v.TreatAs > Fourth {
			return "bounds out of order"
		}
		return ""
	})
	invariant(t, "outside the order: treat as exceeds at most exactly where a buttonhole is possible and a 4 is not", func(f Findings, v Verdict) string {
		p := possibleOf(all, f)
		want := p.buttonhole && !p.fourth
		if want {
			outside++
		}
		if (v.TreatAs > v.AtMost) != want {
			return fmt.Sprintf("treat as %v over at most %v, want above: %v", v.TreatAs, v.AtMost, want)
		}
		return ""
	})
	if outside == 0 {
		t.Error("no combination stands outside the order: the buttonhole has been lost")
	}
}

// TestButtonholeOutsideTheOrder: a mucosal tear alone raises neither grade nor
// bounds, only what is planned for.
func TestButtonholeOutsideTheOrder(t *testing.T) {
	tried := 0
	invariant(t, "torn mucosa behind intact sphincters leaves the grade", func(f Findings, v Verdict) string {
		if !v.Buttonhole {
			return ""
		}
		tried++
		f.AnorectalMucosa = Intact
		w := verdicts[f]
		if v.Grade != w.Grade || v.AtLeast != w.AtLeast || v.AtMost != w.AtMost || v.TreatAs != Fourth || v.AtMost > Second {
			return fmt.Sprintf("with intact mucosa: %+v", w)
		}
		return ""
	})
	// 4^3 of skin, vagina and muscle, episiotomy or not, second look or not
	if tried != 256 {
		t.Errorf("%d buttonholes among all combinations, want 256", tried)
	}
}

// steps calls visit for every neighbour of f that differs in one reading,
// taken from one word of the chain to a later one.
func steps(f Findings, simpleChain []Finding, externalChain []External, visit func(g Findings)) {
	for _, x := range simple {
		if i := slices.Index(simpleChain, *x.get(&f)); i >= 0 {
			for _, w := range simpleChain[i+1:] {
				g := f
				*x.get(&g) = w
				visit(g)
			}
		}
	}
	if i := slices.Index(externalChain, f.ExternalSphincter); i >= 0 {
		for _, w := range externalChain[i+1:] {
			g := f
			g.ExternalSphincter = w
			visit(g)
		}
	}
}

func TestMoreTornNeverLowers(t *testing.T) {
	raised := 0
	invariant(t, "more torn never lowers grade, bounds or plan", func(f Findings, v Verdict) (why string) {
		check := func(g Findings) {
			w := verdicts[g]
			raised++
			switch {
			case w.AtLeast < v.AtLeast, w.AtMost < v.AtMost, w.TreatAs < v.TreatAs:
				why = fmt.Sprintf("bounds fall with %+v", g)
			case v.Grade != Undetermined && w.Grade < v.Grade:
				why = fmt.Sprintf("grade falls, or is lost, with %+v", g)
			}
		}
		steps(f, []Finding{Intact, Torn}, []External{ExternalIntact, UnderHalf, HalfOrMore, Through}, check)
		if !f.Episiotomy {
			f.Episiotomy = true
			check(f)
		}
		return why
	})
	if raised < len(every) {
		t.Errorf("only %d steps tried", raised)
	}
}

func TestLessKnownNeverReassures(t *testing.T) {
	lost := 0
	invariant(t, "less known never narrows the bounds, lowers the grade or settles", func(f Findings, v Verdict) (why string) {
		check := func(g Findings) {
			w := verdicts[g]
			lost++
			switch {
			case w.AtLeast > v.AtLeast:
				why = fmt.Sprintf("at least rises with %+v", g)
			case w.AtMost < v.AtMost, w.TreatAs < v.TreatAs:
				why = fmt.Sprintf("at most or treat as falls with %+v", g)
			case w.Settled && !v.Settled:
				why = fmt.Sprintf("settles with %+v", g)
			case v.Grade == Undetermined && w.Grade != Undetermined:
				why = fmt.Sprintf("decides with %+v", g)
			case w.Grade != Undetermined && w.Grade < v.Grade:
				why = fmt.Sprintf("grade falls with %+v", g)
			}
		}
		for _, known := range []Finding{Intact, Torn} {
			steps(f, []Finding{known, Unsure, NotExamined}, nil, check)
		}
		for _, known := range []External{ExternalIntact, UnderHalf, HalfOrMore, Through} {
			steps(f, nil, []External{known, ExternalUnsure, ExternalNotExamined}, check)
		}
		if f.RectalExam == RectalDone {
			for _, said := range []RectalExam{RectalDeclined, RectalNotSaid} {
				g := f
				g.RectalExam = said
				check(g)
			}
		}
		return why
	})
	if lost < len(every) {
		t.Errorf("only %d steps tried", lost)
	}
}

// said lists what was entered for the findings: names without a word, and
// names with "unsure". An episiotomy answers for three.
func said(f Findings) (none, unsure []string) {
	note := func(name, word string) {
		switch word {
		case "":
			none = append(none, name)
		case "unsure":
			unsure = append(unsure, name)
		}
	}
	for _, x := range simple {
		if !f.Episiotomy || x.behind {
			note(x.name, string(*x.get(&f)))
		}
	}
	note(ExternalSphincter, string(f.ExternalSphincter))
	slices.Sort(none)
	slices.Sort(unsure)
	return none, unsure
}

// contradicts spells rule 4 out, on the readings as entered.
func contradicts(f Findings) bool {
	externalTorn := f.ExternalSphincter == UnderHalf || f.ExternalSphincter == HalfOrMore || f.ExternalSphincter == Through
	externalWhole := f.ExternalSphincter == ExternalIntact
	internalTorn, internalWhole := f.InternalSphincter == Torn, f.InternalSphincter == Intact
	oneOnly := externalTorn && internalWhole || internalTorn && externalWhole
	return f.AnorectalMucosa == Torn && oneOnly || internalTorn && externalWhole
}

func TestGradeAndSettled(t *testing.T) {
	invariant(t, "settled: all examined, nothing unsure, rectal done, no second look due", func(f Findings, v Verdict) string {
		none, unsure := said(f)
		due := !f.SecondLookDone && (contradicts(f) || v.Buttonhole)
		want := f.RectalExam == RectalDone && none == nil && unsure == nil && !due
		if v.Settled != want {
			return fmt.Sprintf("settled %v, want %v", v.Settled, want)
		}
		return ""
	})
	invariant(t, "settled: one grade and nothing to ask", func(f Findings, v Verdict) string {
		if v.Settled && (v.AtLeast != v.AtMost || v.Grade != v.AtLeast || v.Ask != nil || v.SecondLook) {
			return "settled with something left open"
		}
		if v.Settled && v.TreatAs != v.Grade && !v.Buttonhole {
			return "settled, and planned for another grade"
		}
		return ""
	})
	invariant(t, "the grade: highest after looking, open where not examined, unless fixed at 4", func(f Findings, v Verdict) string {
		none, _ := said(f)
		want := v.AtMost
		if none != nil || f.RectalExam != RectalDone {
			want = Undetermined
			if v.AtLeast == Fourth {
				want = Fourth
			}
		}
		if v.Grade != want {
			return fmt.Sprintf("grade %v, want %v", v.Grade, want)
		}
		return ""
	})
}

func TestSecondLook(t *testing.T) {
	invariant(t, "second look: a contradiction or a buttonhole, once", func(f Findings, v Verdict) string {
		if want := !f.SecondLookDone && (contradicts(f) || v.Buttonhole); v.SecondLook != want {
			return fmt.Sprintf("second look %v, want %v", v.SecondLook, want)
		}
		return ""
	})
	invariant(t, "second look: what is seen before it stands after it", func(f Findings, v Verdict) string {
		if f.SecondLookDone {
			return ""
		}
		f.SecondLookDone = true
		after := verdicts[f]
		after.SecondLook, after.Settled = v.SecondLook, v.Settled
		if !reflect.DeepEqual(v, after) {
			return fmt.Sprintf("after the second look: %+v", verdicts[f])
		}
		return ""
	})
}

// answers lists the words that are still possible for a named finding.
func answers(all []truth, f Findings, name string) (list []string) {
	for _, w := range all {
		if word := wordOf(w.findings(), name); may(f, w) && !slices.Contains(list, word) {
			list = append(list, word)
		}
	}
	return list
}

func wordOf(f Findings, name string) string {
	for _, x := range simple {
		if x.name == name {
			return string(*x.get(&f))
		}
	}
	return string(f.ExternalSphincter)
}

func withWord(f Findings, name, word string) Findings {
	for _, x := range simple {
		if x.name == name {
			*x.get(&f) = Finding(word)
			return f
		}
	}
	f.ExternalSphincter = External(word)
	return f
}

var askOrder = []string{ExternalSphincter, InternalSphincter, AnorectalMucosa, PerinealMuscle, VaginalMucosa, PerinealSkin}

// wantAsk works the list out from the rule with fractions and all truths.
func wantAsk(all []truth, f Findings) []string {
	var list []string
	average := map[string]*big.Rat{}
	none, unsure := said(f)
	for _, name := range askOrder {
		words := answers(all, f, name)
		if !slices.Contains(none, name) && !slices.Contains(unsure, name) {
			continue
		}
		sum := new(big.Rat)
		for _, word := range words {
			g := withWord(f, name, word)
			g.RectalExam = RectalDone
			p := possibleOf(all, g)
			sum.Add(sum, big.NewRat(int64(p.most-p.least), int64(len(words))))
		}
		list, average[name] = append(list, name), sum
	}
	slices.SortStableFunc(list, func(a, b string) int { return average[a].Cmp(average[b]) })
	if f.RectalExam == RectalNotSaid {
		list = slices.Insert(list, 0, RectalExamination)
	}
	return list
}

func TestAsk(t *testing.T) {
	all := truths(t)
	invariant(t, "ask: all that is not examined or unsure, the most telling first", func(f Findings, v Verdict) string {
		if f.Episiotomy || f.SecondLookDone {
			return "" // dear to work out; the next two hold these
		}
		if want := wantAsk(all, f); !slices.Equal(v.Ask, want) {
			return fmt.Sprintf("ask %q, want %q", v.Ask, want)
		}
		return ""
	})
	invariant(t, "ask: a cut part is never asked, the rest as if it had been found torn", func(f Findings, v Verdict) string {
		if !f.Episiotomy {
			return ""
		}
		f.Episiotomy = false
		f.PerinealSkin, f.VaginalMucosa, f.PerinealMuscle = Torn, Torn, Torn
		if want := verdicts[f].Ask; !slices.Equal(v.Ask, want) {
			return fmt.Sprintf("ask %q, want %q", v.Ask, want)
		}
		return ""
	})
	invariant(t, "ask: every finding not examined or unsure", func(f Findings, v Verdict) string {
		none, unsure := said(f)
		for _, name := range append(none, unsure...) {
			if !slices.Contains(v.Ask, name) {
				return name + " is not asked"
			}
		}
		return ""
	})
}

var reasonKeys = []string{
	NothingTorn, SkinOrVaginaTorn, MuscleTorn, EpisiotomyCounts, ExternalUnderHalf, ExternalHalfOrMore,
	InternalTorn, AnorectalMucosaTorn, ButtonholeBeside, RectalExamMissing, RectalExamDeclined,
	NotExaminedYet, UnsureTakesHigher, ContradictionHigher, FixedAtFourth,
}

func TestBecause(t *testing.T) {
	seen := map[string]bool{}
	invariant(t, "because: known keys, never none, each once", func(f Findings, v Verdict) string {
		keys := v.Because.Keys()
		for i, key := range keys {
			seen[key] = true
			if !slices.Contains(reasonKeys, key) || slices.Contains(keys[:i], key) {
				return "reason " + key + " is unknown or twice there"
			}
		}
		if len(keys) == 0 {
			return "no reason"
		}
		return ""
	})
	for _, key := range reasonKeys {
		if !seen[key] {
			t.Errorf("no combination is given the reason %s", key)
		}
	}
	invariant(t, "because: names what was not examined and what was unsure", func(f Findings, v Verdict) string {
		none, unsure := said(f)
		for key, want := range map[string][]string{NotExaminedYet: none, UnsureTakesHigher: unsure} {
			r, _ := v.Because.Find(key)
			if got := slices.Sorted(slices.Values(r.On)); !slices.Equal(got, want) {
				return fmt.Sprintf("%s on %q, want %q", key, got, want)
			}
		}
		return ""
	})
	invariant(t, "because: nothing torn only when all was examined and is intact", func(f Findings, v Verdict) string {
		_, got := v.Because.Find(NothingTorn)
		want := f.RectalExam == RectalDone && !f.Episiotomy && f.ExternalSphincter == ExternalIntact
		for _, x := range simple {
			want = want && *x.get(&f) == Intact
		}
		if got != want {
			return fmt.Sprintf("nothing torn %v, want %v", got, want)
		}
		return ""
	})
	invariant(t, "because: fixed at 4 exactly when a 4 stands on an unfinished examination", func(f Findings, v Verdict) string {
		none, _ := said(f)
		_, got := v.Because.Find(FixedAtFourth)
		if want := v.Grade == Fourth && (none != nil || f.RectalExam != RectalDone); got != want {
			return fmt.Sprintf("fixed at 4 %v, want %v", got, want)
		}
		return ""
	})
	invariant(t, "because: a contradiction, a buttonhole and a missing examination are said", func(f Findings, v Verdict) string {
		for key, want := range map[string]bool{
			ContradictionHigher: contradicts(f), ButtonholeBeside: v.Buttonhole,
			RectalExamMissing: f.RectalExam == RectalNotSaid, RectalExamDeclined: f.RectalExam == RectalDeclined,
		} {
			if _, got := v.Because.Find(key); got != want {
				return fmt.Sprintf("%s %v, want %v", key, got, want)
			}
		}
		return ""
	})
}

func TestCodes(t *testing.T) {
	type codes struct{ who, us, note string }
	table := map[Grade]codes{ // tears.md's sources: ICD-10 (WHO 2019), ICD-10-CM
		None:    {"", "", ""},
		First:   {"O70.0", "O70.0", ""},
		Second:  {"O70.1", "O70.1", ""},
		Third3a: {"O70.2", "O70.21", "us_modification_only"},
		Third3b: {"O70.2", "O70.22", "us_modification_only"},
		Third3c: {"O70.2", "O70.23", "us_modification_only"},
		Fourth:  {"O70.3", "O70.3", ""},
	}
	invariant(t, "codes", func(f Findings, v Verdict) string {
		want := table[v.Grade]
		if v.Grade == Undetermined && v.AtLeast != None {
			want = codes{"O70.9", "O70.9", ""}
		}
		if v.Buttonhole {
			want.note = "buttonhole_left_to_coder"
		}
		if got := (codes{v.ICD10, v.ICD10US, v.ICD10Note}); got != want {
			return fmt.Sprintf("codes %v, want %v", got, want)
		}
		return ""
	})
}
