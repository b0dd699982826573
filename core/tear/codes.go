package tear

// The notes that can stand beside a code.
const (
	// USOnly: the two codes differ, since only the US modification divides the
	// third degree.
	USOnly = "us_modification_only"
	// LeftToCoder: no code of O70 is made for a buttonhole; O70.3 mentions the
	// mucosa, O70.4 (ICD-10-CM only) the sphincter without a third degree.
	LeftToCoder = "buttonhole_left_to_coder"
)

// codes returns the codes of the grade written down, and a note. ICD-10 (WHO
// 2019): O70.1 read there, O70.0, O70.2, O70.3 and O70.9 read in ICD-10-CM,
// whose four-character codes are the same. No tear known: no code.
func (v Verdict) codes() (who, us, note string) {
	switch v.Grade {
	case First:
		who = "O70.0"
	case Second:
		who = "O70.1"
	case Third3a, Third3b, Third3c:
		who = "O70.2"
	case Fourth:
		who = "O70.3"
	case Undetermined:
		if v.AtLeast >= First {
			who = "O70.9" // unspecified
		}
	}
	us = usThird(v.Grade, who)
	switch {
	case v.Buttonhole:
		note = LeftToCoder
	case us != who:
		note = USOnly
	}
	return who, us, note
}

// usThird divides the third degree as ICD-10-CM does.
func usThird(g Grade, who string) string {
	switch g {
	case Third3a:
		return "O70.21" // ICD-10-CM: IIIa
	case Third3b:
		return "O70.22" // from memory: ICD-10-CM: IIIb
	case Third3c:
		return "O70.23" // ICD-10-CM: IIIc
	}
	return who
}
