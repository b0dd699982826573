package companion

import (
	"slices"

	"fourchette/core/amount"
	"fourchette/core/anaesthetic"
	"fourchette/core/birth"
)

func bodyOf(w birth.Weight) anaesthetic.Body {
	return anaesthetic.Body{Weight: amount.Weight(w.Grams), HeightCm: w.HeightCm}
}

// doseQuestion is what a birth's record says towards a ceiling: the weight,
// and all that was given at this birth, counted in full.
func (c *Companion) doseQuestion(b *birth.Birth) anaesthetic.Request {
	q := anaesthetic.Request{
		Source:     c.source(),
		Mixing:     c.mixing(),
		GivenKnown: b.GivenKnown(),
	}
	if b.Weight != nil {
		q.Body = bodyOf(*b.Weight)
	}
	for _, d := range b.Doses {
		if d.Void {
			continue
		}
		q.Given = append(q.Given, anaesthetic.Dose{
			Agent: anaesthetic.Agent(d.Agent), Adrenaline: d.Adrenaline,
			Mass: amount.Mass(d.Micrograms), Volume: amount.Volume(d.Microlitres),
		})
	}
	return q
}

func (c *Companion) birthLimit(b *birth.Birth, r *BirthCeilingRequest) (anaesthetic.Request, anaesthetic.Ceiling, error) {
	var in amounts
	q := c.doseQuestion(b)
	q.Agent, q.Adrenaline = anaesthetic.Agent(r.Agent), r.Adrenaline
	q.Strength = in.strength("strength_percent", r.StrengthPercent)
	if in.fault != nil {
		return q, anaesthetic.Ceiling{}, in.fault
	}
	limit, err := anaesthetic.Limit(q)
	return q, limit, err
}

func ceilingOfBirth(c *Companion, r *BirthCeilingRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	q, limit, err := c.birthLimit(b, r)
	if err != nil {
		return nil, err
	}
	return c.limitedBy(b, limited(q, limit)), nil
}

// limitedBy says what the record itself leaves in doubt. Its reason stands in
// the place of "nobody said what was given", which may not be so.
func (c *Companion) limitedBy(b *birth.Birth, r *CeilingReply) *CeilingReply {
	r.Damaged, r.LastCut = b.Damaged, c.lastCut(b)
	if b.Damaged {
		r.Cautions = append([]string{RecordDamaged}, slices.DeleteFunc(r.Cautions, func(key string) bool { return key == anaesthetic.CautionPriorUnknown })...)
	}
	return r
}

func noteLimit(c *Companion, r *BirthCeilingRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	if r.StrengthPercent == "" {
		return nil, &Fault{Code: FaultKeyMissing, Field: "strength_percent"}
	}
	q, limit, err := c.birthLimit(b, r)
	if err != nil {
		return nil, err
	}
	noted := &birth.LimitNoted{
		Agent: r.Agent, Adrenaline: r.Adrenaline, Strength: int64(q.Strength),
		Micrograms: int64(limit.Mass), Microlitres: int64(limit.Volume),
		BoundBy: limit.BoundBy, Source: limit.Source, WeightAssumed: limit.WeightAssumed,
	}
	return saved(c.write(r.Birth, birth.KindLimitNoted, func(e *birth.Event) { e.LimitNoted = noted }))
}

// inject records what was given. It never refuses because it is too much: it
// says so, and the host opens the toxicity page.
func inject(c *Companion, r *InjectRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	dose, err := doseOf(DoseGiven{Agent: r.Agent, Adrenaline: r.Adrenaline, Mg: r.Mg, Ml: r.Ml, StrengthPercent: r.StrengthPercent})
	if err != nil {
		return nil, err
	}
	dose.Prior = r.Prior
	s, err := c.write(r.Birth, birth.KindDose, func(e *birth.Event) { e.Dose = dose })
	if err != nil {
		return nil, err
	}
	return c.judgedSaved(s, b.ID, dose)
}

func correctDose(c *Companion, r *CorrectRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	was := doseNamed(b, r.Of)
	if was == nil {
		return nil, &Fault{Code: FaultEventUnknown, Field: "of", Detail: r.Of}
	}
	if r.Void && (r.Mg != "" || r.Ml != "" || r.StrengthPercent != "" || r.Agent != "") {
		return nil, &Fault{Code: "dose_twice", Field: "void", Detail: "either void, or what was given"}
	}
	corrected := &birth.DoseCorrected{Of: r.Of, Void: r.Void}
	if !r.Void {
		corrected.Dose, err = doseOf(DoseGiven{Agent: r.Agent, Adrenaline: r.Adrenaline, Mg: r.Mg, Ml: r.Ml, StrengthPercent: r.StrengthPercent})
		if err != nil {
			return nil, err
		}
		corrected.Dose.Prior = was.Prior
	}
	s, err := c.write(r.Birth, birth.KindDoseCorrected, func(e *birth.Event) { e.DoseCorrected = corrected })
	if err != nil || r.Void {
		return saved(s, err)
	}
	return c.judgedSaved(s, b.ID, corrected.Dose)
}

// doseNamed is the dose that an event recorded, nil when it was taken back.
func doseNamed(b *birth.Birth, event string) *birth.Given {
	for i := range b.Doses {
		if d := &b.Doses[i]; d.ID == event && !d.Void {
			return d
		}
	}
	return nil
}

// judgedSaved says whether all that was given now passes the ceiling.
func (c *Companion) judgedSaved(s *SavedReply, id string, d *birth.Dose) (reply, error) {
	b, err := c.birth(id)
	if err != nil {
		return nil, err
	}
	q := c.doseQuestion(b)
	q.Agent, q.Adrenaline = anaesthetic.Agent(d.Agent), d.Adrenaline
	limit, err := anaesthetic.Limit(q)
	if err != nil { // the pack's source does not cover this agent: nothing published allows it
		s.Over = true
		return s, nil
	}
	s.Over = limit.Over
	return s, nil
}

// Above these one dose is a slip of the finger, whatever the limit (ours,
// common sense, no source).
const (
	mostGiven     = 1000 * amount.Millilitre
	mostGivenMass = 100_000 * amount.Milligram
)

// doseOf reads a dose that was given: the agent and strength must exist, the
// amount must be more than nothing.
func doseOf(g DoseGiven) (*birth.Dose, error) {
	var in amounts
	d := in.dose("", g)
	strength := in.strength("strength_percent", g.StrengthPercent)
	volume := in.volume("ml", g.Ml)
	if in.fault != nil {
		return nil, in.fault
	}
	// Limit knows which agents and strengths exist.
	if _, err := anaesthetic.Limit(anaesthetic.Request{Agent: d.Agent, Strength: strength}); err != nil {
		return nil, err
	}
	if d.Mass == 0 {
		return nil, &Fault{Code: "nothing_given", Field: "ml"}
	}
	if volume > mostGiven || d.Mass > mostGivenMass {
		return nil, &Fault{Code: anaesthetic.CodeDoseOutOfRange, Field: "ml", Detail: g.Ml + g.Mg}
	}
	return &birth.Dose{
		Agent: g.Agent, Adrenaline: g.Adrenaline,
		Micrograms: int64(d.Mass), Microlitres: int64(volume), Strength: int64(strength),
	}, nil
}
