package course

import "time"

// The timers.
const (
	FirstUrine     = "first_urine"
	WaitNumb       = "wait_numb"
	Tranexamic     = "tranexamic"
	TamponIn       = "tampon_in"
	EarlyChecks    = "early_checks"
	SecondPressure = "second_pressure"
	Antibiotic     = "antibiotic"
)

// What a timer is for.
const (
	DoBy   = "do_by"  // something must be done by then; over is overdue
	WaitTo = "wait"   // nothing before then; over means go on
	Window = "window" // over means: no longer
	Open   = "open"   // no end; it only counts up
)

// The states of a timer.
const (
	TimerRunning = "running"
	TimerOver    = "over"
	TimerDone    = "done"
	TimerUnknown = "unknown" // from when it runs nobody knows: it may be over
)

// Timer is something that runs. Since and Due are told by the present wall
// clock, so that a screen can count on from here; both are zero where nobody
// knows, and Due where there is no end.
type Timer struct {
	Key, Kind, State string
	Since, Due       time.Time
	// Doubt: the clocks disagree. The longer time counts; look at another one.
	Doubt bool
}

const (
	// Urine passed and written down within 6 hours of the birth: WHO 2022
	// postnatal care, recommendation 1 (FOUND).
	urineBy = 6 * time.Hour
	// A second blood pressure within 6 hours if the first was normal: the same
	// (FOUND). Asked for in the first 24 hours only, as there.
	pressureBy    = 6 * time.Hour
	pressureUntil = 24 * time.Hour
	// Two minutes after the last injection before the pinch, two more where it
	// is felt: WHO MCPC 1st ed., P-71 and P-84 (FOUND).
	numbAfter = 2 * time.Minute
	// Tranexamic acid within 3 hours of the birth: WOMAN 2017 (2nd); not begun
	// later: WHO 2017 (from memory: WHO 2017).
	tranexamicBy = 3 * time.Hour
	// Antibiotic after vacuum or forceps as soon as possible and no more than 6
	// hours after the birth: WHO 2021, operative vaginal birth, remarks (2nd).
	antibioticBy = 6 * time.Hour
	// Uterus, bleeding and pulse each 15 minutes through the first 2 hours:
	// from memory: WHO MCPC; WHO 2022 says from the first hour on (FOUND).
	checkEach  = 15 * time.Minute
	checkUntil = 2 * time.Hour
)

func (w walk) timers() (list []Timer) {
	for _, t := range []*Timer{
		w.firstUrine(),
		w.waitNumb(),
		w.sinceBirth(Tranexamic, Window, tranexamicBy, w.hourTold("tranexamic_given")),
		w.tamponIn(),
		w.earlyChecks(),
		w.secondPressure(),
		w.antibiotic(),
	} {
		if t != nil {
			list = append(list, *t)
		}
	}
	return list
}

// age is how long ago the birth was. Where nobody knows the hour it was before
// the record was opened: at least that long ago.
func (w walk) age() (s span, known bool) {
	if w.Born >= 0 {
		return w.sinceHour(w.Born, w.BornAt), true
	}
	if w.Opened >= 0 {
		return w.since(w.Opened), false
	}
	return span{}, false
}

// TearAge is how old the tear is that is to be closed; matters is false once
// something was stitched, or when nothing is torn.
func (f Facts) TearAge() (since time.Duration, known, matters bool) {
	w := walk{f}
	age, known := w.age()
	return age.long, known, w.lastStitch() < 0 && !w.nothingTorn()
}

// sinceBirth runs from the birth. Where its hour is not known the timer is
// unknown until it must be over; it is never "not due".
func (w walk) sinceBirth(key, kind string, limit time.Duration, done bool) *Timer {
	age, known := w.age()
	t := &Timer{Key: key, Kind: kind, State: TimerUnknown, Doubt: age.odd}
	if known {
		t.run(w.Now.Wall, age.long, limit)
	}
	switch {
	case done:
		t.State = TimerDone
	case age.long >= limit:
		t.State = TimerOver
	}
	return t
}

// run sets a timer's hours and whether it is over.
func (t *Timer) run(now int64, passed, limit time.Duration) {
	t.Since = at(now).Add(-passed)
	t.Due = t.Since.Add(limit)
	t.State = TimerRunning
	if passed >= limit {
		t.State = TimerOver
	}
}

// firstUrine: she passed it once its hour was told. "Not yet" lets it run; a
// catheter empties the bladder, so that nothing is overdue, and is not her own:
// it counts up until she has passed some.
func (w walk) firstUrine() *Timer {
	if c := w.answer("urine_passed", -1); c != nil && c.Value == "catheter" {
		s := w.since(c.Place)
		return &Timer{Key: FirstUrine, Kind: Open, State: TimerRunning, Since: at(w.Now.Wall).Add(-s.long), Doubt: s.odd}
	}
	return w.sinceBirth(FirstUrine, DoBy, urineBy, w.hourTold("urine_passed"))
}

// hourTold: it was done, and when; a word says that it was not.
func (w walk) hourTold(question string) bool {
	a := w.answer(question, -1)
	return a != nil && a.Value == ""
}

// waitNumb waits, so the shorter time counts.
func (w walk) waitNumb() *Timer {
	from := w.lastInjection()
	if from < 0 {
		return nil
	}
	felt := w.answer("numb_felt", from)
	if felt != nil && felt.Value == "yes" {
		from = felt.Place
	}
	t := &Timer{Key: WaitNumb, Kind: WaitTo}
	t.run(w.Now.Wall, w.since(from).short, numbAfter)
	if felt != nil && felt.Value == "no" {
		t.State = TimerDone
	}
	return t
}

// tamponIn counts up from the hour it went in, or from when that was said. No
// source names an end.
func (w walk) tamponIn() *Timer {
	in := w.answer("tampon", -1)
	if in == nil || in.Value != "in" && in.Value != "left" {
		return nil
	}
	s := w.since(in.Place)
	if told := w.answer("tampon_at", -1); told != nil {
		s = w.sinceHour(told.Place, told.At)
	}
	return &Timer{Key: TamponIn, Kind: Open, State: TimerRunning, Since: at(w.Now.Wall).Add(-s.long), Doubt: s.odd}
}

// earlyChecks runs from the last check to the next, through the first hours. A
// birth that was longer ago when she came has no early checks.
func (w walk) earlyChecks() *Timer {
	age, known := w.age()
	if w.Opened < 0 || known && age.long-w.since(w.Opened).long >= checkUntil {
		return nil
	}
	t := &Timer{Key: EarlyChecks, Kind: DoBy, State: TimerUnknown, Doubt: age.odd}
	last, checked := age.long, w.answer("early_check", -1)
	if checked != nil {
		last = w.since(checked.Place).long
	}
	switch {
	case checked != nil && age.long-last >= checkUntil:
		t.State = TimerDone
	case known || checked != nil:
		t.run(w.Now.Wall, last, checkEach)
	}
	return t
}

func (w walk) secondPressure() *Timer {
	age, known := w.age()
	if w.Opened < 0 || known && age.long-w.since(w.Opened).long >= pressureUntil {
		return nil
	}
	return w.sinceBirth(SecondPressure, DoBy, pressureBy, w.has("second_systolic") && !w.says("second_systolic", "not_measured"))
}

// antibiotic runs after vacuum or forceps. Where nobody knows whether there was
// one, the question for that is asked in Safe.
func (w walk) antibiotic() *Timer {
	if !w.says("instrumental", "vacuum", "forceps") {
		return nil
	}
	return w.sinceBirth(Antibiotic, Window, antibioticBy, w.has("antibiotic_given"))
}

// Overdue lists the timers that are over and should have been seen to.
func (p Path) Overdue() (keys []string) {
	for _, t := range p.Timers {
		if t.Kind == DoBy && t.State == TimerOver {
			keys = append(keys, t.Key)
		}
	}
	return keys
}
