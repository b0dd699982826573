package companion

import (
	"cmp"
	"slices"
	"strconv"
	"time"
	"unicode/utf8"

	"fourchette/core/arrange"
	"fourchette/core/birth"
	"fourchette/core/bleeding"
	"fourchette/core/course"
	"fourchette/core/repair"
	"fourchette/core/supplies"
)

// The codes of the way.
const (
	FaultQuestionUnknown = "question_unknown"     // not in the table
	FaultAnswerKind      = "answer_kind"          // the question takes another kind of answer, or more than one was given
	FaultOutOfRange      = "out_of_range"         // a slip of the finger
	FaultZeroInWords     = "zero_in_words"        // 0: could it not be felt, or did nobody take it? Answer with the word
	FaultBeforeBirth     = "time_before_birth"    // detail: the hour of birth; more than a day before it
	FaultConfirmBefore   = "confirm_before_birth" // detail: the hour of birth; look at both hours, then confirm
	FaultConfirmBorn     = "confirm_born"         // detail: when the record was opened; the hour is after that
	FaultConfirmEarly    = "confirm_early"        // the pinch is before the wait is over
	FaultTamponWasIn     = "tampon_was_in"        // one was inside: it is out, or that was said by mistake
	FaultItemUnknown     = "item_unknown"         // nothing that is counted
	FaultItemTwice       = "item_twice"           // the same thing twice in one count
	FaultConfirmLower    = "confirm_lower"        // fewer than were counted in before: look in her and around, then confirm
	FaultLayerUnknown    = "layer_unknown"        // no such layer
)

func answerQuestion(c *Companion, r *AnswerRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	q, found := course.Find(r.Question)
	if !found {
		return nil, &Fault{Code: FaultQuestionUnknown, Field: "question", Detail: r.Question}
	}
	if b.Closed && !q.AfterClosing {
		return nil, &Fault{Code: FaultBirthClosed, Field: "birth", Detail: r.Birth}
	}
	a, err := c.answerTo(q, r)
	if err == nil {
		err = c.plausible(b, q, a)
	}
	if err == nil {
		err = afterTheBirth(b, q, a, r)
	}
	if err == nil && q.Key == course.Tampon && a.Value == "none" && tamponSaidIn(b) {
		err = &Fault{Code: FaultTamponWasIn, Field: "value", Detail: "out, or never_in"}
	}
	if err == nil && q.Key == "numb_felt" && a.Value == "no" && !r.Confirmed && c.waits(b) {
		err = &Fault{Code: FaultConfirmEarly, Field: "value"}
	}
	if err == nil && q.Key == birth.DeedFinished && a.Value == "yes" {
		err = c.heldBack(b, birth.DeedFinished, "", r.Despite)
	}
	if err != nil {
		return nil, err
	}
	a.Question = q.Key
	return saved(c.write(r.Birth, birth.KindAnswer, func(e *birth.Event) { e.Answer = a }))
}

// waits: what was injected has not had its time to work.
func (c *Companion) waits(b *birth.Birth) bool {
	p, _ := c.path(b)
	return slices.ContainsFunc(p.Timers, func(t course.Timer) bool { return t.Key == course.WaitNumb && t.State == course.TimerRunning })
}

// answerTo reads the one answer of a request, as the question takes it.
func (c *Companion) answerTo(q course.Question, r *AnswerRequest) (*birth.Answer, error) {
	given := 0
	for _, is := range []bool{r.Value != "", r.Number != nil, r.At != "", r.Text != "", r.TakeBack} {
		if is {
			given++
		}
	}
	wrong := &Fault{Code: FaultAnswerKind, Field: "question", Detail: q.Kind}
	switch {
	case given == 0:
		return nil, &Fault{Code: FaultKeyMissing, Field: "value"}
	case given > 1:
		return nil, wrong
	case r.TakeBack:
		return &birth.Answer{Kind: birth.AnswerTakenBack}, nil
	case r.Value != "":
		if !slices.Contains(q.Words, r.Value) {
			return nil, &Fault{Code: FaultWord, Field: "value", Detail: r.Value}
		}
		return &birth.Answer{Kind: birth.AnswerChoice, Value: r.Value}, nil
	case r.Number != nil && q.Kind == course.Number:
		if *r.Number == 0 && slices.Contains(q.Words, "none") {
			return nil, &Fault{Code: FaultZeroInWords, Field: "number", Detail: "none or not_measured"}
		}
		if !q.Takes(int64(*r.Number)) {
			return nil, &Fault{Code: FaultOutOfRange, Field: "number", Detail: strconv.Itoa(*r.Number)}
		}
		return &birth.Answer{Kind: birth.AnswerNumber, Number: int64(*r.Number)}, nil
	case r.At == "now" && q.Kind == course.Time:
		return &birth.Answer{Kind: birth.AnswerTime, At: c.host.Wall().UnixMilli()}, nil
	case r.At != "" && q.Kind == course.Time:
		at, err := c.pastHour("at", r.At)
		return &birth.Answer{Kind: birth.AnswerTime, At: at}, err
	case r.Text != "" && q.Kind == course.Text:
		if int64(utf8.RuneCountInString(r.Text)) > q.Most {
			return nil, &Fault{Code: FaultFieldTooLong, Field: "text", Detail: r.Text}
		}
		return &birth.Answer{Kind: birth.AnswerText, Text: r.Text}, nil
	}
	return nil, wrong
}

// tamponSaidIn: the last that was said of a tampon, "none" and what was taken
// back left aside, is that one is inside.
func tamponSaidIn(b *birth.Birth) (in bool) {
	for _, l := range b.Log {
		a := l.Event.Answer
		if a == nil || a.Question != course.Tampon {
			continue
		}
		switch a.Value {
		case "in", "left":
			in = true
		case "out", "never_in":
			in = false
		}
	}
	return in
}

// notBefore are the hours that cannot lie before the birth: what bleeds after
// it, and the first urine after it. An antibiotic may have been given in labour.
var notBefore = []string{"tranexamic_given", "tampon_at", "urine_passed"}

// askedAgain is how long before the stated birth such an hour is asked about
// once more: the hour of birth itself may be the wrong one, opened late. Before
// that it is another day (ours, common sense, no source).
const askedAgain = 24 * time.Hour

// afterTheBirth asks again about an hour that lies before the birth, and takes
// none that lies days before it: it would stop a timer that is running.
func afterTheBirth(b *birth.Birth, q course.Question, a *birth.Answer, r *AnswerRequest) error {
	if a.Kind != birth.AnswerTime || !b.BornKnown || !slices.Contains(notBefore, q.Key) {
		return nil
	}
	switch early := time.Duration(b.BornAt-a.At) * time.Millisecond; {
	case early <= clockSlack:
		return nil
	case early > askedAgain:
		return &Fault{Code: FaultBeforeBirth, Field: "at", Detail: stamp(b.BornAt)}
	case !r.Confirmed:
		return &Fault{Code: FaultConfirmBefore, Field: "at", Detail: stamp(b.BornAt)}
	}
	return nil
}

// plausible asks again about a lower pressure that is not under the upper one.
// An upper one is never refused: it may be falling.
func (c *Companion) plausible(b *birth.Birth, q course.Question, a *birth.Answer) error {
	upper := c.facts(b).Signs().Systolic
	lower := q.Key == "diastolic" || q.Key == "second_diastolic"
	if !lower || a.Kind != birth.AnswerNumber || upper == nil || *upper == 0 || a.Number < int64(*upper) {
		return nil
	}
	return &Fault{Code: bleeding.PressureImplausible, Field: "number", Detail: "upper " + strconv.Itoa(*upper)}
}

// kinds is what may be counted, in the order of the lay-out.
var kinds = []string{
	supplies.Swab, supplies.Needle, supplies.Tampon, supplies.Syringe, supplies.Suture, supplies.NeedleHolder,
	supplies.Forceps, supplies.Scissors, supplies.Clamp, supplies.ArteryClip, supplies.Retractor, supplies.Other,
}

// mostPieces is a slip of the finger from there on, as in core/supplies.
const mostPieces = 999

func countItems(c *Companion, r *CountRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	switch r.Phase {
	case birth.CountIn, birth.CountAdded, birth.CountOut:
	default:
		return nil, &Fault{Code: FaultWord, Field: "phase", Detail: r.Phase}
	}
	if len(r.Items) == 0 {
		return nil, &Fault{Code: FaultKeyMissing, Field: "items"}
	}
	before := c.facts(b).Tallies()
	count := &birth.Count{Phase: r.Phase}
	for i, line := range r.Items {
		if err := countable(line, r.Items[:i], "items."+strconv.Itoa(i)); err != nil {
			return nil, err
		}
		if r.Phase == birth.CountIn && !r.Confirmed && fewer(line, before) {
			return nil, &Fault{Code: FaultConfirmLower, Field: "items." + strconv.Itoa(i) + ".n", Detail: line.Item}
		}
		count.Items = append(count.Items, birth.CountItem(line))
	}
	return saved(c.write(r.Birth, birth.KindCount, func(e *birth.Event) { e.Count = count }))
}

func countable(line CountLine, before []CountLine, field string) error {
	switch {
	case !slices.Contains(kinds, line.Item):
		return &Fault{Code: FaultItemUnknown, Field: field + ".item", Detail: line.Item}
	case line.N < 0 || line.N > mostPieces:
		return &Fault{Code: FaultOutOfRange, Field: field + ".n", Detail: strconv.Itoa(line.N)}
	case slices.ContainsFunc(before, func(o CountLine) bool { return o.Item == line.Item }):
		return &Fault{Code: FaultItemTwice, Field: field + ".item", Detail: line.Item}
	}
	return nil
}

// fewer: a count in that is put right downwards could hide what is in her.
func fewer(line CountLine, before []course.Tally) bool {
	return slices.ContainsFunc(before, func(t course.Tally) bool { return t.Item == line.Item && line.N < t.In })
}

func compareCounts(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	p, f := c.path(b)
	out := &CountsReply{Kinds: kinds, Compared: f.OutKnown(), Damaged: b.Damaged, Late: f.CountedLate()}
	for _, g := range p.Gates {
		if g.Key == course.CountedIn {
			out.CountedIn = g.State == course.GatePassed
		}
	}
	for _, t := range f.Tallies() {
		out.ToCount = append(out.ToCount, t.Item)
		if !t.OutKnown {
			out.OutOpen = append(out.OutOpen, t.Item)
		}
		if out.Compared {
			out.Items = append(out.Items, CountedLine{Item: t.Item, In: t.In, Out: t.Out, Left: t.Left})
		}
	}
	if !out.Compared {
		return out, nil
	}
	result, err := compared(f)
	if err != nil {
		return nil, err
	}
	out.Complete = f.Reconciled && !out.Late
	out.Missing, out.Extra, out.NotCounted = pieces(result.Missing), pieces(result.Extra), result.NotCounted
	return out, nil
}

func pieces(list []supplies.ItemCount) (out []PieceReply) {
	for _, p := range list {
		out = append(out, PieceReply{Item: p.Item, Count: p.N})
	}
	return out
}

// layers are the keys that may be closed.
var layers = []string{
	repair.AnorectalMucosa, repair.InternalSphincter, repair.ExternalSphincter,
	repair.VaginalMucosa, repair.PerinealMuscle, repair.PerinealSkin,
}

func closeLayer(c *Companion, r *LayerRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(layers, r.Layer) {
		return nil, &Fault{Code: FaultLayerUnknown, Field: "layer", Detail: r.Layer}
	}
	if said := saidLast(b, r); said != nil {
		return said, nil
	}
	if r.Done {
		if err := c.heldBack(b, birth.DeedLayer, r.Layer, r.Despite); err != nil {
			return nil, err
		}
	}
	return saved(c.write(r.Birth, birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: r.Layer, Done: r.Done} }))
}

// saidLast is the last line of the record when it says the very same of the
// same layer: a tap that comes twice is no second stitch.
func saidLast(b *birth.Birth, r *LayerRequest) *SavedReply {
	last := b.Log[len(b.Log)-1].Event // an open record has its opening at least
	if last.Kind != birth.KindLayer || last.Layer == nil || *last.Layer != (birth.Layer{Layer: r.Layer, Done: r.Done}) {
		return nil
	}
	return &SavedReply{Birth: r.Birth, Event: last.ID()}
}

// showWay shows what stands of the way.
func showWay(out *BirthReply, b *birth.Birth) {
	for _, a := range b.Answers {
		shown := AnswerReply{Question: a.Question, Value: a.Value, At: stamp(a.At), Text: a.Text, Said: stamp(a.Wall)}
		if a.Kind == birth.AnswerNumber {
			shown.Number = &a.Number
		}
		out.Answers = append(out.Answers, shown)
	}
	closed := slices.Clone(b.Layers) // in the order in which they were closed, whatever the clocks said
	arrange.By(closed, func(x, y birth.Layered) int { return cmp.Compare(x.Place, y.Place) })
	for _, l := range closed {
		out.Layers = append(out.Layers, LayerReply{Layer: l.Layer.Layer, Done: l.Done, At: stamp(l.Wall)})
	}
	for _, v := range b.Visits {
		out.Visits = append(out.Visits, PlannedVisit{Key: v.Key, Date: v.Date, Confirmed: v.Confirmed, Came: cameSaid(b, v)})
	}
}

// loggedWay writes an event of the way as a line of the record.
func loggedWay(l *LogEntry, e birth.Event, showCounts bool) {
	switch {
	case e.Answer != nil:
		l.Name, l.Value = e.Answer.Question, answered(e.Answer)
	case e.Count != nil:
		l.Name = e.Count.Phase
		for _, it := range e.Count.Items {
			if showCounts {
				l.Counted = append(l.Counted, CountLine(it))
			}
		}
	case e.Layer != nil:
		l.Name, l.Value = e.Layer.Layer, yesNo(e.Layer.Done)
	case e.Visit != nil:
		l.Name, l.Value = e.Visit.Key, e.Visit.Date
	case e.Despite != nil:
		l.Name, l.Value, l.Open = e.Despite.Deed, e.Despite.Of, e.Despite.Open
	}
}

func answered(a *birth.Answer) string {
	switch a.Kind {
	case birth.AnswerChoice:
		return a.Value
	case birth.AnswerNumber:
		return strconv.FormatInt(a.Number, 10)
	case birth.AnswerTime:
		return stamp(a.At)
	case birth.AnswerText:
		return a.Text
	}
	return a.Kind
}
