package journal_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/tear"
)

// Once a version is released its folder is never written again: it stands for
// the phones that hold such files. So only the newest one can be.
var update = flag.Bool("update", false, "write testdata/journals of the newest version anew")

const (
	kept1 = "../../testdata/journals/v1"
	kept2 = "../../testdata/journals/v2"
	kept3 = "../../testdata/journals/v3"
	kept4 = "../../testdata/journals/v4"
)

// A teller writes one story as one device.
type teller struct {
	t    testing.TB
	w    *birth.Writer
	now  birth.Now
	list []birth.Record
}

func newTeller(t testing.TB) *teller {
	return &teller{t: t, w: &birth.Writer{Device: birth.Device([5]byte{1, 2, 3, 4, 5})}, now: birth.Now{Wall: 1_800_000_000_000, Run: "run1"}}
}

func (s *teller) say(kind string, body func(*birth.Event)) {
	s.t.Helper()
	s.now.Wall, s.now.Running = s.now.Wall+30_000, s.now.Running+30_000
	e := s.w.Next(birth.BirthID(s.w.Device, 1), kind, s.now)
	body(&e)
	r, err := e.Record()
	if err != nil {
		s.t.Fatal(err)
	}
	s.list = append(s.list, r)
}

// firstBirth is the story that the kept files tell.
func firstBirth(t testing.TB) []birth.Record {
	story := newTeller(t)
	say, device := story.say, story.w.Device
	dose := birth.Dose{Agent: "lidocaine", Micrograms: 50_000, Microlitres: 5_000, Strength: 10_000, Site: "perineum", Prior: true}
	right := dose
	right.Micrograms, right.Microlitres = 60_000, 6_000
	say(birth.KindOpened, func(e *birth.Event) {
		e.Opened = &birth.Opened{Bed: "2", BornAt: 1_799_999_400_000, BornKnown: true}
	})
	for _, f := range []birth.Finding{
		{Name: tear.PerinealSkin, Value: "torn"}, {Name: tear.VaginalMucosa, Value: "torn"}, {Name: tear.PerinealMuscle, Value: "torn"},
		{Name: tear.ExternalSphincter, Value: "half_or_more"}, {Name: tear.InternalSphincter, Value: "unsure"}, {Name: tear.AnorectalMucosa, Value: "intact"},
	} {
		say(birth.KindFinding, func(e *birth.Event) { e.Finding = &f })
	}
	say(birth.KindRectal, func(e *birth.Event) { e.Rectal = &birth.Rectal{Value: "done"} })
	say(birth.KindEpisiotomy, func(e *birth.Event) { e.Episiotomy = &birth.Episiotomy{} })
	say(birth.KindSecondLook, func(*birth.Event) {})
	say(birth.KindWeight, func(e *birth.Event) { e.Weight = &birth.Weight{NotWeighed: true, HeightCm: 158} })
	say(birth.KindPrior, func(e *birth.Event) { e.Prior = &birth.Prior{Told: birth.PriorListed} })
	say(birth.KindDose, func(e *birth.Event) { e.Dose = &dose })
	say(birth.KindDoseCorrected, func(e *birth.Event) {
		e.DoseCorrected = &birth.DoseCorrected{Of: device + "/13", Dose: &right}
	})
	say(birth.KindDose, func(e *birth.Event) { e.Dose = &birth.Dose{Agent: "lidocaine", Micrograms: 1} })
	say(birth.KindDoseCorrected, func(e *birth.Event) { e.DoseCorrected = &birth.DoseCorrected{Of: device + "/15", Void: true} })
	say(birth.KindGradeNoted, func(e *birth.Event) {
		e.GradeNoted = &birth.GradeNoted{Grade: "3c", AtLeast: "3b", AtMost: "3c", TreatAs: "3c", Because: []string{"unsure_takes_higher"}}
	})
	say(birth.KindLimitNoted, func(e *birth.Event) {
		e.LimitNoted = &birth.LimitNoted{Agent: "lidocaine", Strength: 10_000, Micrograms: 90_000, Microlitres: 9_000, BoundBy: "weight", Source: "lowest", WeightAssumed: true}
	})
	say(birth.KindClosed, func(*birth.Event) {})
	say(birth.KindReopened, func(*birth.Event) {})
	return story.list
}

// secondBirth is the story of version 2: its new kinds beside one of the first.
func secondBirth(t testing.TB) []birth.Record {
	story := newTeller(t)
	story.say(birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{Bed: "2"} })
	for _, a := range []birth.Answer{
		{Question: "uterus_firm", Kind: birth.AnswerChoice, Value: "no"},
		{Question: "uterus_firm", Kind: birth.AnswerChoice, Value: "yes"},
		{Question: "pulse", Kind: birth.AnswerNumber, Number: 88},
		{Question: "systolic", Kind: birth.AnswerChoice, Value: "not_measured"},
		{Question: "tampon", Kind: birth.AnswerChoice, Value: "left"},
		{Question: "tampon_at", Kind: birth.AnswerTime, At: 1_800_000_100_000},
		{Question: "tampon_receiver", Kind: birth.AnswerText, Text: "night shift"},
		{Question: "light", Kind: birth.AnswerChoice, Value: "no"},
		{Question: "light", Kind: birth.AnswerTakenBack},
	} {
		story.say(birth.KindAnswer, func(e *birth.Event) { e.Answer = &a })
	}
	for _, c := range []birth.Count{
		{Phase: birth.CountIn, Items: []birth.CountItem{{Item: "swab", N: 10}, {Item: "needle", N: 0}}},
		{Phase: birth.CountAdded, Items: []birth.CountItem{{Item: "swab", N: 5}}},
		{Phase: birth.CountOut, Items: []birth.CountItem{{Item: "swab", N: 15}}},
	} {
		story.say(birth.KindCount, func(e *birth.Event) { e.Count = &c })
	}
	story.say(birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: "vaginal_mucosa", Done: true} })
	story.say(birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: "vaginal_mucosa"} })
	story.say(birth.KindVisit, func(e *birth.Event) { e.Visit = &birth.Visit{Key: "day_3", Date: "2027-01-18", Confirmed: true} })
	return story.list
}

// thirdBirth is the story of version 3.
func thirdBirth(t testing.TB) []birth.Record {
	story := newTeller(t)
	story.say(birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{Bed: "سرير ثمانية"} })
	story.say(birth.KindAnswer, func(e *birth.Event) {
		e.Answer = &birth.Answer{Question: "tampon_receiver", Kind: birth.AnswerText, Text: strings.Repeat("\U0001E900", 60)}
	})
	for _, d := range []birth.Despite{
		{Deed: birth.DeedLayer, Of: "vaginal_mucosa", Open: []string{"consent", "ceiling"}},
		{Deed: birth.DeedFinished, Open: []string{"counted_in"}},
	} {
		story.say(birth.KindDespite, func(e *birth.Event) { e.Despite = &d })
	}
	story.say(birth.KindLayer, func(e *birth.Event) { e.Layer = &birth.Layer{Layer: "vaginal_mucosa", Done: true} })
	story.say(birth.KindLookedThrough, func(*birth.Event) {})
	story.say(birth.KindDespite, func(e *birth.Event) {
		e.Despite = &birth.Despite{Deed: birth.DeedClosed, Open: []string{"record_damaged", "count_open"}}
	})
	story.say(birth.KindClosed, func(*birth.Event) {})
	return story.list
}

// fourthBirth is the story of version 4.
func fourthBirth(t testing.TB) []birth.Record {
	story := newTeller(t)
	story.say(birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{Bed: "2"} })
	for range 8 {
		story.say(birth.KindAnswer, func(e *birth.Event) {
			e.Answer = &birth.Answer{Question: "uterus_firm", Kind: birth.AnswerChoice, Value: "yes"}
		})
	}
	story.say(birth.KindDoubted, func(*birth.Event) {})
	story.say(birth.KindClosed, func(*birth.Event) {})
	story.w = &birth.Writer{Device: birth.Device([5]byte{5, 4, 3, 2, 1}), Lamport: story.w.Lamport}
	first := story.list[0].Event.Birth
	story.say(birth.KindMoved, func(e *birth.Event) { e.Birth = first })
	story.say(birth.KindDeleted, func(e *birth.Event) { e.Birth, e.Deleted = first, &birth.Deleted{Reason: "kept_long_enough"} })
	return story.list
}

// keep writes the story as this version writes it, over several segments.
func keep(t *testing.T, folder string, story []birth.Record) {
	d := journaltest.New()
	j, _, err := journal.OpenSmall(d, journal.Plain{}, 1000)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range story {
		if err := j.Append(r.Raw); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	names, _ := d.Names()
	for _, name := range names {
		if err := os.WriteFile(filepath.Join(folder, name), d.Bytes(name), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// load puts the files of a folder on a disk.
func load(t *testing.T, folder string) *journaltest.Disk {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) == 0 {
		t.Fatalf("no files in %s: %v", folder, err)
	}
	d := journaltest.New()
	for _, entry := range entries {
		b, err := os.ReadFile(filepath.Join(folder, entry.Name()))
		if err != nil {
			t.Fatal(err)
		}
		d.Put(entry.Name(), b)
	}
	return d
}

func TestVersion1StaysReadable(t *testing.T) {
	tellsTheStory(t, birth.Replay(readBack(t, kept1, firstBirth(t))))
}

func TestVersion3StaysReadable(t *testing.T) {
	b := birth.Replay(readBack(t, kept3, thirdBirth(t))).Births[0]
	if b.Unknown != 0 || b.Bed != "سرير ثمانية" || !b.Closed || len(b.Despites) != 3 || b.Despites[0].Of != "vaginal_mucosa" || len(b.LeftOpen) != 2 || len(b.Log) != 8 {
		t.Errorf("%+v", b)
	}
	if a := b.AnswerTo("tampon_receiver"); a == nil || len(a.Text) != 240 {
		t.Errorf("%+v", a)
	}
}

func TestVersion4StaysReadable(t *testing.T) {
	if *update {
		keep(t, kept4, fourthBirth(t))
	}
	s := birth.Replay(readBack(t, kept4, fourthBirth(t)))
	if len(s.Births) != 0 || len(s.Deleted) != 1 || s.Deleted[0] != "aebagbaf-1" {
		t.Errorf("%+v", s)
	}
}

func TestVersion2StaysReadable(t *testing.T) {
	b := birth.Replay(readBack(t, kept2, secondBirth(t))).Births[0]
	words := func(question string) birth.Answer {
		if a := b.AnswerTo(question); a != nil {
			return a.Answer
		}
		return birth.Answer{}
	}
	if b.Unknown != 0 || len(b.Answers) != 6 || words("uterus_firm").Value != "yes" || words("pulse").Number != 88 ||
		words("systolic").Value != "not_measured" || words("tampon_at").At != 1_800_000_100_000 || words("tampon_receiver").Text != "night shift" || words("light").Kind != "" {
		t.Errorf("answers %+v", b.Answers)
	}
	if len(b.Counts) != 3 || b.Counts[1].Items[0].N != 5 || len(b.Layers) != 1 || b.Layers[0].Done || b.Visits[0].Date != "2027-01-18" {
		t.Errorf("counts %+v, layers %+v, visits %+v", b.Counts, b.Layers, b.Visits)
	}
}

// readBack reads a kept folder and wants in it, byte for byte, what this
// version writes when it tells the same story.
func readBack(t *testing.T, folder string, story []birth.Record) (got []birth.Record) {
	t.Helper()
	j, r, err := journal.Open(load(t, folder))
	if err != nil {
		t.Fatal(err)
	}
	if r.Segments < 2 || int(r.Frames) != len(story) || len(r.Damaged) > 0 || r.TornTail || r.Missing > 0 {
		t.Errorf("%+v", r)
	}
	err = j.Each(func(_ uint64, p []byte) error {
		record, err := birth.Decode(p)
		got = append(got, record)
		return err
	})
	if err != nil || len(got) != len(story) {
		t.Fatalf("%d of %d events: %v", len(got), len(story), err)
	}
	for i, want := range story {
		if !bytes.Equal(got[i].Raw, want.Raw) || !reflect.DeepEqual(got[i].Event, want.Event) {
			t.Errorf("event %d: read %+v, this version writes %+v", i+1, got[i].Event, want.Event)
		}
	}
	return got
}

func tellsTheStory(t *testing.T, s birth.State) {
	t.Helper()
	if len(s.Births) != 1 {
		t.Fatalf("%d births", len(s.Births))
	}
	b := s.Births[0]
	if b.Number != "AEB-1" || b.Bed != "2" || b.BornAt != 1_799_999_400_000 || b.Closed || b.Unknown != 0 || !b.GivenKnown() {
		t.Errorf("%+v", b)
	}
	want := tear.Findings{
		PerinealSkin: "torn", VaginalMucosa: "torn", PerinealMuscle: "torn", ExternalSphincter: "half_or_more",
		InternalSphincter: "unsure", AnorectalMucosa: "intact", RectalExam: "done", SecondLookDone: true,
	}
	if b.Findings != want || !b.EpisiotomySaid || !b.Weight.NotWeighed {
		t.Errorf("findings %+v", b.Findings)
	}
	if len(b.Doses) != 2 || b.Doses[0].Micrograms != 60_000 || !b.Doses[0].Prior || b.Doses[0].Void || !b.Doses[1].Void {
		t.Errorf("doses %+v", b.Doses)
	}
	if b.GradeNoted.Grade != "3c" || b.LimitNoted.Micrograms != 90_000 {
		t.Errorf("noted %+v %+v", b.GradeNoted, b.LimitNoted)
	}
}
