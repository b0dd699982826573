package tear_test

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	. "fourchette/core/tear"
)

// intact is everything examined and nothing torn.
var intact = Findings{
	PerinealSkin: Intact, VaginalMucosa: Intact, PerinealMuscle: Intact,
	InternalSphincter: Intact, AnorectalMucosa: Intact, ExternalSphincter: ExternalIntact,
	RectalExam: RectalDone,
}

func with(change func(*Findings)) Findings {
	f := intact
	change(&f)
	return f
}

// TestSituations tells the rules as they happen at a bedside.
func TestSituations(t *testing.T) {
	for _, c := range []struct {
		name   string
		f      Findings
		grade  string
		bounds string
		treat  string
		flags  string
		ask    string
		why    string
	}{
		// average widths by hand: external (6+3+2+2)/4 = 3.25, internal (6+1)/2 = 3.5,
		// muscle (6+4)/2 = 5, mucosa (5+6)/2, vagina and skin (6+5)/2 = 5.5
		{"nothing examined", Findings{}, "undetermined", "none..4", "4", "",
			"rectal_exam external_sphincter internal_sphincter perineal_muscle anorectal_mucosa vaginal_mucosa perineal_skin",
			"rectal_exam_missing not_examined"},
		{"all intact", intact, "none", "none..none", "none", "settled", "", "nothing_torn"},
		{"3b", with(func(f *Findings) { f.PerinealMuscle = Torn; f.ExternalSphincter = HalfOrMore }),
			"3b", "3b..3b", "3b", "settled", "", "external_half_or_more"},
		{"under half, perhaps more: unsure takes the higher",
			with(func(f *Findings) { f.ExternalSphincter = ExternalUnsure; f.PerinealMuscle = Torn }),
			"3b", "2..3b", "3b", "", "external_sphincter", "muscle_torn unsure_takes_higher"},
		{"declined: intact sphincters are not known intact",
			with(func(f *Findings) { f.RectalExam = RectalDeclined; f.PerinealMuscle = Torn }),
			"undetermined", "2..4", "4", "", "",
			"muscle_torn rectal_exam_declined"},
		{"nobody said whether the rectal examination was done: it leads",
			with(func(f *Findings) { f.RectalExam = RectalNotSaid; f.ExternalSphincter = Through }),
			"undetermined", "3b..4", "4", "", "rectal_exam",
			"external_half_or_more rectal_exam_missing"},
		{"fixed at 4 with half the answers missing",
			Findings{AnorectalMucosa: Torn, ExternalSphincter: Through, RectalExam: RectalDeclined},
			"4", "4..4", "4", "", "internal_sphincter perineal_muscle vaginal_mucosa perineal_skin",
			"anorectal_mucosa_torn rectal_exam_declined not_examined fixed_at_fourth"},
		{"internal torn under intact external: look once more",
			with(func(f *Findings) { f.InternalSphincter = Torn }),
			"3c", "3c..3c", "3c", "second_look", "", "internal_torn contradiction_higher_stands"},
		{"and after it the higher stands",
			with(func(f *Findings) { f.InternalSphincter = Torn; f.SecondLookDone = true }),
			"3c", "3c..3c", "3c", "settled", "", "internal_torn contradiction_higher_stands"},
		{"mucosa torn with only the external sphincter torn",
			with(func(f *Findings) { f.AnorectalMucosa = Torn; f.ExternalSphincter = UnderHalf }),
			"4", "4..4", "4", "second_look", "", "anorectal_mucosa_torn contradiction_higher_stands"},
		{"buttonhole with a first degree",
			with(func(f *Findings) { f.AnorectalMucosa = Torn; f.VaginalMucosa = Torn }),
			"1", "1..1", "4", "buttonhole second_look", "", "skin_or_vagina_torn buttonhole_beside_grade"},
		{"buttonhole after the second look",
			with(func(f *Findings) { f.AnorectalMucosa = Torn; f.SecondLookDone = true }),
			"none", "none..none", "4", "buttonhole settled", "", "buttonhole_beside_grade"},
		{"mucosa unsure behind intact sphincters: planned for as 4, graded by the rest",
			with(func(f *Findings) { f.AnorectalMucosa = Unsure; f.PerinealMuscle = Torn }),
			"2", "2..2", "4", "", "anorectal_mucosa", "muscle_torn unsure_takes_higher"},
		{"episiotomy answers for skin, vagina and muscle",
			Findings{Episiotomy: true, InternalSphincter: Intact, AnorectalMucosa: Intact, ExternalSphincter: ExternalIntact, RectalExam: RectalDone},
			"2", "2..2", "2", "settled", "", "episiotomy_counts_as_second"},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := Judge(c.f)
			got := [...]string{v.Grade.String(), v.AtLeast.String() + ".." + v.AtMost.String(), v.TreatAs.String(),
				flags(v), strings.Join(v.Ask, " "), strings.Join(v.Because.Keys(), " ")}
			want := [...]string{c.grade, c.bounds, c.treat, c.flags, c.ask, c.why}
			for i, what := range []string{"grade", "bounds", "treat as", "flags", "ask", "because"} {
				if got[i] != want[i] {
					t.Errorf("%s: got %q, want %q", what, got[i], want[i])
				}
			}
		})
	}
}

func flags(v Verdict) string {
	var list []string
	for _, x := range []struct {
		name string
		on   bool
	}{{"buttonhole", v.Buttonhole}, {"second_look", v.SecondLook}, {"settled", v.Settled}} {
		if x.on {
			list = append(list, x.name)
		}
	}
	return strings.Join(list, " ")
}

func TestReasonsNameTheirFindings(t *testing.T) {
	f := with(func(f *Findings) {
		f.AnorectalMucosa, f.InternalSphincter, f.ExternalSphincter = Torn, Torn, UnderHalf
	})
	r, _ := Judge(f).Because.Find(AnorectalMucosaTorn)
	if want := []string{AnorectalMucosa, ExternalSphincter, InternalSphincter}; !reflect.DeepEqual(r.On, want) {
		t.Errorf("a 4 rests on %q, want %q", r.On, want)
	}
	f = with(func(f *Findings) { f.ExternalSphincter, f.RectalExam = UnderHalf, RectalDeclined })
	r, _ = Judge(f).Because.Find(RectalExamDeclined)
	if want := []string{ExternalSphincter, InternalSphincter, AnorectalMucosa}; !reflect.DeepEqual(r.On, want) {
		t.Errorf("without the rectal examination %q do not hold, want %q", r.On, want)
	}
}

func TestValidateNamesFieldAndWord(t *testing.T) {
	for _, c := range []struct {
		field string
		f     Findings
	}{
		{PerinealSkin, Findings{PerinealSkin: "ripped"}},
		{VaginalMucosa, Findings{VaginalMucosa: "ripped"}},
		{PerinealMuscle, Findings{PerinealMuscle: "ripped"}},
		{InternalSphincter, Findings{InternalSphincter: "ripped"}},
		{AnorectalMucosa, Findings{AnorectalMucosa: "ripped"}},
		{ExternalSphincter, Findings{ExternalSphincter: "ripped"}},
		{RectalExamination, Findings{RectalExam: "ripped"}},
	} {
		err := c.f.Validate()
		var word *UnknownWordError
		if !errors.As(err, &word) || word.Field != c.field || word.Word != "ripped" {
			t.Errorf("%s: got %v, want an UnknownWordError that names it", c.field, err)
			continue
		}
		for _, part := range []string{c.field, `"ripped"`, "or"} {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("%q does not say %q", err, part)
			}
		}
		if got, want := Judge(c.f), Judge(Findings{}); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: an unknown word is judged as %+v, want as not examined", c.field, got)
		}
	}
	for _, mixed := range []Findings{{ExternalSphincter: "torn"}, {PerinealSkin: "under_half"}, {PerinealSkin: "Intact"}} {
		if mixed.Validate() == nil {
			t.Errorf("%+v: a word of another list is let through", mixed)
		}
	}
}

func TestValidateLetsEveryCombinationThrough(t *testing.T) {
	for _, f := range every {
		if err := f.Validate(); err != nil {
			t.Fatalf("%+v: %v", f, err)
		}
	}
}

func TestGradeNeverReadsAsNoneByAccident(t *testing.T) {
	var g Grade
	if g.String() != "undetermined" {
		t.Errorf("the zero grade reads %q", g)
	}
	for _, bad := range []Grade{-1, Fourth + 1} {
		if got := bad.String(); !strings.Contains(got, "of no scale") {
			t.Errorf("grade %d reads %q", int(bad), got)
		}
	}
}

func ExampleJudge() {
	v := Judge(Findings{
		PerinealSkin: Torn, VaginalMucosa: Torn, PerinealMuscle: Torn,
		ExternalSphincter: UnderHalf, InternalSphincter: Unsure, AnorectalMucosa: Intact,
		RectalExam: RectalDone,
	})
	fmt.Println(v.Grade, "settled:", v.Settled)
	fmt.Println("at least", v.AtLeast, "at most", v.AtMost)
	fmt.Println("look again at", v.Ask)
	fmt.Println("because", v.Because.Keys())
	// Output:
	// 3c settled: false
	// at least 3a at most 3c
	// look again at [internal_sphincter]
	// because [external_under_half unsure_takes_higher]
}

func BenchmarkJudge(b *testing.B) {
	b.ReportAllocs()
	for i := range b.N {
		Judge(every[i%len(every)])
	}
}
