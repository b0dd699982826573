package course

import (
	"slices"
	"testing"
	"time"

	"fourchette/core/tear"
)

const minute = int64(60_000)

// born is a birth that was told at once, with these moments after it, and now.
func born(known bool, moments ...Moment) Facts {
	f := Facts{GradeChanged: -1, Opened: 0, Born: -1, Verdict: tear.Judge(tear.Findings{}), Now: moments[len(moments)-1], Moments: moments[:len(moments)-1]}
	if known {
		f.Born, f.BornAt = 0, moments[0].Wall
	}
	return f
}

func moment(wall, running int64, run string) Moment {
	return Moment{Device: "a", Wall: wall * minute, Running: running * minute, Run: run}
}

func timer(t *testing.T, f Facts, key string) Timer {
	t.Helper()
	for _, timer := range Walk(f).Timers {
		if timer.Key == key {
			return timer
		}
	}
	t.Fatalf("no timer %s", key)
	return Timer{}
}

// TestTranexamicLimit: 3 hours from the birth (WOMAN 2017), whatever happens to
// the clocks. In doubt the longer time counts.
func TestTranexamicLimit(t *testing.T) {
	for name, c := range map[string]struct {
		f     Facts
		state string
		doubt bool
	}{
		"just before":                       {born(true, moment(0, 0, "r"), moment(179, 179, "r")), TimerRunning, false},
		"just reached":                      {born(true, moment(0, 0, "r"), moment(180, 180, "r")), TimerOver, false},
		"two hours of sleep":                {born(true, moment(0, 0, "r"), moment(60, 60, "r"), moment(181, 61, "r")), TimerOver, false},
		"a clock set back a day":            {born(true, moment(0, 0, "r"), moment(181-24*60, 181, "r")), TimerOver, true},
		"set back, then another run":        {born(true, moment(0, 0, "r"), moment(170-24*60, 170, "r"), moment(181-24*60, 1, "s")), TimerOver, true},
		"a new run":                         {born(true, moment(0, 500, "r"), moment(100, 3, "s")), TimerRunning, false},
		"a reboot that lost the clock":      {born(true, moment(29_000_000, 500, "r"), moment(29_000_100, 600, "r"), moment(20, 1, "s")), TimerRunning, true},
		"and went on for eighty minutes":    {born(true, moment(29_000_000, 500, "r"), moment(29_000_100, 600, "r"), moment(20, 1, "s"), moment(100, 81, "s")), TimerOver, true},
		"set back a little":                 {born(true, moment(0, 0, "r"), moment(99, 100, "r")), TimerRunning, false},
		"hour unknown":                      {born(false, moment(0, 0, "r"), moment(10, 10, "r")), TimerUnknown, false},
		"hour unknown, and the record old":  {born(false, moment(0, 0, "r"), moment(180, 180, "r")), TimerOver, false},
		"hour unknown and a clock set back": {born(false, moment(0, 0, "r"), moment(-600, 181, "r")), TimerOver, true},
	} {
		got := timer(t, c.f, Tranexamic)
		if got.State != c.state || got.Doubt != c.doubt {
			t.Errorf("%s: %s, doubt %v, want %s, %v", name, got.State, got.Doubt, c.state, c.doubt)
		}
		if c.f.Born < 0 && !got.Due.IsZero() {
			t.Errorf("%s: due at %v although nobody knows the hour", name, got.Due)
		}
		if c.f.Born >= 0 && got.Due.After(at(c.f.Now.Wall)) != (got.State == TimerRunning) {
			t.Errorf("%s: due %v by a clock that says %v, and %s", name, got.Due, at(c.f.Now.Wall), got.State)
		}
	}
}

func TestAnHourThatWasToldCounts(t *testing.T) {
	f := born(true, moment(600, 0, "r"), moment(610, 10, "r"))
	f.BornAt = 600*minute - 5*60*minute // five hours before the record was opened
	if got := timer(t, f, FirstUrine); got.State != TimerRunning || got.Due.Sub(at(f.Now.Wall)) != 50*time.Minute {
		t.Errorf("%+v, want 50 minutes left of 6 hours (WHO 2022)", got)
	}
	if p := Walk(f); slices.ContainsFunc(p.Timers, func(t Timer) bool { return t.Key == EarlyChecks }) {
		t.Error("the first two hours are over since before she came: no early checks")
	}
}

// TestWaitIsTheShorterTime: a clock that jumps ahead does not shorten a wait.
func TestWaitIsTheShorterTime(t *testing.T) {
	f := born(true, moment(0, 0, "r"), moment(10, 10, "r"), moment(70, 11, "r"))
	f.Injections = []int{1}
	if got := timer(t, f, WaitNumb); got.State != TimerRunning {
		t.Errorf("one minute by the running clock, an hour by the wall: %s", got.State)
	}
	f.Now = moment(12, 12, "r")
	if got := timer(t, f, WaitNumb); got.State != TimerOver {
		t.Errorf("two minutes: %s (WHO MCPC P-84)", got.State)
	}
	f.Answers = []Answer{{Question: "numb_felt", Value: "yes", Place: 2}}
	f.Moments, f.Now = append(f.Moments, moment(12, 12, "r")), moment(13, 13, "r")
	if got := timer(t, f, WaitNumb); got.State != TimerRunning {
		t.Errorf("felt, so two minutes more: %s", got.State)
	}
}

func TestEarlyChecksComeBack(t *testing.T) {
	f := born(true, moment(0, 0, "r"), moment(14, 14, "r"), moment(16, 16, "r"))
	if got := timer(t, f, EarlyChecks); got.State != TimerOver || !slices.Equal(Walk(f).Overdue(), []string{EarlyChecks}) {
		t.Errorf("%+v", got)
	}
	f.Answers = []Answer{{Question: "early_check", Value: "well", Place: 1}}
	if got := timer(t, f, EarlyChecks); got.State != TimerRunning {
		t.Errorf("checked two minutes ago: %s", got.State)
	}
	f.Moments[1], f.Now = moment(121, 121, "r"), moment(300, 300, "r")
	if got := timer(t, f, EarlyChecks); got.State != TimerDone {
		t.Errorf("checked after two hours: %s", got.State)
	}
}

func TestAnotherDevicesClockIsNotMixedIn(t *testing.T) {
	f := born(true, moment(0, 0, "r"), Moment{Device: "b", Wall: 5000 * minute}, moment(10, 10, "r"))
	if got := timer(t, f, Tranexamic); got.State != TimerRunning || got.Doubt {
		t.Errorf("%+v", got)
	}
}

func TestClocksThatSayNonsense(t *testing.T) {
	for _, wall := range []int64{-1 << 63, 1<<63 - 1, 0} {
		f := born(true, Moment{Device: "a", Wall: wall}, Moment{Device: "a", Wall: -wall}, Moment{Device: "a", Wall: wall, Running: 1<<63 - 1, Run: "r"})
		f.BornAt = 1 << 62
		f.Injections = []int{1}
		Walk(f)
	}
}

// TestAntibioticAfterVacuumOrForceps: within 6 hours of the birth (WHO 2021),
// and no timer where nobody pulled; what was given, or not, ends it.
func TestAntibioticAfterVacuumOrForceps(t *testing.T) {
	for _, c := range []struct {
		how, given string
		known      bool
		minutes    int64
		state      string
	}{
		{"none", "", true, 10, ""},
		{"unknown", "", true, 10, ""},
		{"vacuum", "", true, 359, TimerRunning},
		{"forceps", "", true, 360, TimerOver},
		{"forceps", "", false, 10, TimerUnknown},
		{"vacuum", "not_given", true, 400, TimerDone},
		{"vacuum", "at", true, 400, TimerDone},
	} {
		f := born(c.known, moment(0, 0, "r"), moment(c.minutes, c.minutes, "r"))
		f.Answers = []Answer{{Question: "instrumental", Value: c.how}}
		if c.given != "" {
			f.Answers = append(f.Answers, Answer{Question: "antibiotic_given", Value: c.given})
		}
		got := ""
		for _, timer := range Walk(f).Timers {
			if timer.Key == Antibiotic {
				got = timer.State
				if timer.Kind != Window {
					t.Errorf("kind %s: past 6 hours it is no longer given", timer.Kind)
				}
			}
		}
		if got != c.state {
			t.Errorf("%+v: %q", c, got)
		}
	}
}
