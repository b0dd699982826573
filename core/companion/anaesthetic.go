package companion

import (
	"math"
	"strconv"

	"fourchette/core/amount"
	"fourchette/core/anaesthetic"
)

func plainRule(_ *Companion, r *RuleRequest) (reply, error) {
	var in amounts
	rate := in.rate("mg_per_kg", r.MgPerKg)
	cap := in.mass("cap_mg", r.CapMg)
	weight := in.weight("weight_kg", r.WeightKg)
	strength := in.strength("strength_percent", r.StrengthPercent)
	if in.fault == nil && strength == 0 {
		return nil, &Fault{Code: FaultAmount, Field: "strength_percent", Detail: r.StrengthPercent}
	}
	if in.fault != nil {
		return nil, in.fault
	}
	mass, volume := anaesthetic.Plain(rate, cap, weight, strength)
	if r.CapMg != "" && cap == 0 { // a cap of nought leaves nothing; it is not no cap
		mass, volume = 0, 0
	}
	if mass == math.MaxInt64 || volume == math.MaxInt64 {
		return nil, &Fault{Code: FaultAmount, Field: "mg_per_kg", Detail: "the product is too large"}
	}
	return &RuleReply{Mg: mass.Milligrams(), Ml: volume.Millilitres()}, nil
}

func ceiling(_ *Companion, r *CeilingRequest) (reply, error) {
	var in amounts
	q := anaesthetic.Request{
		Agent:      anaesthetic.Agent(r.Agent),
		Adrenaline: r.Adrenaline,
		Strength:   in.strength("strength_percent", r.StrengthPercent),
		Body:       anaesthetic.Body{Weight: in.weight("weight_kg", r.WeightKg)},
		Source:     r.Source,
		Mixing:     r.Mixing,
	}
	if in.fault == nil && r.StrengthPercent != "" && q.Strength == 0 {
		return nil, &Fault{Code: "strength_unknown", Field: "strength_percent", Detail: r.StrengthPercent}
	}
	if in.fault == nil && r.WeightKg != "" && q.Body.Weight == 0 {
		return nil, &Fault{Code: "weight_out_of_range", Field: "weight_kg", Detail: r.WeightKg}
	}
	if r.HeightCm != nil {
		if q.Body.HeightCm = *r.HeightCm; q.Body.HeightCm == 0 {
			return nil, &Fault{Code: "height_out_of_range", Field: "height_cm"}
		}
	}
	if r.Given != nil {
		q.GivenKnown = !r.PriorUnknown
		for i, g := range *r.Given {
			q.Given = append(q.Given, in.dose("given."+strconv.Itoa(i), g))
		}
	}
	if in.fault != nil {
		return nil, in.fault
	}
	limit, err := anaesthetic.Limit(q)
	if err != nil {
		return nil, err
	}
	return limited(q, limit), nil
}

func limited(q anaesthetic.Request, l anaesthetic.Ceiling) *CeilingReply {
	r := &CeilingReply{
		Agent:         string(q.Agent),
		Adrenaline:    q.Adrenaline,
		CeilingMg:     l.Mass.Milligrams(),
		BoundBy:       l.BoundBy,
		WeightAssumed: l.WeightAssumed,
		ConfirmWeight: l.ConfirmWeight,
		DosedForKg:    l.DosedFor.Kilograms(),
		Source:        l.Source,
		Document:      l.Document,
		Read:          l.Read,
		MgPerKg:       l.PerKg.MilligramsPerKilogram(),
		PriorUnknown:  l.PriorUnknown,
		Over:          l.Over,
		Cautions:      l.Cautions,
	}
	if l.Cap != 0 {
		r.CapMg = l.Cap.Milligrams()
	}
	if q.Strength != 0 {
		r.StrengthPercent = q.Strength.Percent()
		r.CeilingMl = l.Volume.Millilitres()
	}
	var given amount.Mass
	for _, d := range q.Given {
		given = given.Plus(d.Mass)
	}
	if q.GivenKnown || given > 0 {
		r.GivenMg = given.Milligrams()
	}
	if !l.PriorUnknown {
		r.RemainingMg = l.Remaining.Milligrams()
		r.RemainingBoundBy = l.RemainingBoundBy
		if q.Strength != 0 {
			r.RemainingMl = l.RemainingVolume.Millilitres()
		}
	}
	return r
}

func dilute(_ *Companion, r *DiluteRequest) (reply, error) {
	var in amounts
	stock := in.strength("stock_percent", r.StockPercent)
	wanted := in.strength("wanted_percent", r.WantedPercent)
	total := in.volume("wanted_ml", r.WantedMl)
	if in.fault != nil {
		return nil, in.fault
	}
	var m anaesthetic.Mixture
	var err error
	if r.Agent != "" {
		m, err = anaesthetic.MixWeaker(anaesthetic.Agent(r.Agent), stock, wanted, total)
	} else {
		m.Stock, m.Diluent, err = anaesthetic.Dilute(stock, wanted, total)
	}
	if err != nil {
		f := asFault(err)
		if f.Field == "volume_ml" {
			f.Field = "wanted_ml"
		}
		return nil, f
	}
	return &DiluteReply{StockMl: m.Stock.Millilitres(), DiluentMl: m.Diluent.Millilitres(), Document: m.Document, Read: m.Read}, nil
}

func drawUp(_ *Companion, r *DrawUpRequest) (reply, error) {
	var in amounts
	volume := in.volume("volume_ml", r.VolumeMl)
	syringe := in.volume("syringe_ml", r.SyringeMl)
	ampoule := in.volume("ampoule_ml", r.AmpouleMl)
	if in.fault != nil {
		return nil, in.fault
	}
	p, err := anaesthetic.DrawUp(volume, syringe, ampoule)
	if err != nil {
		return nil, err
	}
	if p.Drawn == 0 {
		return nil, &Fault{Code: "nothing_to_draw", Field: "volume_ml", Detail: r.VolumeMl}
	}
	out := &DrawUpReply{
		FullFills:       p.FullFills,
		LastFillMl:      p.LastFill.Millilitres(),
		DrawnMl:         p.Drawn.Millilitres(),
		NotDrawnMl:      p.NotDrawn.Millilitres(),
		Ampoules:        p.Ampoules,
		LeftInAmpouleMl: p.LeftInAmpoule.Millilitres(),
		SyringeUl:       int(syringe),
		ShownUl:         int(p.LastFill),
	}
	if p.LastFill == 0 {
		out.ShownUl = int(syringe)
	}
	for _, s := range anaesthetic.Syringes() {
		if s.Size == syringe {
			out.MarkMl, out.MarkUl = s.Mark.Millilitres(), int(s.Mark)
		}
	}
	return out, nil
}

func rescue(_ *Companion, r *RescueRequest) (reply, error) {
	var in amounts
	weight := in.weight("weight_kg", r.WeightKg)
	if in.fault != nil {
		return nil, in.fault
	}
	if r.WeightKg != "" && weight == 0 {
		return nil, &Fault{Code: "weight_out_of_range", Field: "weight_kg", Detail: r.WeightKg}
	}
	lipid, err := anaesthetic.Rescue(weight)
	if err != nil {
		return nil, err
	}
	return &RescueReply{
		BolusMl:           lipid.Bolus.Millilitres(),
		InfusionMlPerHour: lipid.InfusionPerHour.Millilitres(),
		MostMl:            lipid.Most.Millilitres(),
	}, nil
}

func table(_ *Companion, r *AgentRequest) (reply, error) {
	out := &TableReply{}
	for _, s := range anaesthetic.Strengths(anaesthetic.Agent(r.Agent)) {
		out.Strengths = append(out.Strengths, StrengthReply{Percent: s.Percent(), MgPerMl: s.MilligramsPerMillilitre()})
	}
	if len(out.Strengths) == 0 {
		return nil, &Fault{Code: "agent_unknown", Field: "agent", Detail: r.Agent}
	}
	for _, s := range anaesthetic.Syringes() {
		out.SyringesMl = append(out.SyringesMl, s.Size.Millilitres())
	}
	for _, a := range anaesthetic.Ampoules() {
		out.AmpoulesMl = append(out.AmpoulesMl, a.Millilitres())
	}
	for _, rule := range anaesthetic.Rules() {
		if string(rule.Agent) != r.Agent {
			continue
		}
		p := PublishedRule{Key: rule.Key, Adrenaline: rule.Adrenaline, Document: rule.Source, Read: rule.Read}
		if rule.PerKg != 0 {
			p.MgPerKg = rule.PerKg.MilligramsPerKilogram()
		}
		if rule.Cap != 0 {
			p.CapMg = rule.Cap.Milligrams()
		}
		out.Rules = append(out.Rules, p)
	}
	return out, nil
}

func bodyWeight(_ *Companion, r *BodyWeightRequest) (reply, error) {
	var in amounts
	w := in.weight("weight_kg", r.WeightKg)
	if in.fault != nil {
		return nil, in.fault
	}
	// The ceiling's own bounds decide which bodies exist.
	if _, err := anaesthetic.Limit(anaesthetic.Request{
		Agent: anaesthetic.Lidocaine, Body: anaesthetic.Body{Weight: max(w, 1), HeightCm: max(r.HeightCm, 1)}}); err != nil {
		return nil, err
	}
	return &BodyWeightReply{
		BMI:     hundredths(10 * int64(w) * 100 / (int64(r.HeightCm) * int64(r.HeightCm))),
		IdealKg: toTenGrams(anaesthetic.IdealWeight(r.HeightCm)).Kilograms(),
		LeanKg:  toTenGrams(anaesthetic.LeanWeight(w, r.HeightCm)).Kilograms(),
	}, nil
}

// hundredths prints a figure with two decimals.
func hundredths(n int64) string {
	s := strconv.FormatInt(100+n%100, 10)
	return strconv.FormatInt(n/100, 10) + "." + s[1:]
}

// toTenGrams cuts a weight to two decimals of a kilogram.
func toTenGrams(w amount.Weight) amount.Weight { return w - w%10 }
