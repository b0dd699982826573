package birth

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"time"

	"fourchette/core/tear"
)

// ErrMalformed: the bytes are no event, or one that cannot have been meant.
// Keep the bytes all the same and say that one entry could not be read.
var ErrMalformed = errors.New("the entry cannot be read")

// Record is an event with the bytes it is stored as. Both come from
// [Event.Record] or [Decode]; do not build or change one by hand.
type Record struct {
	Event Event
	// Raw is stored, passed on and compared; it is never made from Event again.
	Raw []byte
	// Newer means: written by a newer version, and this version does not
	// understand all of it.
	Newer bool
}

// Record checks the event and fixes its bytes. The error is [ErrMalformed].
func (e Event) Record() (Record, error) {
	if want := schemaOf(e.Kind); e.Schema != want || want == 0 {
		return Record{}, malformed("%q in schema %d, this version writes it in %d", e.Kind, e.Schema, want)
	}
	if err := e.check(); err != nil {
		return Record{}, err
	}
	raw, err := e.MarshalMsg(nil)
	if err != nil {
		return Record{}, malformed("%v", err)
	}
	return Decode(raw)
}

// Decode reads one event; raw is copied. It refuses, with [ErrMalformed], what
// is no single well-formed event, and, in an event of this schema or an older
// one, whatever this version would not have written byte for byte. In an event
// of a newer schema unknown kinds, fields and words pass and set Newer.
func Decode(raw []byte) (Record, error) { return decode(raw, Schema) }

// decode reads as a program does whose newest schema is this.
func decode(raw []byte, newest uint8) (Record, error) {
	if len(raw) > MaxBytes {
		return Record{}, malformed("%d bytes, at most %d", len(raw), MaxBytes)
	}
	if err := wellFormed(raw); err != nil {
		return Record{}, malformed("%v", err)
	}
	var e Event
	if _, err := e.UnmarshalMsg(raw); err != nil {
		return Record{}, malformed("%v", err)
	}
	if err := e.checkEnvelope(); err != nil {
		return Record{}, err
	}
	doubt := e.doubt(raw, newest)
	if doubt != nil && e.Schema <= newest {
		return Record{}, doubt
	}
	return Record{Event: e, Raw: bytes.Clone(raw), Newer: doubt != nil}, nil
}

// doubt says what a program of this schema does not understand in e, which was
// read from raw; nil means nothing.
func (e Event) doubt(raw []byte, newest uint8) error {
	if came := schemaOf(e.Kind); came > newest || e.Schema <= newest && e.Schema != came {
		return malformed("%q in schema %d", e.Kind, e.Schema)
	}
	if err := e.checkBody(); err != nil {
		return err
	}
	again, err := e.MarshalMsg(nil)
	if err != nil {
		return malformed("%v", err)
	}
	if !bytes.Equal(again, raw) {
		return malformed("unknown or missing fields")
	}
	return nil
}

func (e Event) check() error {
	if err := e.checkEnvelope(); err != nil {
		return err
	}
	return e.checkBody()
}

// maxCount bounds counts and Lamport times, so that one wrong event cannot
// bring a device's counting to its end. 2⁵³ is also what every host can hold.
const maxCount = 1 << 53

// checkEnvelope holds for events of every schema.
func (e Event) checkEnvelope() error {
	switch {
	case e.Schema == 0:
		return malformed("no schema")
	case !isDevice(e.Device):
		return malformed("device %q", e.Device)
	case e.Seq == 0 || e.Seq > maxCount:
		return malformed("count %d", e.Seq)
	case e.Lamport == 0 || e.Lamport > maxCount:
		return malformed("Lamport time %d", e.Lamport)
	case !isText(e.Run, 64):
		return malformed("run %q", e.Run)
	case Number(e.Birth) == "":
		return malformed("birth %q", e.Birth)
	case !isWord(e.Kind):
		return malformed("kind %q", e.Kind)
	}
	return nil
}

// checkBody wants the one body that the kind names, and sense in it.
func (e Event) checkBody() error {
	var want checker
	switch e.Kind {
	case KindOpened:
		want = e.Opened
	case KindFinding:
		want = e.Finding
	case KindRectal:
		want = e.Rectal
	case KindEpisiotomy:
		want = e.Episiotomy
	case KindWeight:
		want = e.Weight
	case KindPrior:
		want = e.Prior
	case KindDose:
		want = e.Dose
	case KindDoseCorrected:
		want = e.DoseCorrected
	case KindGradeNoted:
		want = e.GradeNoted
	case KindLimitNoted:
		want = e.LimitNoted
	case KindAnswer:
		want = e.Answer
	case KindCount:
		want = e.Count
	case KindLayer:
		want = e.Layer
	case KindVisit:
		want = e.Visit
	case KindDespite:
		want = e.Despite
	case KindDeleted:
		want = e.Deleted
	case KindSecondLook, KindClosed, KindReopened, KindLookedThrough, KindDoubted, KindMoved:
		want = empty{}
	default:
		return malformed("kind %q is unknown", e.Kind)
	}
	wanted := 1
	if want == (empty{}) {
		wanted = 0
	}
	if e.bodies() != wanted {
		return malformed("%s with %d bodies, not %d", e.Kind, e.bodies(), wanted)
	}
	return want.check()
}

func (e Event) bodies() int {
	n := 0
	for _, set := range []bool{
		e.Opened != nil, e.Finding != nil, e.Rectal != nil, e.Episiotomy != nil, e.Weight != nil,
		e.Prior != nil, e.Dose != nil, e.DoseCorrected != nil, e.GradeNoted != nil, e.LimitNoted != nil,
		e.Answer != nil, e.Count != nil, e.Layer != nil, e.Visit != nil, e.Despite != nil, e.Deleted != nil,
	} {
		if set {
			n++
		}
	}
	return n
}

// checker is a body. Each check refuses a nil body: the kind named another.
type checker interface{ check() error }

type empty struct{}

func (empty) check() error { return nil }

func (o *Opened) check() error {
	if o == nil || !isText(o.Bed, 64) || (!o.BornKnown && o.BornAt != 0) {
		return malformed("opened %+v", o)
	}
	return nil
}

func (f *Finding) check() error {
	if f == nil {
		return malformed("no finding")
	}
	var all tear.Findings
	if !setFinding(&all, f.Name, f.Value) {
		return malformed("finding %q is unknown", f.Name)
	}
	if err := all.Validate(); err != nil {
		return malformed("%v", err)
	}
	return nil
}

func (r *Rectal) check() error {
	if r == nil {
		return malformed("no answer on the rectal examination")
	}
	if err := (tear.Findings{RectalExam: tear.RectalExam(r.Value)}).Validate(); err != nil {
		return malformed("%v", err)
	}
	return nil
}

func (e *Episiotomy) check() error {
	if e == nil {
		return malformed("no answer on the episiotomy")
	}
	return nil
}

// check leaves what a weight may be to the packages that use it: a slip of the
// finger is theirs to question, and what was entered is kept.
func (w *Weight) check() error {
	if w == nil || w.Grams < 0 || w.Grams > maxAmount || w.HeightCm < 0 || w.HeightCm > 1000 ||
		(w.NotWeighed && w.Grams != 0) || (!w.NotWeighed && w.Grams == 0) {
		return malformed("weight %+v", w)
	}
	return nil
}

func (p *Prior) check() error {
	if p == nil || p.Told != PriorNothing && p.Told != PriorListed && p.Told != PriorNobodyKnows {
		return malformed("prior %+v", p)
	}
	return nil
}

// maxAmount bounds one amount, in its smallest unit, so that the sum over a
// birth's doses cannot overflow.
const maxAmount = 1_000_000_000_000

func (d *Dose) check() error {
	if d == nil || !isWord(d.Agent) || d.Micrograms < 1 || d.Micrograms > maxAmount ||
		d.Microlitres < 0 || d.Microlitres > maxAmount || d.Strength < 0 || d.Strength > maxAmount || !isText(d.Site, 200) {
		return malformed("dose %+v", d)
	}
	return nil
}

func (c *DoseCorrected) check() error {
	if c == nil || c.Of == "" || !isText(c.Of, 64) || c.Void != (c.Dose == nil) {
		return malformed("correction %+v", c)
	}
	if c.Void {
		return nil
	}
	return c.Dose.check()
}

func (g *GradeNoted) check() error {
	if g == nil || !isText(g.Grade, 64) || !isText(g.AtLeast, 64) || !isText(g.AtMost, 64) || !isText(g.TreatAs, 64) {
		return malformed("grade %+v", g)
	}
	for _, reason := range g.Because {
		if !isText(reason, 200) {
			return malformed("reason %q", reason)
		}
	}
	return nil
}

func (l *LimitNoted) check() error {
	if l == nil || !isWord(l.Agent) || l.Micrograms < 0 || l.Microlitres < 0 || l.Strength < 0 ||
		!isText(l.BoundBy, 64) || !isText(l.Source, 200) {
		return malformed("limit %+v", l)
	}
	return nil
}

func (a *Answer) check() error {
	if a == nil || !isWord(a.Question) {
		return malformed("answer %+v", a)
	}
	only := Answer{Question: a.Question, Kind: a.Kind}
	ok := true
	switch a.Kind {
	case AnswerChoice:
		only.Value, ok = a.Value, isWord(a.Value)
	case AnswerNumber:
		only.Number, ok = a.Number, a.Number >= 0 && a.Number <= maxAmount
	case AnswerTime:
		only.At, ok = a.At, a.At != 0
	case AnswerText:
		only.Text, ok = a.Text, a.Text != "" && isText(a.Text, 240)
	case AnswerTakenBack:
	default:
		ok = false
	}
	if !ok || *a != only {
		return malformed("answer %+v", a)
	}
	return nil
}

// maxCounted bounds one count: nobody lays out a thousand of anything.
const maxCounted = 999

func (c *Count) check() error {
	if c == nil || c.Phase != CountIn && c.Phase != CountAdded && c.Phase != CountOut || len(c.Items) == 0 {
		return malformed("count %+v", c)
	}
	for i, it := range c.Items {
		if !isWord(it.Item) || it.N < 0 || it.N > maxCounted || slices.ContainsFunc(c.Items[:i], func(o CountItem) bool { return o.Item == it.Item }) {
			return malformed("count of %+v", it)
		}
	}
	return nil
}

func (l *Layer) check() error {
	if l == nil || !isWord(l.Layer) {
		return malformed("layer %+v", l)
	}
	return nil
}

func (v *Visit) check() error {
	if v == nil || !isWord(v.Key) {
		return malformed("visit %+v", v)
	}
	if _, err := time.Parse(time.DateOnly, v.Date); err != nil {
		return malformed("visit on %q", v.Date)
	}
	return nil
}

func (d *Despite) check() error {
	if d == nil || !isWord(d.Deed) || d.Of != "" && !isWord(d.Of) || len(d.Open) == 0 {
		return malformed("despite %+v", d)
	}
	for _, key := range d.Open {
		if !isWord(key) {
			return malformed("despite %q", key)
		}
	}
	return nil
}

func (d *Deleted) check() error {
	if d == nil || !isWord(d.Reason) {
		return malformed("deleted %+v", d)
	}
	return nil
}

func malformed(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrMalformed, fmt.Sprintf(format, args...))
}
