package tear

// part is one finding, numbered in the order that settles ties in Ask: what
// tells most about the grade comes first.
type part int

const (
	external part = iota
	internal
	mucosa // the last that needs the rectal examination
	muscle
	vagina
	skin
	parts // how many
)

var names = [parts]string{
	ExternalSphincter, InternalSphincter, AnorectalMucosa,
	PerinealMuscle, VaginalMucosa, PerinealSkin,
}

func (p part) needsRectal() bool { return p <= mucosa }

// deepest is how far the part can tear.
func (p part) deepest() depth {
	if p == external {
		return through
	}
	return torn
}

// depth is how far a part is torn. Every part but the external sphincter is
// whole or torn.
type depth int

const (
	whole depth = iota
	torn
	half
	through

	underHalf = torn // of the external sphincter
)

// world is one complete set of findings: the truth, as it may be.
type world [parts]depth

// class grades a complete set of findings. Source of each line: RCOG GTG29
// 2015, as tabulated in BMC Pregnancy and Childbirth 2016, s12884-016-1065-y,
// Table 2; what the table leaves open is in the package comment.
//
// It never falls when any depth grows. Judge leans on that: of all possible
// worlds only the least and the most torn need a look.
func class(w world) Grade {
	sphincter := w[external] > whole || w[internal] > whole
	switch {
	case w[mucosa] > whole && sphincter: // sphincter complex and mucosa
		return Fourth
	case w[internal] > whole: // both sphincters; internal alone: the higher reading
		return Third3c
	case w[external] >= half: // > 50 %; exactly 50 %: the higher reading
		return Third3b
	case w[external] > whole: // < 50 %
		return Third3a
	case w[muscle] > whole: // perineal muscles, sphincter not involved
		return Second
	case w[skin] > whole || w[vagina] > whole: // skin and/or vaginal mucosa
		return First
	}
	return None
}

// plan is the grade to plan by. Torn mucosa is a grade 4 or a buttonhole, and
// a buttonhole is planned for like a 4: missed, it risks a fistula (Thirumagal
// & Bakour, J Reprod Med 2007;52:659-60).
func plan(w world) Grade {
	if w[mucosa] > whole {
		return Fourth
	}
	return class(w)
}

// span is how far a part may be torn, from least to most.
type span struct{ least, most depth }

func (s span) open() bool { return s.least != s.most }

type spans [parts]span

func (s spans) least() (w world) {
	for p := range s {
		w[p] = s[p].least
	}
	return w
}

func (s spans) most() (w world) {
	for p := range s {
		w[p] = s[p].most
	}
	return w
}

// width is how many grades apart the bounds are.
func (s spans) width() int { return int(class(s.most()) - class(s.least())) }

// buttonhole says that every world left is a buttonhole.
func (s spans) buttonhole() bool {
	return s[mucosa].least == torn && s[external].most == whole && s[internal].most == whole
}
