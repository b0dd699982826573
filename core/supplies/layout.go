package supplies

import "fourchette/core/tear"

// Item is one kind of thing to lay out.
type Item struct {
	Key string
	// N is how many pieces (of swabs: one pack; of gloves: pairs), at least 1.
	N int
	// Counted says that it is counted in and out.
	Counted bool
	// IfNeeded says that it is at hand and opened only when needed.
	IfNeeded bool
	// WithNeedle says that each piece brings a needle of its own, which is
	// counted in and out as a needle when the packet is opened (common practice,
	// no source).
	WithNeedle bool
	// Material and Size tell one suture from another; empty for all else. The
	// materials' keys are those of core/repair.
	Material, Size string
	// Source is the document, or "common practice, no source"; Read says how
	// it was read: "FOUND", "2nd", "from memory: …", empty without a source.
	Source, Read string
}

// row is a line of the lay-out, and the lowest grade that it is for.
type row struct {
	from tear.Grade
	item Item
}

const (
	found  = "FOUND"
	second = "2nd"
	none   = "common practice, no source"
	msf    = "MSF Essential obstetric and newborn care 5.9.1"
	rcog   = "notes on RCOG GTG29 2015"
	acsqhc = "ACSQHC Clinical Care Standard 2021, QS5"
)

// rows is the lay-out in the order in which it is fetched: what she needs to
// see and to be clean, what numbs, the instruments, the thread.
var rows = []row{
	{tear.First, Item{Key: Light, N: 1, Source: msf, Read: found}},
	{tear.First, Item{Key: Gloves, N: 2, Source: msf + "; a second pair after the rectal examination: WHO MCPC 1st ed., P-83", Read: found}},
	{tear.First, Item{Key: Drape, N: 1, Source: msf, Read: found}},
	{tear.First, Item{Key: Antiseptic, N: 1, Source: msf, Read: found}},
	{tear.First, Item{Key: SharpsBox, N: 1, Source: none}},
	{tear.Third3a, Item{Key: Catheter, N: 1, Source: acsqhc, Read: found}}, // for a short time, put in before the repair
	{tear.First, Item{Key: LocalAnaesthetic, N: 1, Source: msf, Read: found}},
	{tear.First, Item{Key: Syringe, N: 1, Counted: true, Source: none}},
	{tear.First, Item{Key: Needle, N: 1, Counted: true, Source: none}}, // to inject with
	{tear.First, Item{Key: Swab, N: 5, Counted: true, Source: "usual standard: packs of five", Read: "from memory: theatre standard"}},
	{tear.Second, Item{Key: Tampon, N: 1, Counted: true, IfNeeded: true, Source: "MSF Essential obstetric and newborn care 5.9", Read: found}},
	{tear.First, Item{Key: NeedleHolder, N: 1, Counted: true, Source: msf, Read: found}},
	{tear.First, Item{Key: Forceps, N: 1, Counted: true, Source: msf, Read: found}},
	{tear.First, Item{Key: Scissors, N: 1, Counted: true, Source: msf, Read: found}},
	{tear.Third3a, Item{Key: Clamp, N: 4, Counted: true, Source: none}},
	{tear.Third3a, Item{Key: ArteryClip, N: 2, Counted: true, Source: none}},
	{tear.Third3a, Item{Key: Retractor, N: 1, Counted: true, Source: none}},
	{tear.Fourth, Item{Key: Suture, N: 1, Counted: true, WithNeedle: true, Material: "absorbable_braided", Size: "3-0", Source: rcog, Read: second}},
	{tear.Third3a, Item{Key: Suture, N: 1, Counted: true, WithNeedle: true, Material: "absorbable_slow_monofilament", Size: "3-0", Source: rcog, Read: second}},
	{tear.First, Item{Key: Suture, N: 1, Counted: true, WithNeedle: true, Material: "absorbable_rapid", Size: "2-0", Source: msf + ": one or two", Read: found}},
	{tear.Second, Item{Key: Suture, N: 1, Counted: true, WithNeedle: true, IfNeeded: true, Material: "absorbable_rapid", Size: "2-0", Source: msf + ": one or two", Read: found}},
}

// LayOut lists what to lay out for a grade, in the order of fetching; nil where
// there is nothing to stitch. A buttonhole and an undetermined grade are laid
// out for as for a fourth degree: too much on the tray harms nobody.
func LayOut(g tear.Grade, buttonhole bool) []Item {
	if buttonhole || g == tear.Undetermined {
		g = tear.Fourth
	}
	var list []Item
	for _, r := range rows {
		if g >= r.from {
			list = append(list, r.item)
		}
	}
	return list
}
