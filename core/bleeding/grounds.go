package bleeding

import (
	"fourchette/core/amount"
	"fourchette/core/arrange"
	"fourchette/core/reason"
)

// The keys of the reasons an alarm can carry.
const (
	LossSevere            = "loss_1000"
	LossHeavy             = "loss_500"
	LossRaised            = "loss_300"
	PulseFast             = "pulse_over_100"
	PulseNotMeasurable    = "no_pulse"
	SystolicLow           = "systolic_under_100"
	SystolicNotMeasurable = "no_pressure"
	DiastolicLow          = "diastolic_under_60"
	ShockIndexCrisis      = "shock_index_14"
	ShockIndexHigh        = "shock_index_10"
	ShockIndexRaised      = "shock_index_09"
	NothingAbnormal       = "nothing_abnormal"
	EstimateCannotClear   = "estimate_cannot_clear" // On: lost_ml
	NotMeasured           = "not_measured"          // On: which
)

// loudness is the level of something that rings.
type loudness int

const (
	watch loudness = iota
	act
	crisis
)

func (l loudness) String() string { return [...]string{Watch, Act, Crisis}[l] }

// ground is one thing that rings.
type ground struct {
	level loudness
	key   string
	on    []string
}

type grounds []ground

func (g *grounds) add(level loudness, key string, on ...string) {
	*g = append(*g, ground{level, key, on})
}

func (g grounds) loudest() (level loudness) {
	for _, x := range g {
		level = max(level, x.level)
	}
	return level
}

// because lists the grounds, loudest first, otherwise as they were found.
func (g grounds) because() (list reason.List) {
	arrange.By(g, func(a, b ground) int { return int(b.level - a.level) })
	for _, x := range g {
		list.Add(x.key, x.on...)
	}
	return list
}

func (s Signs) grounds(lost *amount.Volume) (g grounds) {
	if lost != nil {
		s.byLoss(&g, *lost)
	}
	if s.hasShockIndex() {
		byShockIndex(&g, *s.Pulse, *s.Systolic)
	}
	if s.Pulse != nil {
		byPulse(&g, *s.Pulse)
	}
	if s.Systolic != nil {
		bySystolic(&g, *s.Systolic)
	}
	if s.Diastolic != nil && *s.Diastolic < 60 { // from memory: WHO 2025 PPH guideline
		g.add(act, DiastolicLow, Diastolic)
	}
	return g
}

func (s Signs) byLoss(g *grounds, lost amount.Volume) {
	var on []string
	if s.Lost != nil {
		on = append(on, Lost)
	}
	if len(s.Pads) > 0 {
		on = append(on, Pads)
	}
	switch {
	case lost >= 1000*amount.Millilitre: // severe: trial definition, NEJM 2023;389:11-21
		g.add(crisis, LossSevere, on...)
	case lost >= 500*amount.Millilitre: // WHO/FIGO/ICM 2025, as quoted by news reports of the guideline
		g.add(act, LossHeavy, on...)
	case lost >= 300*amount.Millilitre: // likewise; there only together with an abnormal sign
		g.add(watch, LossRaised, on...)
	}
}

// byShockIndex compares pulse / systolic with 1.4, 1.0 and 0.9 in whole numbers.
func byShockIndex(g *grounds, pulse, systolic int) {
	switch {
	case 10*pulse >= 14*systolic: // 1.4: El Ayadi 2016, PLoS ONE e0148729
		g.add(crisis, ShockIndexCrisis, Pulse, Systolic)
	case pulse >= systolic: // 1.0: from memory: WHO 2025 PPH guideline, there "> 1.0"
		g.add(act, ShockIndexHigh, Pulse, Systolic)
	case 10*pulse >= 9*systolic: // 0.9: Nathan 2015 BJOG; El Ayadi 2016
		g.add(watch, ShockIndexRaised, Pulse, Systolic)
	}
}

func byPulse(g *grounds, pulse int) {
	switch {
	case pulse == 0: // common practice, no source
		g.add(crisis, PulseNotMeasurable, Pulse)
	case pulse > 100: // from memory: WHO 2025 PPH guideline
		g.add(act, PulseFast, Pulse)
	}
}

func bySystolic(g *grounds, systolic int) {
	switch {
	case systolic == 0: // common practice, no source
		g.add(crisis, SystolicNotMeasurable, Systolic)
	case systolic < 100: // from memory: WHO 2025 PPH guideline
		g.add(act, SystolicLow, Systolic)
	}
}
