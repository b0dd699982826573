package tear

// state says whether a part was looked at and could be told.
type state int

const (
	absent state = iota // not examined; the zero value
	unsure              // looked, could not tell
	known
)

// reading is what was entered for one part; depth counts only when known.
type reading struct {
	state state
	depth depth
}

func (r reading) is(d depth) bool { return r.state == known && r.depth == d }
func (r reading) isTorn() bool    { return r.state == known && r.depth > whole }

type readings [parts]reading

// readings takes the words as entered, the episiotomy counted in.
func (f Findings) readings() readings {
	r := readings{
		external: f.ExternalSphincter.reading(),
		internal: f.InternalSphincter.reading(),
		mucosa:   f.AnorectalMucosa.reading(),
		muscle:   f.PerinealMuscle.reading(),
		vagina:   f.VaginalMucosa.reading(),
		skin:     f.PerinealSkin.reading(),
	}
	if f.Episiotomy {
		cut := reading{known, torn}
		r[muscle], r[vagina], r[skin] = cut, cut, cut
	}
	return r
}

func (w Finding) reading() reading {
	switch w {
	case Intact:
		return reading{known, whole}
	case Torn:
		return reading{known, torn}
	case Unsure:
		return reading{state: unsure}
	}
	return reading{}
}

func (w External) reading() reading {
	switch w {
	case ExternalIntact:
		return reading{known, whole}
	case UnderHalf:
		return reading{known, underHalf}
	case HalfOrMore:
		return reading{known, half}
	case Through:
		return reading{known, through}
	case ExternalUnsure:
		return reading{state: unsure}
	}
	return reading{}
}

// spans says what each part may be. rectal: the rectal examination was done.
func (r readings) spans(rectal bool) (s spans) {
	for p := range parts {
		s[p] = r[p].span(p, rectal)
	}
	return s
}

// span widens a reading to what may be true. Without the rectal examination a
// sphincter or the mucosa may be torn further than it looked, except where no
// further tear would change the class.
func (r reading) span(p part, rectal bool) span {
	switch {
	case r.state != known:
		return span{whole, p.deepest()}
	case p.needsRectal() && !rectal && r.depth < half:
		return span{r.depth, p.deepest()}
	}
	return span{r.depth, r.depth}
}

func (r readings) any(s state) bool { return len(r.named(s)) > 0 }

// named lists the parts in this state.
func (r readings) named(s state) (on []string) {
	for p := range parts {
		if r[p].state == s {
			on = append(on, names[p])
		}
	}
	return on
}

// contradict says that two readings do not belong together: mucosa torn with
// one sphincter torn and the other intact, or internal torn under intact
// external. As entered: a second look is worth it before the rectal
// examination too.
func (r readings) contradict() bool {
	internalOnly := r[internal].is(torn) && r[external].is(whole)
	externalOnly := r[external].isTorn() && r[internal].is(whole)
	return internalOnly || externalOnly && r[mucosa].is(torn)
}
