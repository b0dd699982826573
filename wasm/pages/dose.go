package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	"fourchette/wasm/pages/urlform"
)

// A doseAsk is one question for a limit: about a birth's record, or a quick
// tool whose answers live in the address alone. The answers that a record
// keeps (weight, what was given) come from there; what the label says
// (agent, strength, adrenaline) is asked anew each time and never preselected.
type doseAsk struct {
	v     *visit
	birth *companion.BirthReply // nil: quick
	query urlform.Values
	tail  []string
}

// kept are the answers that travel in the address.
var kept = []string{"weight_kg", "height_cm", "not_weighed", "confirmed", "before", "given", "agent", "strength", "adrenaline"}

func birthDose(v *visit, b *companion.BirthReply) doseAsk {
	return doseAsk{v: v, birth: b, query: keep(v.query), tail: v.steps[3:]}
}

func quickDose(v *visit) doseAsk {
	return doseAsk{v: v, query: keep(v.query), tail: v.steps[1:]}
}

func keep(query urlform.Values) urlform.Values {
	q := urlform.Values{}
	for _, name := range kept {
		for _, value := range query[name] {
			if value != "" {
				q.Add(name, value)
			}
		}
	}
	return q
}

// path is a page of this question with its answers, and with some changed:
// names and values in turn, "" takes an answer out.
func (d doseAsk) path(tail string, changes ...string) string {
	q := keep(d.query)
	for i := 0; i+1 < len(changes); i += 2 {
		q.Del(changes[i])
		if changes[i+1] != "" {
			q.Set(changes[i], changes[i+1])
		}
	}
	base := "/dose"
	if d.birth != nil {
		base = "/b/" + d.birth.Birth + "/dose"
	}
	if tail != "" {
		base += "/" + tail
	}
	if len(q) == 0 {
		return base
	}
	return base + "?" + q.Encode()
}

func (d doseAsk) page(title string) page {
	p := page{title: title, place: "place.dose", birth: d.birth, quick: d.birth == nil, clinical: true}
	if title != "limit.title" { // which says it in the place of its figure
		p.add(d.v.overLimit(d.birth))
	}
	if d.birth != nil {
		p.add(d.v.declinedRepair(d.birth))
	}
	return p
}

func (v *visit) doseRoute(d doseAsk) page {
	step := ""
	if len(d.tail) > 0 {
		step = d.tail[0]
	}
	switch step {
	case "", "ask": // whatever has no answer yet
		return page{to: d.ask()}
	case "weight":
		return weightPage(d)
	case "before":
		return beforePage(d)
	case "agent":
		return agentPage(d)
	case "strength":
		return strengthPage(d)
	case "adrenaline":
		return adrenalinePage(d)
	case "limit":
		return limitPage(d)
	case "given":
		return givenPage(d, "")
	case "earlier":
		return givenPage(d, "earlier")
	case "correct":
		return givenPage(d, "correct")
	case "draw":
		return drawPage(d)
	case "dilute":
		return dilutePage(d)
	case "inject":
		return injectPage(d)
	}
	return notFound(v)
}

// ask leads on from an answer in the address: a weight that cannot be used
// goes back to its field, and so does an empty one.
func (d doseAsk) ask() string {
	if d.birth == nil && d.v.query.Get("asked") == "weight" && !d.weightAnswered() {
		path := d.path("weight")
		if strings.Contains(path, "?") {
			return path + "&asked=weight"
		}
		return path + "?asked=weight"
	}
	if d.birth == nil && d.v.query.Get("asked") == "before" && d.query.Get("before") == "listed" {
		return d.path("earlier") // one more, whatever is listed already
	}
	return d.next()
}

// next is the first question that has no answer yet.
func (d doseAsk) next() string {
	switch {
	case !d.weightAnswered():
		return d.path("weight")
	case d.beforeListed() && !d.beforeAnswered():
		return d.path("earlier")
	case !d.beforeAnswered():
		return d.path("before")
	}
	return orElse(d.labelOpen(), d.path("limit"))
}

// labelOpen is the first question about the label that has no answer, "" when
// all have one.
func (d doseAsk) labelOpen() string {
	switch {
	case d.agent() == "":
		return d.path("agent")
	case !d.strengthKnown():
		return d.path("strength")
	case d.adrenaline() == "":
		return d.path("adrenaline")
	}
	return ""
}

// strengthKnown: the address names a strength that exists. The page of
// strengths says that another one does not.
func (d doseAsk) strengthKnown() bool {
	said := d.query.Get("strength")
	if said == "" {
		return false
	}
	var table companion.TableReply
	d.v.must("anaesthetic.table", &companion.AgentRequest{Agent: d.agent()}, &table)
	return slices.ContainsFunc(table.Strengths, func(s companion.StrengthReply) bool { return s.Percent == said })
}

func (d doseAsk) weightAnswered() bool {
	if d.birth != nil {
		return d.birth.WeightKg != "" || d.birth.NotWeighed
	}
	return d.query.Has("not_weighed") || (d.query.Has("weight_kg") && d.quickWeightFault() == nil)
}

// beforeAnswered: "something was given" is an answer once it is on the list.
func (d doseAsk) beforeAnswered() bool {
	if d.birth != nil {
		prior := func(dose companion.DoseReply) bool { return dose.Prior && !dose.Void }
		return d.birth.Prior != "" && (!d.beforeListed() || slices.ContainsFunc(d.birth.Doses, prior))
	}
	switch d.query.Get("before") {
	case "nothing", "nobody_knows":
		return true
	}
	return d.beforeListed() && d.query.Has("given")
}

func (d doseAsk) beforeListed() bool {
	if d.birth != nil {
		return d.birth.Prior == "listed"
	}
	return d.query.Get("before") == "listed"
}

// agent is the one chosen, or the only one offered: then there is no choice
// to make. An address may come from elsewhere: what is not offered here is
// not chosen.
func (d doseAsk) agent() string {
	offered, chosen := d.choices().Agents, d.query.Get("agent")
	switch {
	case slices.Contains(offered, chosen):
		return chosen
	case chosen == "" && len(offered) == 1:
		return offered[0]
	}
	return ""
}

// adrenaline is "yes" or "no", as the label says; anything else is no answer.
func (d doseAsk) adrenaline() string {
	switch said := d.query.Get("adrenaline"); said {
	case "yes", "no":
		return said
	}
	return ""
}

func (d doseAsk) choices() companion.ChoicesReply {
	var c companion.ChoicesReply
	d.v.must("guide.choices", &companion.Nothing{}, &c)
	return c
}

// limit asks the core for what may be given, by the record or by the answers
// in the address.
func (d doseAsk) limit() (companion.CeilingReply, *companion.Fault) {
	var r companion.CeilingReply
	if d.birth != nil {
		f := d.v.ask("birth.ceiling", d.birthCeiling(), &r)
		return r, f
	}
	q, f := d.quickCeiling()
	if f != nil {
		return r, f
	}
	return r, d.v.ask("anaesthetic.ceiling", q, &r)
}

func (d doseAsk) birthCeiling() *companion.BirthCeilingRequest {
	return &companion.BirthCeilingRequest{
		Birth: d.birth.Birth, Agent: d.agent(), Adrenaline: d.adrenaline() == "yes", StrengthPercent: d.query.Get("strength")}
}

func (d doseAsk) quickCeiling() (*companion.CeilingRequest, *companion.Fault) {
	choices := d.choices()
	q, f := d.body()
	if f != nil {
		return nil, f
	}
	q.Agent, q.Adrenaline, q.StrengthPercent = d.agent(), d.adrenaline() == "yes", d.query.Get("strength")
	q.Source, q.Mixing = choices.AnaestheticSource, choices.Mixing
	given, f := d.givenInAddress()
	if f != nil {
		return nil, f
	}
	for _, dose := range given {
		// A dose of nought is none: whoever said that something was given has not
		// written it down yet.
		if strings.Trim(dose.Ml, "0.") == "" {
			return nil, &companion.Fault{Code: "given_unreadable", Field: "given", Detail: dose.Ml}
		}
	}
	before := d.query.Get("before")
	q.Given, q.PriorUnknown = &given, before != "nothing" && before != "listed"
	return q, nil
}

// body is a question with her weight and height alone.
func (d doseAsk) body() (*companion.CeilingRequest, *companion.Fault) {
	height, f := d.height(d.query)
	q := &companion.CeilingRequest{HeightCm: height}
	if !d.query.Has("not_weighed") {
		q.WeightKg = companion.Typed(d.query.Get("weight_kg"))
	}
	return q, f
}

// height is whole centimetres; absent is not known.
func (d doseAsk) height(form urlform.Values) (*int, *companion.Fault) {
	text := companion.Typed(form.Get("height_cm"))
	if text == "" {
		return nil, nil
	}
	cm, err := strconv.Atoi(text)
	if err != nil {
		return nil, whole("height_cm", text)
	}
	return &cm, nil
}

// quickWeightFault is what is wrong with the weight in the address, found by
// the core; confirm_weight asks again for an unusual one.
func (d doseAsk) quickWeightFault() *companion.Fault {
	q, f := d.body()
	if f != nil {
		return f
	}
	if q.WeightKg == "" {
		return &companion.Fault{Code: companion.FaultKeyMissing, Field: "weight_kg"}
	}
	q.Agent = "lidocaine" // any: bodies are the same for all
	var r companion.CeilingReply
	if f := d.v.ask("anaesthetic.ceiling", q, &r); f != nil {
		return f
	}
	if r.ConfirmWeight && !d.query.Has("confirmed") {
		return &companion.Fault{Code: "confirm_weight", Field: "weight_kg"}
	}
	return nil
}

// givenInAddress reads the doses a quick tool counts: "agent:ml:percent:yes".
func (d doseAsk) givenInAddress() (companion.DosesGiven, *companion.Fault) {
	given := companion.DosesGiven{}
	for _, text := range d.query["given"] {
		parts := strings.Split(text, ":")
		if len(parts) != 4 || parts[3] != "yes" && parts[3] != "no" {
			return nil, &companion.Fault{Code: "given_unreadable", Field: "given", Detail: text}
		}
		given = append(given, companion.DoseGiven{Agent: parts[0], Ml: parts[1], StrengthPercent: parts[2], Adrenaline: parts[3] == "yes"})
	}
	return given, nil
}
