package companion

import (
	"slices"
	"strconv"
	"time"

	"fourchette/core/birth"
	"fourchette/core/course"
	"fourchette/core/keep"
)

// The codes of deleting.
const (
	FaultBirthHeld     = "birth_held"     // detail: what holds it, of core/keep
	FaultConfirmDelete = "confirm_delete" // nothing is deleted without somebody saying so
)

// whyDeleted are the reasons for which a record may be deleted. They are in
// records for ever.
var whyDeleted = []string{"kept_long_enough", "by_mistake", "her_wish"}

// mostNamed is how many births are named at a time: who looks through a list
// and says yes to it reads no more.
const mostNamed = 200

// mostMonths is a slip of the finger from there on: a hundred years.
const mostMonths = 1200

// dueForDeletion names the births that the clinic's rule lets go, oldest first,
// and those that are old enough and held back.
func dueForDeletion(c *Companion, r *KeepRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if r.Months < 0 || r.Months > mostMonths {
		return nil, &Fault{Code: FaultOutOfRange, Field: "months", Detail: strconv.Itoa(r.Months)}
	}
	rule, now := keep.Rule{Months: r.Months}, c.host.Wall()
	var old []*keep.Birth
	for i := range c.state.Births {
		if b := &c.state.Births[i]; b.Closed && rule.Past(lastWritten(b), now) { // years of others are not walked
			old = append(old, c.keeping(b))
		}
	}
	due, held := keep.Due(rule, now, old)
	out := &DueForDeletionReply{More: len(due) > mostNamed || len(held) > mostNamed}
	out.Due, out.Held = firstNamed(due), firstNamed(held)
	return out, nil
}

func firstNamed(births []*keep.Birth) (list []OldBirth) {
	for _, b := range births[:min(len(births), mostNamed)] {
		list = append(list, oldBirth(b))
	}
	return list
}

func oldBirth(b *keep.Birth) OldBirth {
	return OldBirth{Birth: b.ID, Number: birth.Number(b.ID), Last: clockTime(b.Last), Why: b.Holds()}
}

// lastWritten is the latest wall clock in a record: in doubt it is kept longer.
func lastWritten(b *birth.Birth) time.Time {
	last := int64(0)
	for i := range b.Log {
		last = max(last, b.Log[i].Event.Wall)
	}
	if last == 0 {
		return time.Time{}
	}
	return time.UnixMilli(last)
}

// keeping is what counts when a record is to be deleted.
func (c *Companion) keeping(b *birth.Birth) *keep.Birth {
	open := c.facts(b).Unfinished()
	any := func(keys ...string) bool {
		return slices.ContainsFunc(open, func(key string) bool { return slices.Contains(keys, key) })
	}
	return &keep.Birth{
		ID: b.ID, Last: lastWritten(b), Open: !b.Closed, Doubt: !b.Complete(),
		Inside: any(course.TamponInside, course.TamponUnknown, course.PieceMissing, course.StitchInRectum, course.CatheterIn),
		Count:  any(course.CountNever, course.CountOpen),
		Visit:  slices.ContainsFunc(b.Visits, func(v birth.Visited) bool { return v.Confirmed && cameSaid(b, v) == "" }),
	}
}

// deletable says why a birth is not to be deleted, beside those before it.
func (c *Companion) deletable(id string, before []string) *Fault {
	b, err := c.birth(id)
	if err != nil {
		return &Fault{Code: FaultBirthUnknown, Detail: id}
	}
	if slices.Contains(before, id) {
		return &Fault{Code: FaultItemTwice, Detail: id}
	}
	if why := c.keeping(b).Holds(); why != nil {
		return &Fault{Code: FaultBirthHeld, Detail: why[0]}
	}
	return nil
}

// deleteBirths deletes the births that somebody has named and confirmed: all of
// them, or, where one is held back, none.
func deleteBirths(c *Companion, r *DeleteRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if !slices.Contains(whyDeleted, r.Reason) {
		return nil, &Fault{Code: FaultWord, Field: "reason", Detail: r.Reason}
	}
	if len(r.Births) == 0 {
		return nil, &Fault{Code: FaultKeyMissing, Field: "births"}
	}
	for i, id := range r.Births {
		if f := c.deletable(id, r.Births[:i]); f != nil {
			f.Field = "births." + strconv.Itoa(i)
			return nil, f
		}
	}
	if !r.Confirmed {
		return nil, &Fault{Code: FaultConfirmDelete, Field: "confirmed"}
	}
	for _, id := range r.Births {
		if _, err := c.write(id, birth.KindDeleted, func(e *birth.Event) { e.Deleted = &birth.Deleted{Reason: r.Reason} }); err != nil {
			return nil, err
		}
	}
	return &DeletedReply{Deleted: len(r.Births)}, nil
}
