package companion

import (
	"strings"
	"time"
	"unicode/utf8"

	"fourchette/core/anaesthetic"
	"fourchette/core/birth"
	"fourchette/core/reason"
	"fourchette/core/tear"
)

const (
	// MaxBed is the longest bed or room mark, in letters: a mark, not a name.
	MaxBed = 12
	// sameWoman is how soon after an opening another one may be of the same
	// woman, opened twice (ours, common sense, no source).
	sameWoman = 10 * time.Minute
	// MaxBirthAge is how long ago a birth may have been: six weeks, the time
	// after a birth that WHO calls postnatal (WHO 2022 recommendations on
	// postnatal care).
	MaxBirthAge = 42 * 24 * time.Hour
	// clockSlack is how far ahead of this clock a stated hour may lie: wrist
	// watches differ (common practice, no source).
	clockSlack = 15 * time.Minute
)

func (c *Companion) birth(id string) (*birth.Birth, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	for i := range c.state.Births {
		if c.state.Births[i].ID == id {
			return &c.state.Births[i], nil
		}
	}
	return nil, &Fault{Code: FaultBirthUnknown, Field: "birth", Detail: id}
}

// open finds a birth whose record takes events.
func (c *Companion) openRecord(id string) (*birth.Birth, error) {
	b, err := c.birth(id)
	if err == nil && b.Closed {
		return nil, &Fault{Code: FaultBirthClosed, Field: "birth", Detail: id}
	}
	return b, err
}

func openBirth(c *Companion, r *OpenRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	opened, err := c.opened(r.Bed, r.Born, r.BornAt)
	if err != nil {
		return nil, err
	}
	if same := c.perhapsOpen(r.Bed); same != "" && !r.Another {
		return nil, &Fault{Code: FaultPerhapsOpen, Field: "another", Detail: same}
	}
	id := c.state.NextBirth(c.writer.Device)
	return saved(c.write(id, birth.KindOpened, func(e *birth.Event) { e.Opened = opened }))
}

// putRight says the hour of birth or the bed anew: what was said before stays
// in the record. What runs against the clock is worked out from the new hour, so
// one that would give more time than the record itself has is asked about.
func putRight(c *Companion, r *PutRightRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	if r.Born == "now" {
		return nil, &Fault{Code: FaultWord, Field: "born", Detail: r.Born}
	}
	born := r.Born
	if born == "same" {
		born = "not_known"
	}
	opened, err := c.opened(r.Bed, born, r.BornAt)
	if err != nil {
		return nil, err
	}
	if r.Born == "same" {
		opened.BornAt, opened.BornKnown = b.BornAt, b.BornKnown
	} else if opened.BornKnown && !r.Confirmed && time.Duration(opened.BornAt-b.OpenedAt)*time.Millisecond > clockSlack {
		return nil, &Fault{Code: FaultConfirmBorn, Field: "born_at", Detail: stamp(b.OpenedAt)}
	}
	return saved(c.write(r.Birth, birth.KindOpened, func(e *birth.Event) { e.Opened = opened }))
}

// opened reads a bed and an hour of birth.
func (c *Companion) opened(bed, born, bornAt string) (*birth.Opened, error) {
	if utf8.RuneCountInString(bed) > MaxBed {
		return nil, &Fault{Code: FaultFieldTooLong, Field: "bed", Detail: bed}
	}
	at, known, err := c.bornAt(born, bornAt)
	return &birth.Opened{Bed: bed, BornAt: at, BornKnown: known}, err
}

// perhapsOpen is the open birth, the newest first, that a new record may be a
// second one of: it has the same bed, or was opened within minutes and one of
// the two has no bed. Two beds that differ are two women.
func (c *Companion) perhapsOpen(bed string) string {
	now := c.host.Wall().UnixMilli()
	for i := len(c.state.Births) - 1; i >= 0; i-- {
		b := &c.state.Births[i]
		since := time.Duration(now-b.OpenedAt) * time.Millisecond
		switch {
		case b.Closed:
		case b.Bed != "" && bed != "":
			if strings.EqualFold(strings.TrimSpace(b.Bed), strings.TrimSpace(bed)) {
				return b.ID
			}
		case since.Abs() < sameWoman:
			return b.ID
		}
	}
	return ""
}

func (c *Companion) bornAt(born, at string) (ms int64, known bool, err error) {
	switch born {
	case "now":
		return c.host.Wall().UnixMilli(), true, nil
	case "not_known":
		return 0, false, nil
	case "at":
	default:
		return 0, false, &Fault{Code: FaultWord, Field: "born", Detail: born}
	}
	ms, err = c.pastHour("born_at", at)
	return ms, err == nil, err
}

// pastHour reads an hour that somebody told: it has passed, and not too long
// ago.
func (c *Companion) pastHour(field, s string) (ms int64, err error) {
	now := c.host.Wall()
	at, err := time.Parse(time.RFC3339, s)
	switch {
	case err != nil:
		return 0, &Fault{Code: FaultTime, Field: field, Detail: s}
	case at.After(now.Add(clockSlack)):
		return 0, &Fault{Code: FaultTimeInFuture, Field: field, Detail: s}
	case now.Sub(at) > MaxBirthAge:
		return 0, &Fault{Code: FaultTimeTooLongAgo, Field: field, Detail: s}
	}
	return at.UnixMilli(), nil
}

// closeBirth closes a record. What is still open in it must be named: nothing
// is closed silently.
func closeBirth(c *Companion, r *CloseRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	d := birth.Despite{Deed: birth.DeedClosed, Open: c.facts(b).Unfinished()}
	if err := c.known(b.ID, d, r.OpenKnown, Fault{Code: FaultStillOpen, Field: "open_known"}); err != nil {
		return nil, err
	}
	return saved(c.write(r.Birth, birth.KindClosed, nil))
}

func reopenBirth(c *Companion, r *BirthRequest) (reply, error) {
	if _, err := c.birth(r.Birth); err != nil {
		return nil, err
	}
	return saved(c.write(r.Birth, birth.KindReopened, nil))
}

// saved keeps a nil *SavedReply from becoming a reply that is not nil.
func saved(s *SavedReply, err error) (reply, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

func find(c *Companion, r *FindRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	kind, body, err := findingEvent(b.Findings, r)
	if err != nil {
		return nil, err
	}
	return saved(c.write(r.Birth, kind, body))
}

// findingEvent turns an answer into its event; the words are checked by the
// classification itself.
func findingEvent(f tear.Findings, r *FindRequest) (kind string, body func(*birth.Event), err error) {
	wrong := &Fault{Code: FaultWord, Field: "value", Detail: r.Value}
	switch r.Finding {
	case "rectal_exam":
		f.RectalExam = tear.RectalExam(r.Value)
		return birth.KindRectal, func(e *birth.Event) { e.Rectal = &birth.Rectal{Value: r.Value} }, f.Validate()
	case "episiotomy":
		if r.Value != "yes" && r.Value != "no" {
			return "", nil, wrong
		}
		return birth.KindEpisiotomy, func(e *birth.Event) { e.Episiotomy = &birth.Episiotomy{Cut: r.Value == "yes"} }, nil
	case "second_look_done":
		if r.Value != "yes" {
			return "", nil, wrong
		}
		return birth.KindSecondLook, nil, nil
	}
	return birth.KindFinding, func(e *birth.Event) { e.Finding = &birth.Finding{Name: r.Finding, Value: r.Value} }, nil
}

func gradeBirth(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	g := judged(verdictOf(b))
	g.Damaged = b.Damaged
	return g, nil
}

// verdictOf grades what the record holds. Lines of a newer version may say
// more: then nothing is settled. Where lines may be lost any finding may have
// been put right since, upwards: what was found is a lower bound, as it is
// without the rectal examination, and the worst stays possible.
func verdictOf(b *birth.Birth) tear.Verdict {
	if b.Damaged {
		return damagedVerdict(b.Findings)
	}
	v := tear.Judge(b.Findings)
	v.Settled = v.Settled && b.Unknown == 0
	return v
}

func damagedVerdict(f tear.Findings) tear.Verdict {
	written := tear.Judge(f)
	f.RectalExam = tear.RectalNotSaid
	v := tear.Judge(f)
	v.Settled, v.Ask = false, written.Ask
	v.Because = append(reason.List{{Key: RecordDamaged}}, written.Because...)
	return v
}

func noteGrade(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	v := verdictOf(b)
	return saved(c.write(r.Birth, birth.KindGradeNoted, func(e *birth.Event) {
		e.GradeNoted = &birth.GradeNoted{
			Grade: v.Grade.String(), AtLeast: v.AtLeast.String(), AtMost: v.AtMost.String(), TreatAs: v.TreatAs.String(),
			Settled: v.Settled, Buttonhole: v.Buttonhole, Because: v.Because.Keys(),
		}
	}))
}

func weigh(c *Companion, r *WeighRequest) (reply, error) {
	if _, err := c.openRecord(r.Birth); err != nil {
		return nil, err
	}
	var in amounts
	w := birth.Weight{Grams: int64(in.weight("weight_kg", r.WeightKg)), NotWeighed: r.NotWeighed}
	switch {
	case in.fault != nil:
		return nil, in.fault
	case r.NotWeighed && r.WeightKg != "":
		return nil, &Fault{Code: FaultWord, Field: "not_weighed", Detail: "weighed and not weighed"}
	case !r.NotWeighed && r.WeightKg == "":
		return nil, &Fault{Code: FaultKeyMissing, Field: "weight_kg"}
	case !r.NotWeighed && w.Grams == 0:
		return nil, &Fault{Code: "weight_out_of_range", Field: "weight_kg", Detail: r.WeightKg}
	}
	if r.HeightCm != nil {
		if w.HeightCm = *r.HeightCm; w.HeightCm == 0 {
			return nil, &Fault{Code: "height_out_of_range", Field: "height_cm"}
		}
	}
	// The ceiling's own bounds decide which weights exist.
	limit, err := anaesthetic.Limit(anaesthetic.Request{Agent: "lidocaine", Body: bodyOf(w)})
	if err != nil {
		return nil, err
	}
	if limit.ConfirmWeight && !r.Confirmed {
		return nil, &Fault{Code: "confirm_weight", Field: "weight_kg", Detail: r.WeightKg}
	}
	return saved(c.write(r.Birth, birth.KindWeight, func(e *birth.Event) { e.Weight = &w }))
}

func tellPrior(c *Companion, r *PriorRequest) (reply, error) {
	if _, err := c.openRecord(r.Birth); err != nil {
		return nil, err
	}
	switch r.Told {
	case birth.PriorNothing, birth.PriorListed, birth.PriorNobodyKnows:
	default:
		return nil, &Fault{Code: FaultWord, Field: "told", Detail: r.Told}
	}
	return saved(c.write(r.Birth, birth.KindPrior, func(e *birth.Event) { e.Prior = &birth.Prior{Told: r.Told} }))
}
