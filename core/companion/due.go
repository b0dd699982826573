package companion

import (
	"cmp"
	"strconv"
	"strings"
	"time"

	"fourchette/core/arrange"
	"fourchette/core/birth"
	"fourchette/core/course"
)

// dueVisits lists the days on which women are to come back and of whom nobody
// has said that they came or did not, closed records among them.
func dueVisits(c *Companion, r *DueRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if r.Zone < -24*60 || r.Zone > 24*60 {
		return nil, &Fault{Code: FaultOutOfRange, Field: "zone", Detail: strconv.Itoa(r.Zone)}
	}
	today := c.host.Wall().In(time.FixedZone("", r.Zone*60)).Format(time.DateOnly)
	out := &DueReply{Today: today}
	for i := range c.state.Births {
		b := &c.state.Births[i]
		for _, v := range b.Visits {
			on, err := time.Parse(time.DateOnly, v.Date)
			if err != nil || !v.Confirmed || cameSaid(b, v) != "" {
				continue
			}
			out.Visits = append(out.Visits, DueVisit{Birth: b.ID, Number: b.Number, Bed: b.Bed, Key: v.Key, Date: v.Date, Week: weekOf(on), Overdue: v.Date < today,
				Inside: tamponSaidIn(b)})
		}
	}
	arrange.By(out.Visits, func(a, b DueVisit) int {
		return cmp.Or(strings.Compare(a.Date, b.Date), strings.Compare(a.Birth, b.Birth), strings.Compare(a.Key, b.Key))
	})
	return out, nil
}

// cameSaid is what was said of the day that stands, not of one before: "came"
// or "missed"; "" when nobody said.
func cameSaid(b *birth.Birth, v birth.Visited) string {
	if a := b.AnswerTo(course.Came + v.Key); a != nil && a.Place > v.Place {
		return a.Value
	}
	return ""
}

// weekOf is the Monday of a day's week (ISO 8601).
func weekOf(on time.Time) string {
	return on.AddDate(0, 0, -(int(on.Weekday())+6)%7).Format(time.DateOnly)
}

// mostFound is how many records a search shows: who looks for one types more.
const mostFound = 20

// searchBirths finds records by their number or a part of it, whatever its
// letters and its dash, or by the bed as it is written, the newest first.
func searchBirths(c *Companion, r *SearchRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	out := &SearchReply{}
	want := sameLetters(r.Text)
	if want == "" {
		return nil, &Fault{Code: FaultKeyMissing, Field: "text"}
	}
	for i := len(c.state.Births) - 1; i >= 0; i-- {
		b := &c.state.Births[i]
		if !strings.Contains(sameLetters(b.Number), want) && sameLetters(b.Bed) != want {
			continue
		}
		if len(out.Births) == mostFound {
			out.More = true
			break
		}
		out.Births = append(out.Births, c.summary(b))
	}
	return out, nil
}

// sameLetters is a number as it is compared: Western figures, capitals, no
// dashes and no spaces.
func sameLetters(s string) string {
	return strings.ToUpper(strings.NewReplacer("-", "", "\u2010", "", "\u2011", "", " ", "").Replace(Typed(s)))
}
