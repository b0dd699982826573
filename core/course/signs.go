package course

// Signs are the numbers that were last told of her; nil is not measured, 0 is
// not to be felt or heard. See core/bleeding for their units and bounds.
type Signs struct {
	Lost, Pulse, Systolic, Diastolic *int
	// Again: the lower pressure that stands is not under the upper one. It is
	// left out above, and taken again.
	Again bool
	// Last is the place of the newest of them, -1 when there is none.
	Last int
}

// noneFelt is the word for a pulse or a pressure that cannot be felt or heard.
const noneFelt = "none"

// Signs reads them from the answers. "Not measured" takes no older number
// back: a cuff that is missing now makes nobody well.
func (f Facts) Signs() Signs {
	s := Signs{Last: -1}
	s.Lost = f.told(&s.Last, "loss_ml")
	s.Pulse = f.told(&s.Last, "pulse")
	s.Systolic = f.told(&s.Last, "systolic", "second_systolic")
	s.Diastolic = f.told(&s.Last, "diastolic", "second_diastolic")
	if s.Systolic != nil && s.Diastolic != nil && *s.Systolic > 0 && *s.Diastolic >= *s.Systolic {
		s.Diastolic, s.Again = nil, true
	}
	return s
}

// told is the newest number that answers one of the questions.
func (f Facts) told(last *int, questions ...string) (n *int) {
	w, from := walk{f}, -1
	for _, q := range questions {
		a := w.answer(q, from)
		if a == nil || a.Value != "" && a.Value != noneFelt {
			continue
		}
		number := 0
		if a.Value == "" {
			number = int(a.Number)
		}
		n, from = &number, a.Place
		*last = max(*last, a.Place)
	}
	return n
}

// The levels of Facts.Alarm that ring, as core/bleeding names them.
const (
	Watch  = "watch"
	Act    = "act"
	Crisis = "crisis"
)

// rings: heavy bleeding comes first, until somebody said how it stands after
// the newest of the numbers.
func (w walk) rings() bool {
	return (w.Alarm == Act || w.Alarm == Crisis) && w.answer("alarm_seen", w.Signs().Last) == nil
}

// HighUpper and HighLower, in mmHg: from either on a pressure is high (WHO 2020,
// drug treatment for non-severe hypertension in pregnancy, FOUND).
const (
	HighUpper = 140
	HighLower = 90
)

// pressure is how high it is: "", PressureHigh or PressureSevere. From 160 or
// 110 on it is severe and must be treated (NHS Greater Glasgow, hypertension
// postpartum, FOUND); the early warning criteria ring over 160 and already over
// 100 (Obstet Gynecol 2014;124:782, FOUND): the earlier of each is taken.
func (w walk) pressure() string {
	s := w.Signs()
	over := func(upper, lower int) bool {
		return s.Systolic != nil && *s.Systolic >= upper || s.Diastolic != nil && *s.Diastolic >= lower
	}
	switch {
	case over(160, 101):
		return PressureSevere
	case over(HighUpper, HighLower):
		return PressureHigh
	}
	return ""
}
