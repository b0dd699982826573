// Package notecode writes what the code on a referral note holds: the note as
// short lines of plain text, for any person with any code reader. Start with
// [Write].
//
// # The format, FN3
//
// Always these lines, in this order, each present whatever is known:
//
//	FN3 note for practice
//	number K7Q-12 bed 3
//	tampon LEFT INSIDE 2 since 2026-03-14T13:05+03:00 told night shift
//	count complete but 2 left inside
//	grade 3b unsettled plan 4
//	decided refer told yes
//	consent exam yes repair declined
//	born 12:00
//	tranexamic acid 12:20 antibiotic 12:25
//	other drugs oxytocin 10 units
//	doses 3 before listed
//	lidocaine 1% plain: 5 mL 50 mg before, 10 mL 100 mg 12:15, 4 mL 40 mg 12:40
//	allergy penicillin other none which a sulfa tablet
//	cut no skin torn vagina torn muscle torn
//	rectal done EAS half_or_more IAS unsure bowel intact
//	sewn none
//	lost 600 mL 13:10
//	pulse 110 13:02 BP 90/60 13:03 temp 38.5 C 13:04
//	uterus firm yes 13:20
//	bleeding settled 13:20
//	placenta complete yes
//	instrument none
//	FGM no
//	rectal after unknown stitch unknown
//	end
//
// And these rules:
//
//   - FN3 is the format and its version. Another order, a new line, another
//     word for the same: FN4. "INCOMPLETE" at the end of the first line: the
//     record has entries that this program cannot read, which are not in here.
//   - What is inside her comes first, because it harms most when overread.
//     So "complete" alone, the count, is never said while a tampon is inside:
//     it counts what went in and came out, and says behind "but" what did not.
//   - "unknown" is what nobody said, examined, measured or knows. Nothing that
//     is unknown is left out, and none is a question mark, which readers show
//     for letters that they lack. The other words are those of the record,
//     which stay so for ever; a newer word is written as it is.
//   - A time is ISO 8601, to the minute. An hour alone is of the day last
//     written above it, and all are of the zone that the first one names.
//     Behind a loss or a sign it is when that was said.
//   - Amounts are decimals with a point, in mL, mg, % and C (degrees Celsius),
//     a space before all but %. Drugs have their generic names in full, other
//     drugs as they were typed. A line for each label, and behind its colon
//     each dose; "doses" says how many they are together. "before" is what was
//     said of doses from before this record, and marks each one; "unlisted"
//     means that there was one and it is not in here.
//     "OVER LIMIT given 220 mg limit 180 mg" ends the line when they are more
//     than the limit that the phone goes by.
//   - told, behind what was decided, is whether she who takes her over was told;
//     behind a tampon it is who was. consent is what she said last: yes,
//     declined, or cannot_answer when she could not be asked.
//   - cut is an episiotomy, and a layer that it opened; EAS and IAS are the
//     outer and the inner anal sphincter, bowel the lining behind them; FGM is
//     scarring from genital cutting; stitch is one felt in the rectum. What is
//     sewn is in the order in which it was closed. A pulse or pressure of
//     "none" or 0 could not be felt or heard. Allergies end in "none" when she
//     named all, in "unknown" when she was not asked on.
//   - Free text, the bed, who was told, other drugs and which allergy, ends its
//     line, so that whatever stands in it can be taken for nothing else.
//   - "end" says that nothing was lost.
//
// FN2, which this program wrote before, said "complete" of a count also where
// a tampon was left inside; FN1 had no lines for what was decided, consent,
// other drugs and temperature.
//
// # Why its words are the same in every language
//
// The sheet around the code is in the language of the phone that printed it;
// the woman who carries it may come to people who read another. So the code
// does not say the same in the same language once more. It has fixed words of
// plain English, figures, units and generic names, which can be learnt from
// one card, looked up, and read by a program; no translation, reviewed or not,
// stands between what was found and who must act on it. And it is short: in a
// script of three bytes a letter the same note would not fit.
package notecode

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"fourchette/core/companion"
)

// A Record is what a note is written from.
type Record struct {
	Birth *companion.BirthReply
	Grade companion.GradeReply
	// Count is how the count stands: one of the Count words.
	Count string
	// Zone is the phone's, in which the sheet has its hours too.
	Zone *time.Location
}

// The words for how the count stands.
const (
	CountNone     = "none"          // nothing was counted
	CountOpen     = "OPEN"          // not all is counted out, or it does not come out even
	CountMissing  = "PIECE MISSING" // searched for, and a piece was not found
	CountComplete = "complete"      // all that went in came out, or is left on purpose
)

const unknown = "unknown"

// whole is longer than any free text.
const whole = 1 << 10

// freeText is how long free text may be, in bytes, in turn until all fits: the
// bed and who was told, and the names of medicines, which give way last.
var freeText = []struct{ told, medicine int }{{whole, whole}, {24, whole}, {12, whole}, {12, 48}, {12, 24}, {12, 12}, {8, 8}}

// Write is the note in at most so many bytes. Only free text is ever
// shortened, and ends in "..." then; where that is not enough it fits in no
// code, ok is false, and the sheet alone holds the note.
func Write(r Record, most int) (text string, ok bool) {
	for _, longest := range freeText {
		w := writer{b: r.Birth, zone: r.Zone, told: longest.told, medicine: longest.medicine}
		w.note(r)
		if text = strings.Join(w.lines, "\n"); len(text) <= most {
			return text, true
		}
	}
	return "", false
}

type writer struct {
	b              *companion.BirthReply
	zone           *time.Location
	told, medicine int // how long free text may be
	lines          []string
	day            string // last written
}

func (w *writer) line(text string) { w.lines = append(w.lines, text) }

func (w *writer) note(r Record) {
	first := "FN3 note for practice"
	if w.b.Newer > 0 || w.b.Damaged {
		first += " INCOMPLETE"
	}
	w.line(first)
	w.line("number " + w.b.Number + " bed " + free(w.b.Bed, w.told))
	w.tampon()
	w.count(r.Count)
	w.grade(r.Grade)
	w.line("decided " + w.said("decision") + " told " + w.said("told_receiver"))
	w.line("consent exam " + w.said("consent_exam") + " repair " + w.said("consent_repair"))
	w.line("born " + w.hour(w.b.BornAt))
	w.line("tranexamic acid " + w.said("tranexamic_given") + " antibiotic " + w.said("antibiotic_given"))
	w.line("other drugs " + free(w.text("other_medicines"), w.medicine))
	w.doses()
	w.allergies()
	w.findings()
	w.sewn()
	w.line("lost " + w.measured("loss_ml", " mL"))
	w.line("pulse " + w.measured("pulse", "") + " BP " + w.pressure() + " temp " + w.temperature())
	w.line("uterus firm " + w.measured(Latest(w.b, "uterus_firm", "final_firm"), ""))
	w.line("bleeding " + w.measured(Latest(w.b, "bleeding_looked", "final_bleeding"), ""))
	w.line("placenta complete " + w.said("placenta_complete"))
	w.line("instrument " + w.said("instrumental"))
	w.line("FGM " + w.said("genital_cutting"))
	w.rectalAfter()
	w.line("end")
}

// inside is the word for a tampon, and whether one may be inside.
func (w *writer) inside() (word string, may bool) {
	word = w.said("tampon")
	if word == "never_in" { // that one was inside was said by mistake
		word = "none"
	}
	return word, word != "none" && word != "out" && word != unknown
}

// count is how it stands; one that is complete is not read as nothing inside.
func (w *writer) count(stands string) {
	if _, may := w.inside(); may && stands == CountComplete {
		stands += " but " + w.said("tampon_number") + " left inside"
	}
	w.line("count " + stands)
}

// tampon: none and out are told in a word; of any other, how many, since when
// and who was told.
func (w *writer) tampon() {
	word, may := w.inside()
	if !may {
		w.line("tampon " + word)
		return
	}
	switch word {
	case "in":
		word = "INSIDE"
	case "left":
		word = "LEFT INSIDE"
	}
	w.line("tampon " + word + " " + w.said("tampon_number") + " since " + w.said("tampon_at") + " told " + free(w.text("tampon_receiver"), w.told))
}

// grade: what is planned for is the worst that is still possible, and beside
// the grades a buttonhole.
func (w *writer) grade(g companion.GradeReply) {
	grade, settled, plan := g.Grade, " unsettled", g.TreatAs
	if grade == "undetermined" {
		grade = unknown
	}
	if g.Settled {
		settled = " settled"
	}
	if g.Buttonhole {
		plan = "buttonhole"
	}
	w.line("grade " + grade + settled + " plan " + plan)
}

// doses has a line for each label, in the order in which each was first used.
func (w *writer) doses() {
	var stand []companion.DoseReply
	listed := false
	for _, d := range w.b.Doses {
		if !d.Void {
			stand, listed = append(stand, d), listed || d.Prior
		}
	}
	before := orUnknown(w.b.Prior)
	if before == "listed" && !listed { // there was one, and it is not in here
		before = "unlisted"
	}
	w.line("doses " + strconv.Itoa(len(stand)) + " before " + before + over(w.b.OverLimit))
	for len(stand) > 0 {
		label, others := labelOf(stand[0]), stand[:0]
		line := label + ": "
		for i, d := range stand {
			if labelOf(d) != label {
				others = append(others, d)
				continue
			}
			if i > 0 {
				line += ", "
			}
			line += w.dose(d)
		}
		w.line(line)
		stand = others
	}
}

// allergies are asked one after the other, until there is none or nobody knows.
func (w *writer) allergies() {
	line, other := "allergy", false
	for _, q := range []string{"allergy", "allergy_second", "allergy_third"} {
		word := w.said(q)
		line, other = line+" "+word, other || word == "other"
		if word == "none" || word == unknown {
			break
		}
	}
	if other {
		line += " which " + free(w.text("allergy_which"), w.medicine)
	}
	w.line(line)
}

func over(o *companion.OverReply) string {
	if o == nil {
		return ""
	}
	return " OVER LIMIT given " + o.GivenMg + " mg limit " + orUnknown(o.LimitMg) + " mg"
}

// labelOf is what the label says: generic name, strength, adrenaline or none.
func labelOf(d companion.DoseReply) string {
	strength, form := "strength-unknown", "plain"
	if d.StrengthPercent != "" {
		strength = d.StrengthPercent + "%"
	}
	if d.Adrenaline {
		form = "adrenaline"
	}
	return d.Agent + " " + strength + " " + form
}

func (w *writer) dose(d companion.DoseReply) string {
	at := "before"
	if !d.Prior {
		at = w.hour(d.At)
	}
	return orUnknown(d.Ml) + " mL " + d.Mg + " mg " + at
}

func (w *writer) findings() {
	f := w.b.Findings
	cut := unknown
	switch {
	case f.Episiotomy:
		cut = "yes"
		f.PerinealSkin, f.VaginalMucosa, f.PerinealMuscle = "cut", "cut", "cut"
	case w.b.EpisiotomyAsked:
		cut = "no"
	}
	w.line("cut " + cut + " skin " + orUnknown(f.PerinealSkin) + " vagina " + orUnknown(f.VaginalMucosa) + " muscle " + orUnknown(f.PerinealMuscle))
	w.line("rectal " + orUnknown(f.RectalExam) + " EAS " + orUnknown(f.ExternalSphincter) +
		" IAS " + orUnknown(f.InternalSphincter) + " bowel " + orUnknown(f.AnorectalMucosa))
}

// short is a layer as the lines of findings call it.
func short(layer string) string {
	switch layer {
	case "perineal_skin":
		return "skin"
	case "vaginal_mucosa":
		return "vagina"
	case "perineal_muscle":
		return "muscle"
	case "external_sphincter":
		return "EAS"
	case "internal_sphincter":
		return "IAS"
	case "anorectal_mucosa":
		return "bowel"
	}
	return layer
}

func (w *writer) sewn() {
	line := ""
	for _, l := range w.b.Layers {
		if l.Done {
			line += " " + short(l.Layer)
		}
	}
	if line == "" {
		line = " none"
	}
	w.line("sewn" + line)
}

// pressure is the second one where that was taken, else the first, with the
// older hour of its two figures, an unknown one before any: in doubt the longer
// time counts.
func (w *writer) pressure() string {
	upper, lower := w.answer("second_systolic"), w.answer("second_diastolic")
	if figure(upper) == unknown && figure(lower) == unknown {
		upper, lower = w.answer("systolic"), w.answer("diastolic")
	}
	if figure(upper) == unknown && figure(lower) == unknown {
		return unknown
	}
	older := upper
	if older == nil || lower != nil && lower.Said < older.Said {
		older = lower
	}
	return figure(upper) + "/" + figure(lower) + " " + w.hour(older.Said)
}

// temperature is written in tenths of a degree in the record.
func (w *writer) temperature() string {
	a := w.answer("temperature")
	if a == nil || a.Number == nil {
		return w.measured("temperature", "")
	}
	tenths := *a.Number
	return strconv.FormatInt(tenths/10, 10) + "." + strconv.FormatInt(tenths%10, 10) + " C " + w.hour(a.Said)
}

// rectalAfter tells of a stitch in the rectum what came of it too.
func (w *writer) rectalAfter() {
	stitch := w.said("stitch_felt")
	line := "rectal after " + w.said("rectal_after") + " stitch " + stitch
	if stitch == "yes" {
		line += " " + w.said("stitch_removed")
	}
	w.line(line)
}

// Latest is which of two questions was answered later; they ask the same, at
// the beginning and at the end.
func Latest(b *companion.BirthReply, first, last string) string {
	one, other := answerTo(b, first), answerTo(b, last)
	if other == nil || one != nil && one.Said > other.Said {
		return first
	}
	return last
}

func answerTo(b *companion.BirthReply, question string) *companion.AnswerReply {
	for i := range b.Answers {
		if b.Answers[i].Question == question {
			return &b.Answers[i]
		}
	}
	return nil
}

func (w *writer) answer(question string) *companion.AnswerReply { return answerTo(w.b, question) }

// text is the free text that answers a question, or the word in its place.
func (w *writer) text(question string) string {
	a := w.answer(question)
	switch {
	case a == nil:
		return ""
	case a.Text != "":
		return a.Text
	}
	return orUnknown(a.Value)
}

// said is the answer to a question: its time, its figure or its word.
func (w *writer) said(question string) string {
	a := w.answer(question)
	if a != nil && a.At != "" {
		return w.hour(a.At)
	}
	return figure(a)
}

// figure is an answer's figure or its word.
func figure(a *companion.AnswerReply) string {
	switch {
	case a == nil:
		return unknown
	case a.Number != nil:
		return strconv.FormatInt(*a.Number, 10)
	}
	return orUnknown(a.Value)
}

// measured is the answer to a question with its unit and the hour at which it
// was given.
func (w *writer) measured(question, unit string) string {
	text := w.said(question)
	if text == unknown {
		return unknown
	}
	a := w.answer(question)
	if a.Number != nil {
		text += unit
	}
	return text + " " + w.hour(a.Said)
}

// hour is a time of the record: whole the first time, then its day only where
// that is not the one last written.
func (w *writer) hour(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "hour-unknown"
	}
	t = t.In(w.zone)
	last, day := w.day, t.Format(time.DateOnly)
	w.day = day
	switch last {
	case day:
		return t.Format("15:04")
	case "":
		return t.Format("2006-01-02T15:04Z07:00")
	}
	return t.Format("2006-01-02T15:04")
}

// free is free text on its one line, in the letters that it has, at most so
// many bytes. A longer one ends in "...".
func free(s string, most int) string {
	s = strings.Join(strings.FieldsFunc(s, breaks), " ")
	if s == "" {
		return unknown
	}
	if len(s) <= most {
		return s
	}
	cut := most - len("...")
	for !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "..."
}

// breaks reports whether a reader may begin a new line at r, or does so with
// other signs that show nothing; spaces too, which are put right with them.
func breaks(r rune) bool {
	return r <= ' ' || r >= 0x7f && r <= 0xa0 || r == 0x2028 || r == 0x2029
}

// orUnknown is a word of the record; silence and the words for not knowing are
// one and the same.
func orUnknown(word string) string {
	switch word {
	case "", "not_measured", "nobody_knows":
		return unknown
	}
	return word
}
