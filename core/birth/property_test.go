package birth

import (
	"bytes"
	"reflect"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// anyRecords draws events of three devices over a few births; times clash,
// corrections point at doses that may not exist, and newer events are among
// them.
func anyRecords(t *rapid.T) []Record {
	devices := []string{deviceA, deviceB, "zzzzzzz2"}
	var list []Record
	for n := range rapid.IntRange(0, 25).Draw(t, "events") {
		e := Event{
			Schema: Schema, Device: rapid.SampledFrom(devices).Draw(t, "device"), Seq: uint64(n + 1),
			Lamport: rapid.Uint64Range(1, 8).Draw(t, "lamport"),
			Wall:    rapid.Int64().Draw(t, "wall"), Running: rapid.Int64().Draw(t, "running"),
			Birth: BirthID(rapid.SampledFrom(devices).Draw(t, "of"), rapid.Uint64Range(1, 2).Draw(t, "birth")),
		}
		drawBody(t, &e, devices)
		e.Schema = schemaOf(e.Kind)
		list = append(list, record(t, e))
	}
	return list
}

func record(t *rapid.T, e Event) Record {
	if rapid.IntRange(0, 9).Draw(t, "newer") == 0 {
		e.Schema, e.Kind = Schema+1, "not_yet_known"
		raw, err := e.MarshalMsg(nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Decode(raw)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	r, err := e.Record()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func drawBody(t *rapid.T, e *Event, devices []string) {
	amount := rapid.Int64Range(1, 100_000)
	switch rapid.IntRange(0, 27).Draw(t, "kind") % 15 {
	case 0:
		e.Kind, e.Opened = KindOpened, &Opened{Bed: rapid.SampledFrom([]string{"", "1", "२"}).Draw(t, "bed")}
	case 1:
		name := rapid.SampledFrom([]string{"perineal_skin", "internal_sphincter"}).Draw(t, "name")
		e.Kind, e.Finding = KindFinding, &Finding{name, rapid.SampledFrom([]string{"", "intact", "torn", "unsure"}).Draw(t, "value")}
	case 2:
		e.Kind, e.Prior = KindPrior, &Prior{rapid.SampledFrom([]string{PriorNothing, PriorListed, PriorNobodyKnows}).Draw(t, "told")}
	case 3, 4:
		e.Kind, e.Dose = KindDose, &Dose{Agent: "lidocaine", Micrograms: amount.Draw(t, "micrograms")}
	case 5, 6:
		of := rapid.SampledFrom(devices).Draw(t, "of device") + "/" + strconv.Itoa(rapid.IntRange(1, 25).Draw(t, "of count"))
		e.Kind, e.DoseCorrected = KindDoseCorrected, &DoseCorrected{Of: of, Void: rapid.Bool().Draw(t, "void")}
		if !e.DoseCorrected.Void {
			e.DoseCorrected.Dose = &Dose{Agent: "bupivacaine", Micrograms: amount.Draw(t, "micrograms")}
		}
	case 7:
		e.Kind = rapid.SampledFrom([]string{KindClosed, KindReopened, KindSecondLook}).Draw(t, "bare kind")
	case 8:
		e.Kind, e.GradeNoted = KindGradeNoted, &GradeNoted{Grade: "2"}
	case 9, 10:
		e.Kind, e.Answer = KindAnswer, &Answer{Question: rapid.SampledFrom([]string{"light", "tampon"}).Draw(t, "question"), Kind: AnswerTakenBack}
		if rapid.Bool().Draw(t, "said") {
			e.Answer.Kind, e.Answer.Value = AnswerChoice, rapid.SampledFrom([]string{"yes", "no"}).Draw(t, "said")
		}
	case 11:
		items := []CountItem{{"swab", rapid.IntRange(0, 9).Draw(t, "swabs")}}
		e.Kind, e.Count = KindCount, &Count{rapid.SampledFrom([]string{CountIn, CountAdded, CountOut}).Draw(t, "phase"), items}
	case 12:
		e.Kind, e.Layer = KindLayer, &Layer{"perineal_skin", rapid.Bool().Draw(t, "done")}
	case 13:
		e.Kind, e.Despite = KindDespite, &Despite{Deed: DeedClosed, Open: []string{"count_open"}}
	case 14:
		if e.Kind = rapid.SampledFrom([]string{KindMoved, KindDoubted}).Draw(t, "mark"); rapid.Bool().Draw(t, "deleted") {
			e.Kind, e.Deleted = KindDeleted, &Deleted{"kept_long_enough"}
		}
	}
}

func TestAnyOrderAnyNumberOfTimesSameState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := anyRecords(t)
		want := Replay(list)
		twice := append(list[:len(list):len(list)], list[:rapid.IntRange(0, len(list)).Draw(t, "again")]...)
		mixed := twice
		if len(twice) > 0 {
			mixed = rapid.Permutation(twice).Draw(t, "order")
		}
		if got := Replay(mixed); !reflect.DeepEqual(got, want) {
			t.Fatalf("replayed in another order\n got %+v\nwant %+v", got, want)
		}
		var step State
		for _, r := range mixed {
			step.Add(r)
		}
		if !reflect.DeepEqual(step, want) {
			t.Fatalf("added one by one\n got %+v\nwant %+v", step, want)
		}
	})
}

// Merging must not depend on which phone goes first, and what was counted as
// given must not shrink when a phone that only recorded doses is merged in.
func TestMoreRecordsNeverHideADose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := anyRecords(t)
		cut := rapid.IntRange(0, len(list)).Draw(t, "cut")
		var doses []Record
		for _, r := range list[cut:] {
			if r.Event.Kind == KindDose {
				doses = append(doses, r)
			}
		}
		before := Replay(list[:cut])
		after := Replay(append(list[:cut:cut], doses...))
		for _, b := range before.Births {
			now, _ := after.Find(b.ID)
			if total(now) < total(b) {
				t.Fatalf("%s: %d micrograms before, %d after", b.ID, total(b), total(now))
			}
		}
	})
}

func total(b Birth) (sum int64) {
	for _, d := range b.Doses {
		if !d.Void {
			sum += d.Micrograms
		}
	}
	return sum
}

func TestAddLeavesEarlierCopiesAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := anyRecords(t)
		var s State
		var snapshots []State
		for _, r := range list {
			snapshots = append(snapshots, s)
			s.Add(r)
		}
		for n, snapshot := range snapshots {
			if want := Replay(list[:n]); !reflect.DeepEqual(snapshot, want) {
				t.Fatalf("the state after %d records changed later", n)
			}
		}
	})
}

func TestEveryRecordIsKeptAsItCame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := anyRecords(t)
		state := Replay(list)
		kept := 0
		for _, r := range list {
			if state.IsDeleted(r.Event.Birth) || r.Event.Kind == KindMoved {
				kept++
			}
		}
		for _, b := range state.Births {
			for _, r := range b.Log {
				kept++
				again, err := Decode(r.Raw)
				if err != nil || !bytes.Equal(again.Raw, r.Raw) || !reflect.DeepEqual(again.Event, r.Event) {
					t.Fatalf("%+v became %+v, %v", r, again, err)
				}
			}
		}
		if kept != len(list) {
			t.Fatalf("%d kept of %d", kept, len(list))
		}
	})
}
