package aftercare

import "time"

// Visit is one contact after the birth, in the time zone of Case.BirthAt.
type Visit struct {
	Key string
	// From and To bound it, both included; both zero when the time of birth is
	// not known. They are equal where the source names a single day.
	From, To time.Time
	Source
}

// hours after the birth of each contact.
type contact struct {
	key      string
	from, to time.Duration
	Source
}

const day = 24 * time.Hour

var (
	whoContacts = Source{"WHO 2013, as tabulated in BMC 2023", found}

	contacts = []contact{
		{"within_24_hours", 0, day, whoContacts},
		{"day_3", 2 * day, 3 * day, whoContacts}, // 48 to 72 h
		{"days_7_to_14", 7 * day, 14 * day, whoContacts},
		{"week_6", 42 * day, 42 * day, whoContacts},
	}
	review = contact{"sphincter_review", 42 * day, 84 * day, // 6 to 12 weeks
		Source{"6 to 12 weeks: RCOG GTG29 and leaflets", "from memory: RCOG GTG29 and leaflets"}}
)

// visits: WHO's contacts for everyone, and the review for all whose sphincter
// is not known to be whole.
func (c Case) visits() []Visit {
	due := contacts
	if c.sphincter() != No {
		due = append(due[:len(due):len(due)], review)
	}
	var list []Visit
	for _, x := range due {
		v := Visit{Key: x.key, Source: x.Source}
		if !c.BirthAt.IsZero() {
			v.From, v.To = c.BirthAt.Add(x.from), c.BirthAt.Add(x.to)
		}
		list = append(list, v)
	}
	return list
}
