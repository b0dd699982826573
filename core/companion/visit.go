package companion

import (
	"slices"
	"time"

	"fourchette/core/aftercare"
	"fourchette/core/birth"
)

// Why a day is not taken.
const (
	FaultVisitUnknown  = "visit_unknown"       // none of her visits
	FaultTodayNotSaid  = "today_not_looked_at" // say first that this device's date is right
	FaultVisitTooEarly = "visit_before_birth"
	FaultVisitTooLate  = "visit_too_late"
	FaultVisitOdd      = "visit_odd" // outside its range, or past: confirm it
)

const day = 24 * time.Hour

const (
	// lastVisit is how long after the birth a day is no slip of the finger: the
	// latest review, at 12 weeks, and four weeks more (ours, no source).
	lastVisit = (84 + 28) * day
	// dayApart is how far a calendar day may lie from the same day in UTC.
	dayApart = day
	// nearby is how far beside its range a later visit is not asked about (ours,
	// no source); in the first days it is one day.
	nearby = 3 * day
)

func planVisit(c *Companion, r *VisitRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	on, err := time.Parse(time.DateOnly, r.Date)
	if err != nil {
		return nil, &Fault{Code: FaultTime, Field: "date", Detail: r.Date}
	}
	if r.Confirmed {
		err = c.mayAgree(b, r, on)
	} else {
		err = mayTakeBack(b, r)
	}
	if err != nil {
		return nil, err
	}
	return saved(c.write(r.Birth, birth.KindVisit, func(e *birth.Event) {
		e.Visit = &birth.Visit{Key: r.Key, Date: r.Date, Confirmed: r.Confirmed}
	}))
}

// mayTakeBack: the day that stands, however odd it is.
func mayTakeBack(b *birth.Birth, r *VisitRequest) error {
	stands := func(v birth.Visited) bool { return v.Key == r.Key && v.Date == r.Date }
	if !slices.ContainsFunc(b.Visits, stands) {
		return &Fault{Code: FaultVisitUnknown, Field: "key", Detail: r.Key + " " + r.Date}
	}
	return nil
}

// mayAgree refuses what cannot be and asks about what is odd. Today's date is
// looked at before any other is worked out from it.
func (c *Companion) mayAgree(b *birth.Birth, r *VisitRequest, on time.Time) error {
	p, f := c.path(b)
	plan, err := aftercare.For(careCase(b, p))
	if err != nil {
		return err
	}
	at := slices.IndexFunc(plan.Visits, func(v aftercare.Visit) bool { return v.Key == r.Key })
	if at < 0 {
		return &Fault{Code: FaultVisitUnknown, Field: "key", Detail: r.Key}
	}
	today := midnight(c.host.Wall())
	earliest, latest := bornBetween(b, today)
	switch {
	case on.Before(earliest.Add(-dayApart)):
		return &Fault{Code: FaultVisitTooEarly, Field: "date", Detail: r.Date}
	case on.After(latest.Add(lastVisit)):
		return &Fault{Code: FaultVisitTooLate, Field: "date", Detail: r.Date}
	case !f.TodayLooked():
		return &Fault{Code: FaultTodayNotSaid, Field: "date", Detail: r.Date}
	case !r.OddMeant && oddDay(plan.Visits[at], on, today):
		return &Fault{Code: FaultVisitOdd, Field: "date", Detail: r.Date}
	}
	return nil
}

// bornBetween are the days between which she gave birth.
func bornBetween(b *birth.Birth, today time.Time) (earliest, latest time.Time) {
	if b.BornKnown {
		born := midnight(time.UnixMilli(b.BornAt))
		return born, born
	}
	opened := today // the opening may still be on another device
	if b.OpenedAt != 0 {
		opened = midnight(time.UnixMilli(b.OpenedAt))
	}
	return opened.Add(-MaxBirthAge), opened
}

func oddDay(v aftercare.Visit, on, today time.Time) bool {
	if on.Before(today.Add(-dayApart)) {
		return true
	}
	if v.From.IsZero() { // nobody knows the hour of birth, and so no range
		return false
	}
	room := dayApart
	if v.To.Sub(v.From) >= 7*day || v.From.Equal(v.To) {
		room = nearby
	}
	return on.Before(midnight(v.From).Add(-room)) || on.After(midnight(v.To).Add(room))
}

func midnight(t time.Time) time.Time { return t.UTC().Truncate(day) }
