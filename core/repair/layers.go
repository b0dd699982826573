package repair

import (
	"slices"

	"fourchette/core/tear"
)

// The keys of the layers, from deep to shallow.
const (
	AnorectalMucosa   = "anorectal_mucosa"
	InternalSphincter = "internal_sphincter"
	ExternalSphincter = "external_sphincter"
	VaginalMucosa     = "vaginal_mucosa"
	PerinealMuscle    = "perineal_muscle"
	PerinealSkin      = "perineal_skin"
)

// The materials: all absorbable (WHO MCPC 1st ed., P-83).
const (
	Braided          = "absorbable_braided"           // polyglactin
	SlowMonofilament = "absorbable_slow_monofilament" // polydioxanone
	Rapid            = "absorbable_rapid"             // rapidly absorbed synthetic
)

// Layer is one layer and how it is closed. Every text is a key for the tables,
// but Size and SpacingMm.
type Layer struct {
	Key string
	// Drawing names the frames of the needle's path: the layer's own key.
	Drawing string
	// IfTorn says that this layer may be whole at this grade, and that nobody saw
	// it torn: look first.
	IfTorn bool
	// Instruments are keys of core/supplies.
	Instruments []string
	Material    string
	// Size is the thread's, as printed on its packet: "2-0".
	Size      string
	Technique string
	// Rows is how many rows of stitches, one above the other: 1 or 2.
	Rows int
	// Begin and End are places.
	Begin, End string
	// BeginMm is how far beyond the place to begin, SpacingMm how far apart
	// stitches are, in millimetres; 0 where no source prints a distance.
	BeginMm, SpacingMm int
	Knot               string
	// Never lists what must not be done.
	Never []string
	// Sources say which document each part rests on.
	Sources []Source
}

// Source is a document and how it was read: "FOUND", "2nd", "from memory: …",
// empty for "common practice, no source".
type Source struct{ Document, Read string }

const (
	found   = "FOUND"
	second  = "2nd"
	noPaper = "common practice, no source"
)

// The documents, each with the part that rests on it.
var (
	mucosaReview   = Source{"PMC10583107 table 2: continuous, non-locking, 3/0 or 4/0 braided", found}
	mucosaMaterial = Source{"notes on RCOG GTG29 2015: 3-0 polyglactin; no figure of eight", second}
	mucosaSpacing  = Source{"WHO MCPC P-86: 0.5 cm apart", "from memory: WHO MCPC"}
	noStitchLeft   = Source{"ACSQHC Clinical Care Standard 2021, QS5: a stitch felt in the rectum is removed", found}
	sphincters     = Source{"notes on RCOG GTG29 2015: 3-0 polydioxanone or 2-0 polyglactin", second}
	internalMethod = Source{"notes on RCOG GTG29 2015: apart from the external, interrupted or mattress, never overlapped", second}
	externalMethod = Source{"notes on RCOG GTG29 2015: part of the thickness end to end only, full thickness either way; knots buried", second}
	neitherBetter  = Source{"AWMF 015/079, 2020: neither method better, the one the operator knows best", found}
	vaginaWHO      = Source{"WHO surgical text for district hospitals: continuous 2-0, from about 1 cm above the apex to the vaginal opening", found}
	sizeWHO        = Source{"WHO surgical text for district hospitals: 2-0; a second row if deep", found}
	continuous     = Source{"Cochrane CD000947.pub3, 2012: continuous, less pain; NICE, as cited: fast-absorbing synthetic in all layers (2nd)", second}
	skinWHO        = Source{"WHO surgical text for district hospitals: interrupted or subcuticular 2-0", found}
	openHole       = Source{"Roper, Int Urogynecol J 2021;32:1761: the vagina closed over an open hole leaves a passage", found}
	usual          = Source{noPaper, ""}
)

var (
	fine     = []string{"needle_holder", "forceps", "scissors"}
	withGrip = append(slices.Clone(fine), "clamp", "artery_clip", "retractor")
)

// all holds every layer from deep to shallow.
var all = []Layer{
	{Key: AnorectalMucosa, Instruments: withGrip, Material: Braided, Size: "3-0", Technique: "continuous_non_locking", Rows: 1,
		Begin: "apex_of_mucosa", End: "anal_margin", SpacingMm: 5, Knot: "by_local_protocol",
		Never:   []string{"figure_of_eight", "stitch_left_in_rectum"},
		Sources: []Source{mucosaReview, mucosaMaterial, mucosaSpacing, noStitchLeft, usual}},
	{Key: InternalSphincter, Instruments: withGrip, Material: SlowMonofilament, Size: "3-0", Technique: "mattress_end_to_end", Rows: 1,
		Begin: "retracted_ends_held_in_clamps", End: "ends_meet", Knot: "not_tight",
		Never:   []string{"overlap", "one_stitch_through_both_sphincters"},
		Sources: []Source{sphincters, internalMethod, usual}},
	{Key: ExternalSphincter, Instruments: withGrip, Material: SlowMonofilament, Size: "3-0", Technique: "end_to_end", Rows: 1,
		Begin: "torn_ends_held_in_clamps", End: "ends_meet", Knot: "buried_under_perineal_muscle",
		Never:   []string{"overlap_of_part_of_the_thickness", "knot_under_the_skin"},
		Sources: []Source{sphincters, externalMethod, neitherBetter, usual}},
	{Key: VaginalMucosa, Instruments: fine, Material: Rapid, Size: "2-0", Technique: "continuous_non_locking", Rows: 1,
		Begin: "above_apex_of_vagina", BeginMm: 10, End: "vaginal_opening", Knot: "anchored_at_the_start",
		Never:   []string{"locking", "stitch_left_in_rectum"},
		Sources: []Source{vaginaWHO, continuous, noStitchLeft, usual}},
	{Key: PerinealMuscle, Instruments: fine, Material: Rapid, Size: "2-0", Technique: "continuous", Rows: 1,
		Begin: "vaginal_opening", End: "lower_end_of_wound", Knot: "thread_runs_on",
		Never:   []string{"dead_space_left", "stitch_left_in_rectum"},
		Sources: []Source{sizeWHO, continuous, noStitchLeft, usual}},
	{Key: PerinealSkin, Instruments: fine, Material: Rapid, Size: "2-0", Technique: "subcuticular", Rows: 1,
		Begin: "lower_end_of_wound", End: "fourchette", Knot: "buried_loop",
		Never:   []string{"edges_pulled_tight", "closing_scar_of_genital_cutting"},
		Sources: []Source{skinWHO, continuous, usual}},
}

// layers picks those that may be torn at grade g.
func (c Case) layers(g tear.Grade) []Layer {
	var list []Layer
	for _, l := range all {
		in, ifTorn := c.touches(l.Key, g)
		if !in {
			continue
		}
		l.Drawing, l.IfTorn = l.Key, ifTorn && !slices.Contains(c.Torn, l.Key)
		if l.Key == PerinealMuscle && c.DeepMuscle {
			l.Rows = 2
		}
		l.Instruments, l.Never, l.Sources = slices.Clone(l.Instruments), slices.Clone(l.Never), slices.Clone(l.Sources)
		if c.Buttonhole && (l.Key == AnorectalMucosa || l.Key == VaginalMucosa) {
			l.behindWholeRing(g)
		}
		list = append(list, l)
	}
	return list
}

// behindWholeRing is what a buttonhole changes: the hole is closed before the
// vagina, and it ends in the bowel and not at the anus.
func (l *Layer) behindWholeRing(g tear.Grade) {
	l.Never = append([]string{"vagina_over_open_hole"}, l.Never...)
	l.Sources = append(l.Sources, openHole)
	if l.Key == AnorectalMucosa && g < tear.Third3a {
		l.End = "lower_end_of_hole"
	}
}

// touches says whether a layer belongs to the repair of grade g, and whether it
// may be whole all the same: by the definitions of RCOG GTG29 2015 as tabulated
// in BMC Pregnancy and Childbirth 2016, s12884-016-1065-y, Table 2. An
// episiotomy cuts skin, vagina and muscle.
func (c Case) touches(layer string, g tear.Grade) (in, ifTorn bool) {
	switch layer {
	case AnorectalMucosa:
		return g == tear.Fourth || c.Buttonhole, c.Grade == tear.Undetermined && !c.Buttonhole
	case InternalSphincter: // in a fourth degree either may be whole: the higher reading
		return g >= tear.Third3c, g == tear.Fourth
	case ExternalSphincter: // in a 3c it may be whole: the higher reading
		return g >= tear.Third3a, g >= tear.Third3c
	case VaginalMucosa: // a buttonhole opens into the vagina or beside it
		return g >= tear.First || c.Buttonhole, !c.Episiotomy
	case PerinealMuscle: // a grade beyond 2 names the sphincter alone
		return g >= tear.Second, g > tear.Second && !c.Episiotomy
	}
	return g >= tear.First, !c.Episiotomy
}
