package notecode_test

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"pgregory.net/rapid"

	"fourchette/core/companion"
	"fourchette/wasm/pages/notecode"
)

// This file makes any record, and says what a note of it must say.

var (
	torn   = []string{"", "intact", "torn", "unsure"}
	grades = []string{"none", "1", "2", "3a", "3b", "3c", "4", "undetermined"}
	agents = []string{"lidocaine", "bupivacaine", "ropivacaine", "levobupivacaine", "mepivacaine", "chloroprocaine", "prilocaine"}
	// What may be typed and could be taken for something else, or breaks lines.
	tricky = []string{"", " ", "end", "none", "unknown", "3\ttold", "a\u2028b", "a\u0085tampon none", "وردية الليل", "रात की पाली", strings.Repeat("क", 40), "nu\u200cit", "…"}
)

func anyRecord(t *rapid.T) notecode.Record {
	b := &companion.BirthReply{
		Number: "K7Q-" + strconv.Itoa(rapid.IntRange(1, 9999).Draw(t, "n")),
		Bed:    freeText(t, "bed"), BornAt: anyTime(t, "born"), Newer: rapid.SampledFrom([]int{0, 0, 0, 1, 12}).Draw(t, "newer"),
		Prior:           rapid.SampledFrom([]string{"", "nothing", "listed", "nobody_knows"}).Draw(t, "prior"),
		EpisiotomyAsked: rapid.Bool().Draw(t, "cut asked"),
	}
	word := func(name string, words []string) string { return rapid.SampledFrom(words).Draw(t, name) }
	b.Findings = companion.GradeRequest{PerinealSkin: word("skin", torn), VaginalMucosa: word("vagina", torn), PerinealMuscle: word("muscle", torn),
		InternalSphincter: word("IAS", torn), AnorectalMucosa: word("bowel", torn), RectalExam: word("rectal", []string{"", "done", "declined"}),
		ExternalSphincter: word("EAS", []string{"", "intact", "under_half", "half_or_more", "through", "unsure"}),
		Episiotomy:        b.EpisiotomyAsked && rapid.Bool().Draw(t, "cut")}
	for _, layer := range []string{"anorectal_mucosa", "external_sphincter", "internal_sphincter", "perineal_muscle", "perineal_skin", "vaginal_mucosa", "a_newer_layer"} {
		if rapid.Bool().Draw(t, layer) {
			b.Layers = append(b.Layers, companion.LayerReply{Layer: layer, Done: rapid.Bool().Draw(t, "sewn")})
		}
	}
	for range rapid.IntRange(0, 15).Draw(t, "doses") {
		b.Doses = append(b.Doses, anyDose(t))
	}
	b.OverLimit = rapid.SampledFrom([]*companion.OverReply{nil, nil, nil, {GivenMg: "220.5", LimitMg: "180"}, {GivenMg: "10"}}).Draw(t, "over")
	b.Damaged = rapid.IntRange(0, 9).Draw(t, "damaged") == 0
	anyAnswers(t, b)
	g := companion.GradeReply{Grade: word("grade", grades), TreatAs: word("plan", grades[:7]),
		Settled: rapid.Bool().Draw(t, "settled"), Buttonhole: rapid.Bool().Draw(t, "buttonhole")}
	return notecode.Record{Birth: b, Grade: g,
		Count: word("count", []string{notecode.CountNone, notecode.CountOpen, notecode.CountMissing, notecode.CountComplete}),
		Zone:  time.FixedZone("", rapid.SampledFrom([]int{0, 3 * 3600, -5 * 3600, 19800, 20700}).Draw(t, "zone"))}
}

// anyTime is an hour of three days, with seconds; "" where none is known.
func anyTime(t *rapid.T, name string) string {
	if rapid.IntRange(0, 9).Draw(t, name+" unknown") == 0 {
		return ""
	}
	seconds := rapid.IntRange(0, 3*24*3600).Draw(t, name)
	return time.Date(2026, 3, 13, 0, 0, seconds, 0, time.UTC).Format(time.RFC3339)
}

func freeText(t *rapid.T, name string) string {
	if rapid.Bool().Draw(t, name+" tricky") {
		return rapid.SampledFrom(tricky).Draw(t, name)
	}
	return rapid.StringN(0, 60, 200).Draw(t, name)
}

func anyDose(t *rapid.T) companion.DoseReply {
	figure := func(name string, places int) string {
		n := rapid.IntRange(1, 999_999).Draw(t, name)
		text := strconv.Itoa(n / 1000)
		if rest := strings.TrimRight(strconv.Itoa(1000 + n%1000)[1:1+places], "0"); rest != "" {
			text += "." + rest
		}
		return text
	}
	d := companion.DoseReply{Agent: rapid.SampledFrom(agents).Draw(t, "agent"), Adrenaline: rapid.Bool().Draw(t, "adrenaline"),
		Mg: figure("mg", 3), Prior: rapid.Bool().Draw(t, "prior"), Void: rapid.IntRange(0, 5).Draw(t, "void") == 0, At: anyTime(t, "at")}
	if rapid.IntRange(0, 5).Draw(t, "milligrams only") > 0 {
		d.Ml = figure("mL", 3)
		d.StrengthPercent = rapid.SampledFrom([]string{"0.25", "0.5", "0.75", "1", "2"}).Draw(t, "strength")
	}
	return d
}

// asked are the questions that a note tells of: their words, or "number",
// "time", "text".
var asked = map[string][]string{
	"tampon": {"none", "in", "out", "left", "never_in", "a_newer_word"}, "tampon_number": {"number"}, "tampon_at": {"time"}, "tampon_receiver": {"text"},
	"loss_ml": {"number", "not_measured"}, "tranexamic_given": {"time"}, "antibiotic_given": {"time"}, "allergy": {"none", "penicillin", "other", "unknown"}, "allergy_second": {"none", "metronidazole", "other", "unknown"},
	"allergy_third": {"none", "clindamycin", "other", "unknown"}, "allergy_which": {"text"}, "second_systolic": {"number", "none", "not_measured"}, "second_diastolic": {"number", "none", "not_measured"},
	"pulse": {"number", "none", "not_measured"}, "systolic": {"number", "none", "not_measured"}, "diastolic": {"number", "none", "not_measured"},
	"uterus_firm": {"yes", "no"}, "final_firm": {"yes", "no"}, "bleeding_looked": {"settled", "heavy", "unsure"}, "final_bleeding": {"settled", "heavy", "unsure"},
	"placenta_complete": {"yes", "no", "unsure"}, "instrumental": {"none", "vacuum", "forceps", "unknown"}, "genital_cutting": {"yes", "no", "unsure"},
	"rectal_after": {"done", "declined"}, "stitch_felt": {"yes", "no"}, "stitch_removed": {"removed", "refer"},
	"decision": {"repair_here", "refer", "cannot_travel", "leave_open"}, "told_receiver": {"yes", "no"},
	"consent_exam": {"yes", "declined", "cannot_answer"}, "consent_repair": {"yes", "declined", "cannot_answer"},
	"other_medicines": {"text"}, "temperature": {"number", "not_measured"},
}

// inOrder lists asked's keys, so that a failure can be had again.
var inOrder = []string{"allergy", "allergy_second", "allergy_third", "allergy_which", "antibiotic_given", "bleeding_looked", "consent_exam", "consent_repair", "decision", "diastolic", "final_bleeding", "final_firm", "genital_cutting", "instrumental", "loss_ml",
	"other_medicines", "placenta_complete", "pulse", "rectal_after", "second_diastolic", "second_systolic", "stitch_felt", "stitch_removed", "systolic", "tampon", "tampon_at", "tampon_number", "tampon_receiver",
	"temperature", "told_receiver", "tranexamic_given", "uterus_firm"}

func anyAnswers(t *rapid.T, b *companion.BirthReply) {
	for _, q := range inOrder {
		if rapid.IntRange(0, 3).Draw(t, q+" silent") == 0 {
			continue
		}
		a := companion.AnswerReply{Question: q, Said: anyTime(t, q+" said")}
		switch word := rapid.SampledFrom(asked[q]).Draw(t, q); word {
		case "number":
			a.Number = number(rapid.Int64Range(0, 20_000).Draw(t, q))
		case "time":
			a.At = anyTime(t, q)
		case "text":
			a.Text = freeText(t, q)
		default:
			a.Value = word
		}
		b.Answers = append(b.Answers, a)
	}
}

// ours makes a record one that this program writes: free text as long as it
// takes, hours of one day and night in the order in which things come, up to
// three doses of one label in steps that a syringe shows.
func ours(t *rapid.T, b *companion.BirthReply) {
	b.Bed = short(b.Bed, companion.MaxBed)
	b.OverLimit = nil // see TestTheFullestNote
	b.Layers = slices.DeleteFunc(b.Layers, func(l companion.LayerReply) bool { return l.Layer == "a_newer_layer" })
	b.Doses = b.Doses[:min(len(b.Doses), 3)]
	for i := range b.Doses {
		d := &b.Doses[i]
		d.Agent, d.StrengthPercent, d.Adrenaline = b.Doses[0].Agent, b.Doses[0].StrengthPercent, b.Doses[0].Adrenaline
		d.Ml = rapid.SampledFrom([]string{"0.5", "5", "10", "12.5", "20"}).Draw(t, "syringe")
		d.Mg = rapid.SampledFrom([]string{"2.5", "50", "100", "62.5", "200"}).Draw(t, "mg")
	}
	for i := range b.Answers {
		a := &b.Answers[i]
		a.Text = short(a.Text, 60)
		if a.Value == "a_newer_word" {
			a.Value = "left"
		}
		if a.Number != nil && a.Question != "loss_ml" {
			*a.Number %= 440 // the most that one of them takes
		}
	}
	oneNight(b)
}

// oneNight puts all hours into 24 and in the order: birth, what was
// given, doses, tampon, then whatever was looked at and said.
func oneNight(b *companion.BirthReply) {
	order := []*string{&b.BornAt}
	for _, q := range []string{"tranexamic_given", "antibiotic_given"} {
		if a := answer(b, q); a != nil {
			order = append(order, &a.At)
		}
	}
	for i := range b.Doses {
		order = append(order, &b.Doses[i].At)
	}
	if a := answer(b, "tampon_at"); a != nil {
		order = append(order, &a.At)
	}
	for i := range b.Answers {
		order = append(order, &b.Answers[i].Said)
	}
	order = slices.DeleteFunc(order, func(at *string) bool { return *at == "" })
	var hours []string
	for _, at := range order {
		hours = append(hours, "2026-03-14T"+(*at)[len("2026-03-14T"):])
	}
	slices.Sort(hours)
	for i, at := range order {
		*at = hours[i]
	}
}

// short is as many letters of a text as may be typed.
func short(s string, most int) string {
	letters := []rune(s)
	return string(letters[:min(len(letters), most)])
}

// expected is what a note of the record must say, told anew from the format
// and not by the program's own steps.
func expected(r notecode.Record) note {
	b := r.Birth
	n := note{number: b.Number, bed: oneLine(b.Bed), count: r.Count, born: local(b.BornAt, r.Zone), before: b.Prior}
	if b.Newer > 0 || b.Damaged {
		n.incomplete = "INCOMPLETE"
	}
	expectedTampon(&n, r)
	n.grade, n.settled, n.plan = r.Grade.Grade, "settled", r.Grade.TreatAs
	if !r.Grade.Settled {
		n.settled = "unsettled"
	}
	if r.Grade.Buttonhole {
		n.plan = "buttonhole"
	}
	if n.grade == "undetermined" {
		n.grade = "unknown"
	}
	n.decided, n.toldReceiver = value(r, "decision"), value(r, "told_receiver")
	n.exam, n.repair = value(r, "consent_exam"), value(r, "consent_repair")
	n.lost, n.lostAt = value(r, "loss_ml"), said(r, "loss_ml")
	if a := answer(b, "loss_ml"); a != nil && a.Number != nil {
		n.lost += " mL"
	}
	expectedDoses(&n, r)
	n.tranexamic, n.antibiotic = value(r, "tranexamic_given"), value(r, "antibiotic_given")
	n.other = oneLine(textOf(r, "other_medicines"))
	expectedAllergies(&n, r)
	expectedFindings(&n, b)
	if n.temperature, n.temperatureAt = value(r, "temperature"), said(r, "temperature"); n.temperature != "unknown" {
		whole := n.temperature[:len(n.temperature)-1]
		if whole == "" {
			whole = "0"
		}
		n.temperature = whole + "." + n.temperature[len(n.temperature)-1:]
	}
	n.pulse, n.pulseAt = value(r, "pulse"), said(r, "pulse")
	upper, lower := "second_systolic", "second_diastolic"
	if value(r, upper) == "unknown" && value(r, lower) == "unknown" {
		upper, lower = "systolic", "diastolic"
	}
	if n.upper, n.lower = value(r, upper), value(r, lower); n.upper != "unknown" || n.lower != "unknown" {
		n.bpAt = earlier(r, upper, lower)
	}
	n.uterus, n.uterusAt = later(r, "uterus_firm", "final_firm")
	n.bleeding, n.bleedingAt = later(r, "bleeding_looked", "final_bleeding")
	n.placenta, n.instrument, n.fgm = value(r, "placenta_complete"), value(r, "instrumental"), value(r, "genital_cutting")
	n.rectalAfter, n.stitch = value(r, "rectal_after"), value(r, "stitch_felt")
	if n.stitch == "yes" {
		n.stitchThen = value(r, "stitch_removed")
	}
	return n
}

func expectedTampon(n *note, r notecode.Record) {
	if n.tampon = value(r, "tampon"); n.tampon == "never_in" {
		n.tampon = "none"
	}
	switch n.tampon {
	case "none", "out", "unknown":
		return
	case "in":
		n.tampon = "INSIDE"
	case "left":
		n.tampon = "LEFT INSIDE"
	}
	if r.Count == notecode.CountComplete {
		n.count += " but " + value(r, "tampon_number") + " left inside"
	}
	n.tampons, n.since, n.told = value(r, "tampon_number"), value(r, "tampon_at"), oneLine(textOf(r, "tampon_receiver"))
}

// expectedAllergies: what stands behind "none" or "unknown" no longer counts.
func expectedAllergies(n *note, r notecode.Record) {
	n.allergy = []string{value(r, "allergy"), value(r, "allergy_second"), value(r, "allergy_third")}
	for i, word := range n.allergy {
		if word == "none" || word == "unknown" {
			n.allergy = n.allergy[:i+1]
			break
		}
	}
	if slices.Contains(n.allergy, "other") {
		n.which = oneLine(textOf(r, "allergy_which"))
	}
}

// expectedDoses are those that stand, all of a label together.
func expectedDoses(n *note, r notecode.Record) {
	var labels [][3]string
	of := map[[3]string][]dose{}
	listed := false
	for _, d := range r.Birth.Doses {
		if d.Void {
			continue
		}
		want := dose{agent: d.Agent, strength: "strength-unknown", form: "plain", ml: "unknown", mg: d.Mg, at: local(d.At, r.Zone)}
		if d.StrengthPercent != "" {
			want.strength = d.StrengthPercent + "%"
		}
		if d.Ml != "" {
			want.ml = d.Ml
		}
		if d.Adrenaline {
			want.form = "adrenaline"
		}
		if d.Prior {
			want.at, listed = "before", true
		}
		label := [3]string{want.agent, want.strength, want.form}
		if of[label] == nil {
			labels = append(labels, label)
		}
		of[label] = append(of[label], want)
	}
	for _, label := range labels {
		n.doses = append(n.doses, of[label]...)
	}
	if o := r.Birth.OverLimit; o != nil {
		if n.given, n.limit = o.GivenMg, o.LimitMg; n.limit == "" {
			n.limit = "unknown"
		}
	}
	switch {
	case n.before == "" || n.before == "nobody_knows":
		n.before = "unknown"
	case n.before == "listed" && !listed:
		n.before = "unlisted"
	}
}

func expectedFindings(n *note, b *companion.BirthReply) {
	f := b.Findings
	n.found = [8]string{"unknown", f.PerinealSkin, f.VaginalMucosa, f.PerinealMuscle, f.RectalExam, f.ExternalSphincter, f.InternalSphincter, f.AnorectalMucosa}
	if b.EpisiotomyAsked {
		n.found[0] = "no"
	}
	if f.Episiotomy {
		n.found[0], n.found[1], n.found[2], n.found[3] = "yes", "cut", "cut", "cut"
	}
	for i := range n.found {
		if n.found[i] == "" {
			n.found[i] = "unknown"
		}
	}
	names := map[string]string{"anorectal_mucosa": "bowel", "external_sphincter": "EAS", "internal_sphincter": "IAS", "perineal_muscle": "muscle",
		"perineal_skin": "skin", "vaginal_mucosa": "vagina", "a_newer_layer": "a_newer_layer"}
	for _, l := range b.Layers {
		if l.Done {
			n.sewn = append(n.sewn, names[l.Layer])
		}
	}
	if n.sewn == nil {
		n.sewn = []string{"none"}
	}
}

// local is a time to the minute in the phone's zone.
func local(at string, zone *time.Location) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "hour-unknown"
	}
	return t.In(zone).Truncate(time.Minute).Format("2006-01-02T15:04Z07:00")
}

func value(r notecode.Record, question string) string {
	a := answer(r.Birth, question)
	switch {
	case a == nil:
		return "unknown"
	case a.Number != nil:
		return strconv.FormatInt(*a.Number, 10)
	case a.At != "":
		return local(a.At, r.Zone)
	case a.Value == "" || a.Value == "not_measured":
		return "unknown"
	}
	return a.Value
}

// said is the hour of an answer; "" where nothing is known.
func said(r notecode.Record, question string) string {
	if a := answer(r.Birth, question); a != nil && (a.Value != "not_measured" || strings.HasSuffix(question, "tolic")) {
		return local(a.Said, r.Zone)
	}
	return ""
}

// earlier is the older hour of two answers; not known where one is not.
func earlier(r notecode.Record, one, other string) string {
	a, b := said(r, one), said(r, other)
	switch {
	case a == "" || b == "hour-unknown":
		return b
	case b == "" || a == "hour-unknown" || before(a, b):
		return a
	}
	return b
}

func before(a, b string) bool {
	s, _ := time.Parse("2006-01-02T15:04Z07:00", a)
	t, _ := time.Parse("2006-01-02T15:04Z07:00", b)
	return s.Before(t)
}

// later is the answer given last of two to what is asked twice.
func later(r notecode.Record, first, last string) (word, hour string) {
	a, b := answer(r.Birth, first), answer(r.Birth, last)
	if b == nil || a != nil && a.Said > b.Said {
		last = first
	}
	return value(r, last), said(r, last)
}

// oneLine is free text without what breaks a line.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r <= 0xa0 || r == 0x2028 || r == 0x2029 {
			return ' '
		}
		return r
	}, s)
	if s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " "); s == "" {
		return "unknown"
	}
	return s
}
