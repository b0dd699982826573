package birth

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/tinylib/msgp/msgp"

	"fourchette/core/tear"
)

const (
	deviceA = "k7qmz3wd"
	deviceB = "abcdef27"
)

var clock = Now{Wall: 1_900_000_000_000, Running: 60_000, Run: "run1"}

func recorded(t testing.TB, e Event) Record {
	t.Helper()
	r, err := e.Record()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// history is a birth with every kind of event, as one device writes it.
func history(t testing.TB) []Record {
	w := &Writer{Device: deviceA}
	id := BirthID(deviceA, 12)
	var list []Record
	add := func(kind string, fill func(*Event)) {
		e := w.Next(id, kind, clock)
		fill(&e)
		list = append(list, recorded(t, e))
	}
	add(KindOpened, func(e *Event) { e.Opened = &Opened{Bed: "3", BornAt: clock.Wall - 1000, BornKnown: true} })
	add(KindFinding, func(e *Event) { e.Finding = &Finding{"perineal_muscle", "torn"} })
	add(KindFinding, func(e *Event) { e.Finding = &Finding{"external_sphincter", "under_half"} })
	add(KindRectal, func(e *Event) { e.Rectal = &Rectal{"done"} })
	add(KindEpisiotomy, func(e *Event) { e.Episiotomy = &Episiotomy{Cut: true} })
	add(KindSecondLook, func(e *Event) {})
	add(KindWeight, func(e *Event) { e.Weight = &Weight{Grams: 60_000, HeightCm: 160} })
	add(KindPrior, func(e *Event) { e.Prior = &Prior{PriorListed} })
	add(KindDose, func(e *Event) { e.Dose = &Dose{"lidocaine", true, 50_000, 5_000, 10_000, "perineum", true} })
	add(KindDose, func(e *Event) { e.Dose = &Dose{"lidocaine", false, 20_000, 2_000, 10_000, "", false} })
	add(KindDoseCorrected, func(e *Event) {
		e.DoseCorrected = &DoseCorrected{Of: deviceA + "/9", Dose: &Dose{"lidocaine", true, 60_000, 6_000, 10_000, "perineum", true}}
	})
	add(KindDoseCorrected, func(e *Event) { e.DoseCorrected = &DoseCorrected{Of: deviceA + "/10", Void: true} })
	add(KindGradeNoted, func(e *Event) {
		e.GradeNoted = &GradeNoted{"3a", "3a", "3a", "3a", true, false, []string{"external_under_half"}}
	})
	add(KindLimitNoted, func(e *Event) {
		e.LimitNoted = &LimitNoted{"lidocaine", false, 10_000, 180_000, 18_000, "weight", "lowest", false}
	})
	add(KindClosed, func(e *Event) {})
	add(KindReopened, func(e *Event) {})
	add(KindAnswer, func(e *Event) { e.Answer = &Answer{Question: "uterus_firm", Kind: AnswerChoice, Value: "yes"} })
	add(KindAnswer, func(e *Event) { e.Answer = &Answer{Question: "pulse", Kind: AnswerNumber} })
	add(KindAnswer, func(e *Event) { e.Answer = &Answer{Question: "tampon_at", Kind: AnswerTime, At: clock.Wall} })
	add(KindAnswer, func(e *Event) {
		e.Answer = &Answer{Question: "tampon_receiver", Kind: AnswerText, Text: "night shift"}
	})
	add(KindCount, func(e *Event) { e.Count = &Count{CountIn, []CountItem{{"swab", 10}, {"needle", 0}}} })
	add(KindLayer, func(e *Event) { e.Layer = &Layer{"vaginal_mucosa", true} })
	add(KindVisit, func(e *Event) { e.Visit = &Visit{"day_3", "2026-03-21", true} })
	add(KindDespite, func(e *Event) {
		e.Despite = &Despite{DeedLayer, "vaginal_mucosa", []string{"consent", "counted_in"}}
	})
	add(KindLookedThrough, func(*Event) {})
	return list
}

func TestReplayTellsWhatWasSaid(t *testing.T) {
	s := Replay(history(t))
	if len(s.Births) != 1 {
		t.Fatalf("%d births", len(s.Births))
	}
	b := s.Births[0]
	if b.ID != "k7qmz3wd-12" || b.Number != "K7Q-12" || b.Bed != "3" || b.OpenedAt != clock.Wall || !b.BornKnown {
		t.Errorf("birth %+v", b)
	}
	want := tear.Findings{PerinealMuscle: "torn", ExternalSphincter: "under_half", RectalExam: "done", Episiotomy: true, SecondLookDone: true}
	if b.Findings != want || !b.EpisiotomySaid {
		t.Errorf("findings %+v", b.Findings)
	}
	if b.Weight.Grams != 60_000 || !b.GivenKnown() || b.Closed || b.Unknown != 0 || len(b.Log) != 25 {
		t.Errorf("birth %+v", b)
	}
	if len(b.Doses) != 2 || b.Doses[0].Micrograms != 60_000 || b.Doses[0].Void || !b.Doses[1].Void || b.Doses[1].Micrograms != 20_000 {
		t.Errorf("doses %+v", b.Doses)
	}
	if len(b.Answers) != 4 || b.AnswerTo("pulse").Number != 0 || b.AnswerTo("tampon_receiver").Text != "night shift" || b.AnswerTo("light") != nil {
		t.Errorf("answers %+v", b.Answers)
	}
	if b.Counts[0].Items[0] != (CountItem{"swab", 10}) || !b.Layers[0].Done || b.Visits[0].Date != "2026-03-21" || b.Visits[0].Place != 22 || b.Visits[0].Wall != clock.Wall {
		t.Errorf("counts %+v, layers %+v, visits %+v", b.Counts, b.Layers, b.Visits)
	}
	if b.GradeNoted.Because[0] != "external_under_half" || b.LimitNoted.Microlitres != 18_000 {
		t.Errorf("noted %+v %+v", b.GradeNoted, b.LimitNoted)
	}
}

func TestSilenceStaysSilence(t *testing.T) {
	b := Replay(history(t)[:1]).Births[0]
	if b.Findings != (tear.Findings{}) || b.EpisiotomySaid || b.Weight != nil || b.Prior != "" || b.GivenKnown() {
		t.Errorf("nobody said anything, and yet %+v", b)
	}
	w := &Writer{Device: deviceA}
	for told, known := range map[string]bool{PriorNothing: true, PriorListed: false, PriorNobodyKnows: false} {
		e := w.Next(b.ID, KindPrior, clock)
		e.Prior = &Prior{told}
		if got := Replay([]Record{recorded(t, e)}).Births[0].GivenKnown(); got != known {
			t.Errorf("told %q: known %v", told, got)
		}
	}
}

// TestListedMeansThatSomethingIsOnTheList: she said that something was given
// and left before it was written down, or took it back. Nought is not known.
func TestListedMeansThatSomethingIsOnTheList(t *testing.T) {
	w := &Writer{Device: deviceA}
	id := BirthID(deviceA, 1)
	var list []Record
	add := func(kind string, body func(*Event)) string {
		e := w.Next(id, kind, clock)
		body(&e)
		list = append(list, recorded(t, e))
		return e.ID()
	}
	known := func(want bool, when string) {
		t.Helper()
		if got := Replay(list).Births[0].GivenKnown(); got != want {
			t.Errorf("%s: known %v", when, got)
		}
	}
	add(KindPrior, func(e *Event) { e.Prior = &Prior{PriorListed} })
	add(KindDose, func(e *Event) { e.Dose = &Dose{Agent: "lidocaine", Micrograms: 50_000} })
	known(false, "only a dose of this record's own time")
	prior := add(KindDose, func(e *Event) { e.Dose = &Dose{Agent: "lidocaine", Micrograms: 50_000, Prior: true} })
	known(true, "the dose before is there")
	add(KindDoseCorrected, func(e *Event) { e.DoseCorrected = &DoseCorrected{Of: prior, Void: true} })
	known(false, "it was taken back")
}

func TestAnswersAreTakenBackByNewEvents(t *testing.T) {
	list := history(t)
	w := &Writer{Device: deviceA}
	for _, r := range list {
		w.Saw(r)
	}
	for _, change := range []func(*Event){
		func(e *Event) { e.Kind, e.Finding = KindFinding, &Finding{"perineal_muscle", ""} },
		func(e *Event) { e.Kind, e.Rectal = KindRectal, &Rectal{""} },
		func(e *Event) { e.Kind, e.Weight = KindWeight, &Weight{NotWeighed: true} },
		func(e *Event) { e.Kind, e.Opened = KindOpened, &Opened{Bed: "4"} },
	} {
		e := w.Next(list[0].Event.Birth, "", Now{Wall: 5})
		change(&e)
		e.Schema = schemaOf(e.Kind)
		list = append(list, recorded(t, e))
	}
	b := Replay(list).Births[0]
	if b.Findings.PerinealMuscle != "" || b.Findings.RectalExam != "" || !b.Weight.NotWeighed {
		t.Errorf("not taken back: %+v", b)
	}
	if b.Bed != "4" || b.BornKnown || b.OpenedAt != clock.Wall {
		t.Errorf("bed %q, born known %v, opened at %d", b.Bed, b.BornKnown, b.OpenedAt)
	}
	if len(b.Log) != len(list) {
		t.Errorf("%d records kept of %d", len(b.Log), len(list))
	}
}

func TestCorrectionsHoldInWhateverOrder(t *testing.T) {
	w := &Writer{Device: deviceA}
	id := BirthID(deviceA, 1)
	correct := func(of string, micrograms int64) Record {
		e := w.Next(id, KindDoseCorrected, clock)
		e.DoseCorrected = &DoseCorrected{Of: of, Void: micrograms == 0}
		if micrograms > 0 {
			e.DoseCorrected.Dose = &Dose{Agent: "lidocaine", Micrograms: micrograms}
		}
		return recorded(t, e)
	}
	early := correct(deviceB+"/1", 30_000) // the dose itself is still on the other device
	other := &Writer{Device: deviceB, Lamport: 50}
	e := other.Next(id, KindDose, clock)
	e.Dose = &Dose{Agent: "lidocaine", Micrograms: 10_000}
	dose := recorded(t, e)

	if d := Replay([]Record{early}).Births[0].Doses; len(d) != 1 || d[0].Micrograms != 30_000 || d[0].ID != deviceB+"/1" {
		t.Errorf("a correction without its dose counts: %+v", d)
	}
	if d := Replay([]Record{early, dose}).Births[0].Doses; len(d) != 1 || d[0].Micrograms != 30_000 {
		t.Errorf("the correction holds although the dose has the later time: %+v", d)
	}
	again := correct(early.Event.ID(), 40_000)
	void := correct(deviceB+"/1", 0)
	if d := Replay([]Record{dose, early, again}).Births[0].Doses; len(d) != 1 || d[0].Micrograms != 40_000 || len(d[0].Corrections) != 2 {
		t.Errorf("a correction of a correction: %+v", d)
	}
	if d := Replay([]Record{dose, early, again, void}).Births[0].Doses; len(d) != 1 || !d[0].Void || d[0].Micrograms != 40_000 {
		t.Errorf("void last: %+v", d)
	}
}

func TestBirthsAreListedInOrderOfOpeningWhateverTheClock(t *testing.T) {
	w := &Writer{Device: deviceA}
	var list []Record
	for n, wall := range []int64{9000, 5000, 7000} {
		e := w.Next(BirthID(deviceA, uint64(10-n)), KindOpened, Now{Wall: wall})
		e.Opened = &Opened{}
		list = append(list, recorded(t, e))
	}
	s := Replay(list)
	var ids []string
	for _, b := range s.Births {
		ids = append(ids, b.ID)
	}
	if want := []string{"k7qmz3wd-10", "k7qmz3wd-9", "k7qmz3wd-8"}; !slices.Equal(ids, want) {
		t.Errorf("got %v, want %v", ids, want)
	}
	if next := s.NextBirth(deviceA); next != "k7qmz3wd-11" {
		t.Errorf("next %s", next)
	}
	if next := s.NextBirth(deviceB); next != "abcdef27-1" {
		t.Errorf("next on another device %s", next)
	}
	if _, found := s.Find("k7qmz3wd-9"); !found {
		t.Error("not found")
	}
}

func TestTwoEventsWithOneIDBothCount(t *testing.T) {
	var list []Record
	for _, micrograms := range []int64{10_000, 20_000} {
		e := (&Writer{Device: deviceA}).Next(BirthID(deviceA, 1), KindDose, clock)
		e.Dose = &Dose{Agent: "lidocaine", Micrograms: micrograms}
		list = append(list, recorded(t, e))
	}
	if d := Replay(append(list, list...)).Births[0].Doses; len(d) != 2 {
		t.Errorf("doses %+v", d)
	}
}

func TestNames(t *testing.T) {
	if d := Device([5]byte{0xff, 0, 0x12, 0x34, 0x56}); !isDevice(d) {
		t.Errorf("device %q", d)
	}
	for id, want := range map[string]string{
		"k7qmz3wd-12": "K7Q-12", "k7qmz3wd-0": "", "k7qmz3wd-012": "", "k7qmz3wd": "", "k7qmz3wd-": "",
		"K7QMZ3WD-1": "", "k7qmz3w-1": "", "k7qmz3w1-1": "", "k7qmz3wd-+1": "", "k7qmz3wd-1-1": "", "": "",
		"k7qmz3wd-18446744073709551616": "",
	} {
		if got := Number(id); got != want {
			t.Errorf("Number(%q) = %q, want %q", id, got, want)
		}
	}
}

func TestWriterGoesOnAboveAllItSaw(t *testing.T) {
	w := &Writer{Device: deviceA}
	w.Saw(Record{Event: Event{Device: deviceB, Seq: 90, Lamport: 70}})
	w.Saw(Record{Event: Event{Device: deviceA, Seq: 4, Lamport: 9}})
	e := w.Next(BirthID(deviceA, 1), KindClosed, Now{Wall: -5, Running: 7, Run: "r"})
	if e.Seq != 5 || e.Lamport != 71 || e.Wall != -5 || e.Running != 7 || e.Run != "r" || e.ID() != "k7qmz3wd/5" {
		t.Errorf("%+v", e)
	}
}

func TestEveryByteAlteredOrCut(t *testing.T) {
	for _, r := range history(t) {
		for i := range r.Raw {
			if got, err := Decode(r.Raw[:i]); !errors.Is(err, ErrMalformed) || got.Raw != nil {
				t.Fatalf("%s cut at %d: %v", r.Event.Kind, i, err)
			}
			for x := 1; x < 256; x++ {
				changed := bytes.Clone(r.Raw)
				changed[i] ^= byte(x)
				holdsItsBytes(t, changed)
			}
		}
		if _, err := Decode(append(bytes.Clone(r.Raw), 0xc0)); !errors.Is(err, ErrMalformed) {
			t.Fatalf("%s with a byte after the end: %v", r.Event.Kind, err)
		}
	}
}

// holdsItsBytes checks the promise of Decode for any bytes.
func holdsItsBytes(t *testing.T, b []byte) {
	r, err := Decode(b)
	if err != nil {
		if !errors.Is(err, ErrMalformed) || r.Raw != nil || !reflect.DeepEqual(r.Event, Event{}) {
			t.Fatalf("refused %x with %v, handed out %+v", b, err, r)
		}
		return
	}
	if !bytes.Equal(r.Raw, b) {
		t.Fatalf("accepted %x, keeps %x", b, r.Raw)
	}
	if again, err := r.Event.MarshalMsg(nil); !r.Newer && (err != nil || !bytes.Equal(again, b)) {
		t.Fatalf("understood %x in full, but writes %x", b, again)
	}
	if r.Newer && r.Event.Schema <= Schema {
		t.Fatalf("schema %d taken as newer", r.Event.Schema)
	}
	if s := Replay([]Record{r, r}); len(s.Births) != 1 || len(s.Births[0].Log) != 1 {
		t.Fatalf("replayed to %+v", s)
	}
}

// envelope begins an event with fields and room for more entries.
func envelope(schema uint8, kind string, more uint32) []byte {
	b := msgp.AppendMapHeader(nil, 9+more)
	for _, kv := range []struct {
		key   string
		value any
	}{
		{"v", schema}, {"d", deviceA}, {"n", uint64(1)}, {"l", uint64(1)}, {"w", int64(1)},
		{"u", int64(1)}, {"r", "r"}, {"b", deviceA + "-1"}, {"k", kind},
	} {
		b = msgp.AppendString(b, kv.key)
		b, _ = msgp.AppendIntf(b, kv.value)
	}
	return b
}

func with(b []byte, pairs ...any) []byte {
	for i := 0; i < len(pairs); i += 2 {
		b = msgp.AppendString(b, pairs[i].(string))
		b, _ = msgp.AppendIntf(b, pairs[i+1])
	}
	return b
}

func TestNewerIsKeptAndCounted(t *testing.T) {
	for name, b := range map[string][]byte{
		"unknown kind":       with(envelope(Schema+1, "transfusion", 1), "transfusion", map[string]any{"units": 2}),
		"unknown field":      with(envelope(Schema+1, KindClosed, 1), "why", []any{"a", 1.5, nil}),
		"field in a body":    with(envelope(Schema+1, KindFinding, 1), "finding", map[string]any{"depth": 3}),
		"word unknown":       with(envelope(Schema+1, KindRectal, 1), "rectal", map[string]any{"value": "later"}),
		"body of a new kind": envelope(200, KindDose, 0),
	} {
		r, err := Decode(b)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		birth := Replay([]Record{r}).Births[0]
		if !r.Newer || birth.Unknown != 1 || birth.GivenKnown() || !bytes.Equal(birth.Log[0].Raw, b) {
			t.Errorf("%s: %+v", name, birth)
		}
		b[1] ^= 0xff
		if bytes.Equal(r.Raw, b) {
			t.Errorf("%s: the record changes with the caller's bytes", name)
		}
	}
}

func TestWhatIsNotUnderstoodLeavesDosesOpen(t *testing.T) {
	e := (&Writer{Device: deviceA}).Next(deviceA+"-1", KindPrior, clock)
	e.Prior = &Prior{PriorNothing}
	told := recorded(t, e)
	newer, err := Decode(bytes.Replace(envelope(Schema+1, "infusion", 0), []byte("\xa1n\x01"), []byte("\xa1n\x02"), 1))
	if err != nil {
		t.Fatal(err)
	}
	if !Replay([]Record{told}).Births[0].GivenKnown() || Replay([]Record{told, newer}).Births[0].GivenKnown() {
		t.Error("an event this version cannot read may be a dose: what was given is not known")
	}
}

func TestNewerButUnderstoodIsNotCounted(t *testing.T) {
	r, err := Decode(envelope(Schema+1, KindClosed, 0))
	if err != nil || r.Newer {
		t.Errorf("%+v, %v", r, err)
	}
}

func TestNewerWordsTakeOlderAnswersBack(t *testing.T) {
	intact := (&Writer{Device: deviceA}).Next(deviceA+"-1", KindFinding, clock)
	intact.Finding = &Finding{"perineal_skin", "intact"}
	newer := intact
	newer.Schema, newer.Seq, newer.Lamport = Schema+1, 2, 2
	newer.Finding = &Finding{"perineal_skin", "grazed"}
	raw, err := newer.MarshalMsg(nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := Decode(raw)
	if err != nil || !r.Newer || r.Event.Finding.Value != "grazed" {
		t.Fatalf("%+v, %v", r, err)
	}
	got := Replay([]Record{recorded(t, intact), r}).Births[0]
	if got.Findings.PerinealSkin != "" || got.Unknown != 1 {
		t.Errorf("still %q: an answer this version cannot read must not leave \"intact\" standing", got.Findings.PerinealSkin)
	}
}

func TestNewerIsRefusedWhenItIsNotWellFormed(t *testing.T) {
	deep := any("x")
	for range maxDepth {
		deep = []any{deep}
	}
	for name, b := range map[string][]byte{
		"key twice":       with(envelope(Schema+1, KindClosed, 2), "why", 1, "why", 1),
		"known key twice": with(envelope(Schema+1, KindClosed, 1), "v", 2),
		"not UTF-8":       with(envelope(Schema+1, KindClosed, 1), "why", "\xff"),
		"key not UTF-8":   with(envelope(Schema+1, KindClosed, 1), "\xff", 1),
		"inside a list":   with(envelope(Schema+1, KindClosed, 1), "why", []any{"\xff"}),
		"too deep":        with(envelope(Schema+1, KindClosed, 1), "why", deep),
		"key a number":    append(envelope(Schema+1, KindClosed, 1), 1, 1),
		"bytes after":     append(envelope(Schema+1, KindClosed, 0), 1),
		"huge list":       append(with(envelope(Schema+1, KindClosed, 1), "why", 1), 0xdd, 0xff, 0xff, 0xff, 0xff),
		"huge map":        append(envelope(Schema+1, KindClosed, 1), 0xa1, 'x', 0xdf, 0xff, 0xff, 0xff, 0xff),
		"text of 4 GiB":   append(with(envelope(Schema+1, KindClosed, 1)), 0xa1, 'x', 0xdb, 0xff, 0xff, 0xff, 0xff, 'a', 'b'),
		"key of 2 GiB":    append(envelope(Schema+1, KindClosed, 1), 0xdb, 0x80, 0, 0, 0, 'a', 'b'),
		"bytes of 4 GiB":  append(envelope(Schema+1, KindClosed, 1), 0xa1, 'x', 0xc6, 0xff, 0xff, 0xff, 0xfb),
		"other of 4 GiB":  append(envelope(Schema+1, KindClosed, 1), 0xa1, 'x', 0xc9, 0xff, 0xff, 0xff, 0xfa, 1),
		"a list":          {0x90},
		"nothing":         {},
		"schema 0":        envelope(0, KindClosed, 0),
		"kind missing":    envelope(Schema+1, "", 0),
		"too large":       with(envelope(Schema+1, KindClosed, 1), "why", strings.Repeat("x", MaxBytes)),
	} {
		if r, err := Decode(b); !errors.Is(err, ErrMalformed) || r.Raw != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestOwnSchemaTakesNothingUnknown(t *testing.T) {
	for name, b := range map[string][]byte{
		"unknown field":      with(envelope(1, KindClosed, 1), "why", 1),
		"unknown kind":       envelope(1, "transfusion", 0),
		"no body":            envelope(1, KindDose, 0),
		"misspelt":           with(envelope(1, KindFinding, 1), "finding", map[string]any{"nane": "perineal_skin", "value": "torn"}),
		"body of other kind": with(envelope(1, KindClosed, 1), "rectal", map[string]any{"value": "done"}),
		"nil body":           with(envelope(1, KindClosed, 1), "rectal", nil),
	} {
		if _, err := Decode(b); !errors.Is(err, ErrMalformed) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// spoiltEvents are events of the first schema that are no record, each by what
// is wrong with it.
func spoiltEvents() map[string]func(*Event) {
	return map[string]func(*Event){
		"another schema":        func(e *Event) { e.Schema = 2 },
		"a later schema":        func(e *Event) { e.Schema = Schema + 1 },
		"a schema too early":    func(e *Event) { e.Kind, e.Layer = KindLayer, &Layer{Layer: "perineal_skin"} },
		"device in capitals":    func(e *Event) { e.Device = "K7QMZ3WD" },
		"no count":              func(e *Event) { e.Seq = 0 },
		"Lamport 0":             func(e *Event) { e.Lamport = 0 },
		"Lamport beyond all":    func(e *Event) { e.Lamport = 1 << 60 },
		"birth":                 func(e *Event) { e.Birth = "12" },
		"run not UTF-8":         func(e *Event) { e.Run = "\xff" },
		"kind unknown":          func(e *Event) { e.Kind = "transfusion" },
		"two bodies":            func(e *Event) { e.Rectal = &Rectal{"done"} },
		"structure unknown":     func(e *Event) { e.Kind, e.Finding = KindFinding, &Finding{"skin", "torn"} },
		"word unknown":          func(e *Event) { e.Kind, e.Finding = KindFinding, &Finding{"perineal_skin", "under_half"} },
		"external word unknown": func(e *Event) { e.Kind, e.Finding = KindFinding, &Finding{"external_sphincter", "torn"} },
		"rectal word":           func(e *Event) { e.Kind, e.Rectal = KindRectal, &Rectal{"yes"} },
		"no weight":             func(e *Event) { e.Kind, e.Weight = KindWeight, &Weight{} },
		"weighed and not":       func(e *Event) { e.Kind, e.Weight = KindWeight, &Weight{Grams: 1, NotWeighed: true} },
		"prior word":            func(e *Event) { e.Kind, e.Prior = KindPrior, &Prior{"none"} },
		"prior empty":           func(e *Event) { e.Kind, e.Prior = KindPrior, &Prior{} },
		"hour of unknown birth": func(e *Event) { e.Kind, e.Opened = KindOpened, &Opened{BornAt: 1} },
		"bed too long":          func(e *Event) { e.Kind, e.Opened = KindOpened, &Opened{Bed: strings.Repeat("a", 65)} },
		"limit below nought":    func(e *Event) { e.Kind, e.LimitNoted = KindLimitNoted, &LimitNoted{Agent: "a", Micrograms: -1} },
		"reason not UTF-8":      func(e *Event) { e.Kind, e.GradeNoted = KindGradeNoted, &GradeNoted{Because: []string{"\xff"}} },
	}
}

// spoiltDoses are doses and corrections that nobody may write down.
func spoiltDoses() map[string]func(*Event) {
	good := Dose{Agent: "lidocaine", Micrograms: 1}
	dose := func(change func(*Dose)) func(*Event) {
		d := good
		change(&d)
		return func(e *Event) { e.Kind, e.Dose = KindDose, &d }
	}
	return map[string]func(*Event){
		"dose of nought":       dose(func(d *Dose) { d.Micrograms = 0 }),
		"dose below nought":    dose(func(d *Dose) { d.Micrograms = -1 }),
		"dose beyond all":      dose(func(d *Dose) { d.Micrograms = 1 << 62 }),
		"dose of what":         dose(func(d *Dose) { d.Agent = "" }),
		"site on two lines":    dose(func(d *Dose) { d.Site = "a\nb" }),
		"site too long":        dose(func(d *Dose) { d.Site = strings.Repeat("a", 201) }),
		"corrected to nothing": func(e *Event) { e.Kind, e.DoseCorrected = KindDoseCorrected, &DoseCorrected{Of: "a/1"} },
		"void and a dose": func(e *Event) {
			e.Kind, e.DoseCorrected = KindDoseCorrected, &DoseCorrected{Of: "a/1", Void: true, Dose: &good}
		},
		"correction of what": func(e *Event) { e.Kind, e.DoseCorrected = KindDoseCorrected, &DoseCorrected{Void: true} },
	}
}

// spoiltSteps are answers, counts, layers and visits of the way.
func spoiltSteps() map[string]func(*Event) {
	answer := func(a Answer) func(*Event) {
		return func(e *Event) { e.Schema, e.Kind, e.Answer = 2, KindAnswer, &a }
	}
	count := func(c Count) func(*Event) {
		return func(e *Event) { e.Schema, e.Kind, e.Count = 2, KindCount, &c }
	}
	visit := func(v Visit) func(*Event) {
		return func(e *Event) { e.Schema, e.Kind, e.Visit = 2, KindVisit, &v }
	}
	return map[string]func(*Event){
		"answer of two kinds": answer(Answer{Question: "pulse", Kind: AnswerNumber, Number: 80, Value: "yes"}),
		"answer of no kind":   answer(Answer{Question: "pulse", Number: 80}),
		"answer to nothing":   answer(Answer{Kind: AnswerChoice, Value: "yes"}),
		"word of no letters":  answer(Answer{Question: "light", Kind: AnswerChoice, Value: "Yes!"}),
		"number below nought": answer(Answer{Question: "pulse", Kind: AnswerNumber, Number: -1}),
		"no time":             answer(Answer{Question: "tampon_at", Kind: AnswerTime}),
		"text of nothing":     answer(Answer{Question: "tampon_receiver", Kind: AnswerText}),
		"text too long":       answer(Answer{Question: "tampon_receiver", Kind: AnswerText, Text: strings.Repeat("a", 241)}),
		"taken back and said": answer(Answer{Question: "light", Kind: AnswerTakenBack, Value: "yes"}),
		"count in no phase":   count(Count{"between", []CountItem{{"swab", 1}}}),
		"count of nothing":    count(Count{CountIn, nil}),
		"count of one twice":  count(Count{CountIn, []CountItem{{"swab", 1}, {"swab", 2}}}),
		"count below nought":  count(Count{CountIn, []CountItem{{"swab", -1}}}),
		"count beyond all":    count(Count{CountIn, []CountItem{{"swab", 1000}}}),
		"layer of what":       func(e *Event) { e.Schema, e.Kind, e.Layer = 2, KindLayer, &Layer{} },
		"visit on no day":     visit(Visit{Key: "day_3", Date: "2026-02-30"}),
		"visit at an hour":    visit(Visit{Key: "day_3", Date: "2026-02-20T10:00:00Z"}),
		"visit for what":      visit(Visit{Date: "2026-02-20"}),
	}
}

func TestWhatCannotBeRecorded(t *testing.T) {
	for _, spoilt := range []map[string]func(*Event){spoiltEvents(), spoiltDoses(), spoiltSteps()} {
		for name, change := range spoilt {
			e := (&Writer{Device: deviceA}).Next(BirthID(deviceA, 1), KindClosed, clock)
			change(&e)
			if r, err := e.Record(); !errors.Is(err, ErrMalformed) || r.Raw != nil {
				t.Errorf("%s: %v", name, err)
			}
			if raw, _ := e.MarshalMsg(nil); e.Schema <= Schema {
				if _, err := Decode(raw); err == nil {
					t.Errorf("%s: refused in writing, but read", name)
				}
			}
		}
	}
}
