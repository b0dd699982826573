package notecode_test

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
	"rsc.io/qr/coding"

	"fourchette/core/companion"
	"fourchette/wasm/pages/notecode"
)

// room is what the largest code that is printed holds: version 20 at level L,
// without the 20 bits that say that they are bytes, and how many.
var room = coding.Version(20).DataBytes(coding.L) - 3

func number(n int64) *int64 { return &n }

func at(hour string) string { return "2026-03-14T" + hour + ":30Z" }

var eastern = time.FixedZone("", 3*60*60)

// example is the record of the format's own example: see the package comment.
func example() notecode.Record {
	b := &companion.BirthReply{Number: "K7Q-12", Bed: "3", BornAt: at("09:00"), Prior: "listed", EpisiotomyAsked: true,
		Findings: companion.GradeRequest{PerinealSkin: "torn", VaginalMucosa: "torn", PerinealMuscle: "torn", RectalExam: "done",
			ExternalSphincter: "half_or_more", InternalSphincter: "unsure", AnorectalMucosa: "intact"},
		Doses: []companion.DoseReply{
			{Agent: "lidocaine", StrengthPercent: "1", Ml: "5", Mg: "50", Prior: true, At: at("09:10")},
			{Agent: "lidocaine", StrengthPercent: "1", Ml: "10", Mg: "100", At: at("09:15")},
			{Agent: "lidocaine", StrengthPercent: "1", Ml: "3", Mg: "30", At: at("09:39"), Void: true},
			{Agent: "lidocaine", StrengthPercent: "1", Ml: "4", Mg: "40", At: at("09:40")},
		},
		Answers: []companion.AnswerReply{
			{Question: "allergy", Value: "penicillin"}, {Question: "allergy_second", Value: "other"}, {Question: "allergy_third", Value: "none"},
			{Question: "allergy_which", Text: "a sulfa tablet"}, {Question: "bleeding_looked", Value: "heavy", Said: at("09:05")},
			{Question: "diastolic", Number: number(60), Said: at("10:04")}, {Question: "final_bleeding", Value: "settled", Said: at("10:20")},
			{Question: "genital_cutting", Value: "no"}, {Question: "instrumental", Value: "none"},
			{Question: "loss_ml", Number: number(600), Said: at("10:10")}, {Question: "placenta_complete", Value: "yes"},
			{Question: "pulse", Number: number(110), Said: at("10:02")}, {Question: "systolic", Number: number(90), Said: at("10:03")},
			{Question: "tampon", Value: "left"}, {Question: "tampon_at", At: at("10:05")}, {Question: "tampon_number", Number: number(2)},
			{Question: "tampon_receiver", Text: "night shift"}, {Question: "tranexamic_given", At: at("09:20")}, {Question: "antibiotic_given", At: at("09:25")},
			{Question: "uterus_firm", Value: "yes", Said: at("10:20")},
			{Question: "decision", Value: "refer"}, {Question: "told_receiver", Value: "yes"},
			{Question: "consent_exam", Value: "yes"}, {Question: "consent_repair", Value: "declined"},
			{Question: "other_medicines", Text: "oxytocin 10 units"}, {Question: "temperature", Number: number(385), Said: at("10:04")},
		},
	}
	return notecode.Record{Birth: b, Grade: companion.GradeReply{Grade: "3b", TreatAs: "4"}, Count: notecode.CountComplete, Zone: eastern}
}

// The example of the package comment, which is what a stranger reads by.
func TestTheExampleOfTheFormat(t *testing.T) {
	const want = `FN3 note for practice
number K7Q-12 bed 3
tampon LEFT INSIDE 2 since 2026-03-14T13:05+03:00 told night shift
count complete but 2 left inside
grade 3b unsettled plan 4
decided refer told yes
consent exam yes repair declined
born 12:00
tranexamic acid 12:20 antibiotic 12:25
other drugs oxytocin 10 units
doses 3 before listed
lidocaine 1% plain: 5 mL 50 mg before, 10 mL 100 mg 12:15, 4 mL 40 mg 12:40
allergy penicillin other none which a sulfa tablet
cut no skin torn vagina torn muscle torn
rectal done EAS half_or_more IAS unsure bowel intact
sewn none
lost 600 mL 13:10
pulse 110 13:02 BP 90/60 13:03 temp 38.5 C 13:04
uterus firm yes 13:20
bleeding settled 13:20
placenta complete yes
instrument none
FGM no
rectal after unknown stitch unknown
end`
	got, ok := notecode.Write(example(), room)
	if !ok || got != want {
		t.Errorf("got\n%s\nwanted\n%s", got, want)
	}
	source, err := os.ReadFile("notecode.go")
	if err != nil || !strings.Contains(string(source), "//\t"+strings.ReplaceAll(want, "\n", "\n//\t")+"\n//\n") {
		t.Errorf("the package comment does not show it: %v", err)
	}
}

// A record of which nobody said anything says so in every line.
func TestSilenceIsUnknown(t *testing.T) {
	const want = `FN3 note for practice INCOMPLETE
number K7Q-12 bed unknown
tampon unknown
count none
grade unknown unsettled plan 4
decided unknown told unknown
consent exam unknown repair unknown
born hour-unknown
tranexamic acid unknown antibiotic unknown
other drugs unknown
doses 0 before unknown
allergy unknown
cut unknown skin unknown vagina unknown muscle unknown
rectal unknown EAS unknown IAS unknown bowel unknown
sewn none
lost unknown
pulse unknown BP unknown temp unknown
uterus firm unknown
bleeding unknown
placenta complete unknown
instrument unknown
FGM unknown
rectal after unknown stitch unknown
end`
	r := notecode.Record{Birth: &companion.BirthReply{Number: "K7Q-12", Newer: 2}, Grade: companion.GradeReply{Grade: "undetermined", TreatAs: "4"},
		Count: notecode.CountNone, Zone: time.UTC}
	if got, ok := notecode.Write(r, room); !ok || got != want {
		t.Errorf("got\n%s\nwanted\n%s", got, want)
	}
}

// fullest is a record in which every line is as long as this version's own
// words make it, with so many doses and free text of so many bytes.
func fullest(doses, free int) notecode.Record {
	r := example()
	b := r.Birth
	b.Number, b.Bed, b.Prior, b.EpisiotomyAsked = "K7Q-1234", strings.Repeat("b", companion.MaxBed), "nothing", false
	b.Findings = companion.GradeRequest{PerinealSkin: "unknown", VaginalMucosa: "unknown", PerinealMuscle: "unknown", RectalExam: "declined",
		ExternalSphincter: "half_or_more", InternalSphincter: "unknown", AnorectalMucosa: "unknown"}
	r.Grade.Buttonhole, r.Count = true, notecode.CountComplete // longer than any other, with a tampon inside
	for question, a := range map[string]companion.AnswerReply{
		"allergy": {Value: "cephalosporin"}, "allergy_second": {Value: "metronidazole"}, "allergy_third": {Value: "other"},
		"allergy_which": {Text: strings.Repeat("w", free)}, "tampon_receiver": {Text: strings.Repeat("r", free)},
		"tampon_number": {Number: number(20)}, "loss_ml": {Number: number(20000), Said: at("10:10")},
		"pulse": {Number: number(300), Said: at("10:02")}, "systolic": {Number: number(300), Said: at("10:03")}, "diastolic": {Number: number(300), Said: at("10:03")},
		"placenta_complete": {Value: "unsure"}, "instrumental": {Value: "forceps"}, "genital_cutting": {Value: "unsure"},
		"rectal_after": {Value: "done"}, "stitch_felt": {Value: "yes"}, "stitch_removed": {Value: "removed"},
		"decision": {Value: "cannot_travel"}, "told_receiver": {Value: "yes"}, "consent_exam": {Value: "cannot_answer"}, "consent_repair": {Value: "cannot_answer"},
		"other_medicines": {Text: strings.Repeat("m", free)}, "temperature": {Number: number(385), Said: at("10:04")},
	} {
		a.Question = question
		b.Answers = slices.DeleteFunc(b.Answers, func(old companion.AnswerReply) bool { return old.Question == question })
		b.Answers = append(b.Answers, a)
	}
	for _, layer := range []string{"anorectal_mucosa", "external_sphincter", "internal_sphincter", "perineal_muscle", "perineal_skin", "vaginal_mucosa"} {
		b.Layers = append(b.Layers, companion.LayerReply{Layer: layer, Done: true})
	}
	b.Doses = nil
	for i := range doses {
		b.Doses = append(b.Doses, companion.DoseReply{Agent: "lidocaine", StrengthPercent: "1", Ml: "10", Mg: "100", At: at(fmt.Sprintf("10:%02d", i))})
	}
	return r
}

// The longest notes that there can be: how much is whole, and what gives way.
func TestTheFullestNote(t *testing.T) {
	for _, c := range []struct {
		doses, free    int
		fits           bool
		told, medicine int // bytes of free text left
	}{
		{1, 20, true, 20, 20}, // all of it
		{0, 32, true, 32, 32}, // all of it
		{2, 60, true, 12, 12},
		{3, 60, true, 8, 8},
		{4, 60, false, 0, 0}, // no code, never a cut one
		{30, 24, false, 0, 0},
	} {
		text, ok := notecode.Write(fullest(c.doses, c.free), room)
		t.Logf("%d doses, free text of %d bytes: %v, %d of %d bytes", c.doses, c.free, ok, len(text), room)
		if ok != c.fits {
			t.Errorf("%d doses, %d bytes: fits %v", c.doses, c.free, ok)
		}
		if !ok {
			continue
		}
		n, err := read(text)
		if err != nil || len(n.doses) != c.doses || len(n.told) != c.told || len(n.which) != c.medicine || len(n.other) != c.medicine {
			t.Errorf("%d doses, %d bytes: %v, %d doses, %q, %q, %q", c.doses, c.free, err, len(n.doses), n.told, n.which, n.other)
		}
	}
}

// Whatever the record, the text reads back as the record says. Where all fits
// nothing is shortened; where it does not, only free text is, and marked.
func TestAnyRecordIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecord(t)
		whole, ok := notecode.Write(r, 1<<20)
		if !ok {
			t.Fatal("refused with all the room there is")
		}
		compare(t, r, whole, false)
		most := rapid.IntRange(300, 1200).Draw(t, "room")
		text, ok := notecode.Write(r, most)
		switch {
		case ok && len(text) > most:
			t.Fatalf("%d bytes in a room of %d", len(text), most)
		case ok && text != whole:
			if len(whole) <= most {
				t.Fatal("shortened, and it would have fitted")
			}
			compare(t, r, text, true)
		case !ok && bare(r)+4*7 <= most: // each may stay 8 bytes long
			t.Fatalf("no code in %d bytes, though without free text it has %d", most, bare(r))
		}
	})
}

// What this program writes of one birth and its night fits, with up to three
// doses of one label.
func TestARecordOfOursFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecord(t)
		ours(t, r.Birth)
		text, ok := notecode.Write(r, room)
		if !ok {
			t.Fatalf("no room: %+v", r.Birth)
		}
		compare(t, r, text, true)
	})
}

// bare is how long the whole note is with one byte for each free text.
func bare(r notecode.Record) int {
	b := *r.Birth
	b.Bed, b.Answers = "b", slices.Clone(b.Answers)
	for _, q := range []string{"tampon_receiver", "allergy_which", "other_medicines"} {
		if a := answer(&b, q); a != nil {
			a.Text = "r"
		}
	}
	r.Birth = &b
	text, _ := notecode.Write(r, 1<<20)
	return len(text)
}

// textOf is the free text that answers a question.
func textOf(r notecode.Record, question string) string {
	if a := answer(r.Birth, question); a != nil {
		return a.Text
	}
	return ""
}

func answer(b *companion.BirthReply, question string) *companion.AnswerReply {
	for i := range b.Answers {
		if b.Answers[i].Question == question {
			return &b.Answers[i]
		}
	}
	return nil
}

// compare holds what was read against the record.
func compare(t *rapid.T, r notecode.Record, text string, shortened bool) {
	t.Helper()
	got, err := read(text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	want := expected(r)
	for _, free := range []struct{ got, want *string }{{&got.bed, &want.bed}, {&got.told, &want.told}, {&got.which, &want.which}, {&got.other, &want.other}} {
		if shortened {
			if cut, ok := strings.CutSuffix(*free.got, "..."); ok && strings.HasPrefix(*free.want, cut) {
				*free.want = *free.got
			}
		}
		if !utf8.ValidString(*free.got) {
			t.Fatalf("a letter is cut: %q", *free.got)
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("read\n%+v\nwanted\n%+v\n%s", got, want, text)
	}
}
