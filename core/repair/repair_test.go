package repair_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	. "fourchette/core/repair"
	"fourchette/core/tear"

	"pgregory.net/rapid"
)

func layers(p Plan) string {
	var list []string
	for _, l := range p.Layers {
		list = append(list, l.Key)
	}
	return strings.Join(list, " ")
}

// The layers of each grade are those of its definition: RCOG GTG29 2015, as
// tabulated in BMC Pregnancy and Childbirth 2016, s12884-016-1065-y, Table 2.
func TestGrades(t *testing.T) {
	const outer = "vaginal_mucosa perineal_muscle perineal_skin"
	for _, c := range []struct {
		c           Case
		allowed, by string
		layers      string
		because     string
	}{
		{Case{Grade: tear.None}, Nothing, "", "", "nothing_torn"},
		{Case{Grade: tear.None, Episiotomy: true}, Here, Attendant, outer, "episiotomy_counts_as_second second_is_closed_here"},
		{Case{Grade: tear.First}, LeaveOrClose, Attendant, "vaginal_mucosa perineal_skin", "first_may_be_left"},
		{Case{Grade: tear.First, Episiotomy: true}, Here, Attendant, outer, "episiotomy_counts_as_second second_is_closed_here"},
		{Case{Grade: tear.Second}, Here, Attendant, outer, "second_is_closed_here"},
		{Case{Grade: tear.Second, DeepMuscle: true}, Here, Attendant, outer, "second_is_closed_here deep_muscle_in_two_layers"},
		{Case{Grade: tear.Third3a}, TrainedOnly, TrainedOperator, "external_sphincter " + outer, "sphincter_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Third3b}, TrainedOnly, TrainedOperator, "external_sphincter " + outer, "sphincter_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Third3c}, TrainedOnly, TrainedOperator, "internal_sphincter external_sphincter " + outer, "sphincter_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Fourth}, TrainedOnly, TrainedOperator, "anorectal_mucosa internal_sphincter external_sphincter " + outer, "sphincter_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Fourth, TrainedHere: true}, Here, TrainedOperator, "anorectal_mucosa internal_sphincter external_sphincter " + outer, "sphincter_needs_trained_operator trained_operator_here"},
		{Case{Grade: tear.Undetermined}, TrainedOnly, TrainedOperator, "anorectal_mucosa internal_sphincter external_sphincter " + outer, "grade_undetermined_planned_as_fourth sphincter_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.None, Buttonhole: true}, TrainedOnly, TrainedOperator, "anorectal_mucosa vaginal_mucosa", "buttonhole_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Second, Buttonhole: true}, TrainedOnly, TrainedOperator, "anorectal_mucosa " + outer, "buttonhole_needs_trained_operator no_trained_operator_here"},
		{Case{Grade: tear.Second, Buttonhole: true, TrainedHere: true}, Here, TrainedOperator, "anorectal_mucosa " + outer, "buttonhole_needs_trained_operator trained_operator_here"},
		{Case{Grade: tear.Second, TrainedHere: true}, Here, Attendant, outer, "second_is_closed_here"},
	} {
		p := For(c.c)
		got := [4]string{p.Allowed, p.By, layers(p), strings.Join(p.Because.Keys(), " ")}
		if want := [4]string{c.allowed, c.by, c.layers, c.because}; got != want {
			t.Errorf("%+v:\n got %q\nwant %q", c.c, got, want)
		}
	}
}

func layer(t *testing.T, c Case, key string) Layer {
	t.Helper()
	p := For(c)
	i := slices.IndexFunc(p.Layers, func(l Layer) bool { return l.Key == key })
	if i < 0 {
		t.Fatalf("%+v has no %s", c, key)
	}
	return p.Layers[i]
}

func TestPublishedFigures(t *testing.T) {
	fourth := Case{Grade: tear.Fourth, TrainedHere: true}
	for _, c := range []struct {
		layer, size, material, technique string
		source                           string
	}{
		{AnorectalMucosa, "3-0", Braided, "continuous_non_locking", "notes on RCOG GTG29; PMC10583107 table 2"},
		{InternalSphincter, "3-0", SlowMonofilament, "mattress_end_to_end", "notes on RCOG GTG29"},
		{ExternalSphincter, "3-0", SlowMonofilament, "end_to_end", "notes on RCOG GTG29"},
		{VaginalMucosa, "2-0", Rapid, "continuous_non_locking", "WHO surgical text"},
		{PerinealMuscle, "2-0", Rapid, "continuous", "Cochrane CD000947.pub3, 2012"},
		{PerinealSkin, "2-0", Rapid, "subcuticular", "WHO surgical text; Cochrane CD000947.pub3, 2012"},
	} {
		l := layer(t, fourth, c.layer)
		if l.Size != c.size || l.Material != c.material || l.Technique != c.technique {
			t.Errorf("%s: %s %s %s, want %s %s %s (%s)", c.layer, l.Size, l.Material, l.Technique, c.size, c.material, c.technique, c.source)
		}
	}
	if l := layer(t, fourth, VaginalMucosa); l.BeginMm != 10 || l.Begin != "above_apex_of_vagina" {
		t.Errorf("the vagina begins %d mm %s, want 10 (WHO surgical text)", l.BeginMm, l.Begin)
	}
	if l := layer(t, fourth, AnorectalMucosa); l.SpacingMm != 5 || !slices.Contains(l.Never, "figure_of_eight") {
		t.Errorf("mucosa: %d mm, never %q; want 5 (MCPC P-86) and no figure of eight (RCOG)", l.SpacingMm, l.Never)
	}
	if l := layer(t, fourth, InternalSphincter); !slices.Contains(l.Never, "overlap") {
		t.Errorf("internal sphincter: never %q; RCOG says never overlap", l.Never)
	}
	if l := layer(t, Case{Grade: tear.Third3a}, ExternalSphincter); !slices.Contains(l.Never, "overlap_of_part_of_the_thickness") || l.IfTorn {
		t.Errorf("3a: never %q, if torn %v; part of the thickness is closed end to end", l.Never, l.IfTorn)
	}
	for deep, rows := range map[bool]int{false: 1, true: 2} {
		if l := layer(t, Case{Grade: tear.Second, DeepMuscle: deep}, PerinealMuscle); l.Rows != rows {
			t.Errorf("deep %v: %d rows, want %d (WHO surgical text)", deep, l.Rows, rows)
		}
	}
}

func TestALayerThatWasSeenTornIsNoQuestion(t *testing.T) {
	c := Case{Grade: tear.Fourth, Torn: []string{InternalSphincter, VaginalMucosa}}
	for _, l := range For(c).Layers {
		if seen := slices.Contains(c.Torn, l.Key); seen && l.IfTorn {
			t.Errorf("%s was seen torn", l.Key)
		} else if whole := l.Key == ExternalSphincter || l.Key == PerinealSkin || l.Key == PerinealMuscle; whole && !l.IfTorn {
			t.Errorf("%s may be whole", l.Key)
		}
	}
}

func TestAnEpisiotomyIsCutThroughEveryOuterLayer(t *testing.T) {
	for _, l := range For(Case{Grade: tear.Third3a, Episiotomy: true}).Layers {
		if l.IfTorn {
			t.Errorf("%s may be whole under an episiotomy that reached the sphincter", l.Key)
		}
	}
}

func drawCase(t *rapid.T) Case {
	flag := func(name string) bool { return rapid.Bool().Draw(t, name) }
	return Case{Grade: tear.Grade(rapid.IntRange(int(tear.Undetermined), int(tear.Fourth)).Draw(t, "grade")),
		Buttonhole: flag("buttonhole"), Episiotomy: flag("episiotomy"), TrainedHere: flag("trained"), DeepMuscle: flag("deep")}
}

var order = []string{AnorectalMucosa, InternalSphincter, ExternalSphincter, VaginalMucosa, PerinealMuscle, PerinealSkin}

func TestEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t)
		p := For(c)
		sphincter := c.Buttonhole || c.Grade == tear.Undetermined || c.Grade >= tear.Third3a
		if sphincter && !c.TrainedHere && p.Allowed != TrainedOnly || sphincter && p.By != TrainedOperator {
			t.Errorf("%+v: %s by %s", c, p.Allowed, p.By)
		}
		if len(p.Because) == 0 || (p.Allowed == Nothing) != (len(p.Layers) == 0) || (p.By == "") != (p.Allowed == Nothing) {
			t.Errorf("%+v: %s by %q, %d layers, because %v", c, p.Allowed, p.By, len(p.Layers), p.Because)
		}
		last := -1
		for _, l := range p.Layers {
			i := slices.Index(order, l.Key)
			if i <= last {
				t.Errorf("%s is out of order", l.Key)
			}
			last = i
			complete(t, l)
		}
		operator := c
		operator.TrainedHere = true
		if got := layers(For(operator)); got != layers(p) {
			t.Errorf("with an operator the layers are %s, without %s: what she prepares must be what is needed", got, layers(p))
		}
	})
}

func complete(t *rapid.T, l Layer) {
	for _, text := range []string{l.Drawing, l.Material, l.Size, l.Technique, l.Begin, l.End, l.Knot} {
		if text == "" {
			t.Errorf("%+v lacks something", l)
		}
	}
	if len(l.Never) == 0 || len(l.Instruments) == 0 || len(l.Sources) == 0 || l.Rows < 1 {
		t.Errorf("%+v lacks something", l)
	}
	for _, s := range l.Sources {
		if s.Document == "" || (s.Read == "") != (s.Document == "common practice, no source") {
			t.Errorf("%s: source %+v", l.Key, s)
		}
	}
}

// What a caller does to a plan must not reach the next one.
func TestPlansAreCopies(t *testing.T) {
	c := Case{Grade: tear.Fourth}
	p := For(c)
	for _, l := range p.Layers {
		l.Never[0], l.Instruments[0], l.Sources[0] = "x", "x", Source{}
	}
	for _, l := range For(c).Layers {
		if l.Never[0] == "x" || l.Instruments[0] == "x" || l.Sources[0] == (Source{}) {
			t.Errorf("%s was changed by a caller", l.Key)
		}
	}
}

func ExampleFor() {
	p := For(Case{Grade: tear.Second})
	fmt.Println(p.Allowed, p.By)
	for _, l := range p.Layers {
		fmt.Println(l.Key, l.Size, l.Technique)
	}
	// Output:
	// here attendant
	// vaginal_mucosa 2-0 continuous_non_locking
	// perineal_muscle 2-0 continuous
	// perineal_skin 2-0 subcuticular
}

// TestButtonholeIsNoTornRing: behind a whole ring no ring is stitched, the hole
// is closed before the vagina (Roper, Int Urogynecol J 2021;32:1761) and ends
// in the bowel.
func TestButtonholeIsNoTornRing(t *testing.T) {
	for _, g := range []tear.Grade{tear.None, tear.First, tear.Second} {
		for _, l := range For(Case{Grade: g, Buttonhole: true}).Layers {
			guarded := slices.Contains(l.Never, "vagina_over_open_hole")
			switch l.Key {
			case InternalSphincter, ExternalSphincter:
				t.Errorf("grade %s: %s is whole and in the plan", g, l.Key)
			case AnorectalMucosa:
				if l.End != "lower_end_of_hole" || !guarded {
					t.Errorf("grade %s: the lining ends at %s, never %q", g, l.End, l.Never)
				}
			case VaginalMucosa:
				if !guarded {
					t.Errorf("grade %s: nothing forbids to close the vagina over the hole", g)
				}
			}
		}
	}
	for _, l := range For(Case{Grade: tear.Fourth}).Layers {
		if slices.Contains(l.Never, "vagina_over_open_hole") || l.End == "lower_end_of_hole" {
			t.Errorf("a fourth degree is planned as a buttonhole: %+v", l)
		}
	}
}
