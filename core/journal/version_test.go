package journal_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/tear"
)

// Once a version is released its folder is never written again: it stands for
// the phones that hold such files.
var update = flag.Bool("update", false, "write testdata/journals of this version anew")

const kept = "../../testdata/journals/v1"

// firstBirth is the story that the kept files tell.
func firstBirth(t testing.TB) []birth.Record {
	device := birth.Device([5]byte{1, 2, 3, 4, 5})
	w := &birth.Writer{Device: device}
	now := birth.Now{Wall: 1_800_000_000_000, Run: "run1"}
	var list []birth.Record
	say := func(kind string, body func(*birth.Event)) {
		now.Wall, now.Running = now.Wall+30_000, now.Running+30_000
		e := w.Next(birth.BirthID(device, 1), kind, now)
		body(&e)
		r, err := e.Record()
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, r)
	}
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
	return list
}

// keep writes the story as this version writes it, over several segments.
func keep(t *testing.T) {
	d := journaltest.New()
	j, _, err := journal.OpenSmall(d, journal.Plain{}, 1000)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range firstBirth(t) {
		if err := j.Append(r.Raw); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(kept, 0o755); err != nil {
		t.Fatal(err)
	}
	names, _ := d.Names()
	for _, name := range names {
		if err := os.WriteFile(filepath.Join(kept, name), d.Bytes(name), 0o644); err != nil {
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
	if *update {
		keep(t)
	}
	j, r, err := journal.Open(load(t, kept))
	if err != nil {
		t.Fatal(err)
	}
	if r.Segments < 2 || r.Frames != 20 || len(r.Damaged) > 0 || r.TornTail || r.Missing > 0 {
		t.Errorf("%+v", r)
	}
	var got []birth.Record
	err = j.Each(func(_ uint64, p []byte) error {
		record, err := birth.Decode(p)
		got = append(got, record)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range firstBirth(t) {
		if !bytes.Equal(got[i].Raw, want.Raw) || !reflect.DeepEqual(got[i].Event, want.Event) {
			t.Errorf("event %d: read %+v, this version writes %+v", i+1, got[i].Event, want.Event)
		}
	}
	tellsTheStory(t, birth.Replay(got))
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
