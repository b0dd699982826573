package archive_test

import (
	"errors"
	"reflect"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// unsealed is what made makes, for the time before there was a key.
func unsealed(t testing.TB) (*journaltest.Disk, map[int]int) {
	t.Helper()
	d := journaltest.New()
	a, _, err := archive.OpenSmall(d, journal.Plain{}, fullVolume, fullPage)
	must(t, err)
	live := []archive.Item{item(90, 0), item(91, 0)}
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 2, Sequence: 100}, Live: live, Move: several(1, 60)}))
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 3, Sequence: 200}, Note: []byte("note"), Live: live, Move: several(61, 65)}))
	want := map[int]int{}
	for n := 1; n <= 65; n++ {
		want[n] = 0
	}
	return d, want
}

// takenOver opens the archive of one disk and takes it over on another.
func takenOver(t testing.TB, open, sealed *journaltest.Disk) error {
	t.Helper()
	from, _, err := archive.OpenSmall(open, journal.Plain{}, fullVolume, fullPage)
	must(t, err)
	a, _ := opened(t, sealed)
	return a.TakeOver(from)
}

func TestTakingOverKeepsEverything(t *testing.T) {
	open, want := unsealed(t)
	before := open.Copy()
	sealed := journaltest.New()
	must(t, takenOver(t, open, sealed))
	for range 2 {
		a, r := opened(t, sealed)
		holds(t, "taken over", a, want)
		if live := a.Live(); !reflect.DeepEqual(live, []archive.Item{item(90, 0), item(91, 0)}) || string(a.Note()) != "note" || a.Start() != (journal.Start{Segment: 3, Sequence: 200}) || len(r.Spoilt) > 0 {
			t.Errorf("%+v, %q, %+v", live, a.Note(), a.Start())
		}
	}
	for _, name := range namesOf(before, "") {
		if string(before.Bytes(name)) != string(open.Bytes(name)) {
			t.Errorf("%s of the other was changed", name)
		}
	}
	if err := takenOver(t, open, sealed); !errors.Is(err, archive.ErrTaken) {
		t.Errorf("a second time: %v", err)
	}
}

// Cut anywhere, the archive is empty, and can be taken over again, or whole.
func TestTakingOverIsCut(t *testing.T) {
	open, want := unsealed(t)
	probe := journaltest.New()
	must(t, takenOver(t, open, probe))
	tried := 0
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Open} {
		for at := 1; at <= probe.Count(op); at++ {
			for through := 0; through < 600; through += 23 {
				d := journaltest.New()
				d.Fault = &journaltest.Fault{Op: op, At: at, Through: through, Forever: op != journaltest.Open}
				from, _, err := archive.OpenSmall(open.Copy(), journal.Plain{}, fullVolume, fullPage)
				must(t, err)
				if a, _, err := archive.OpenSmall(d, bound{}, fullVolume, fullPage); err == nil {
					_ = a.TakeOver(from)
				}
				for _, after := range []*journaltest.Disk{d.Copy().Kill(), d.Copy().Lose()} {
					if a, _ := opened(t, after); a.Start().Sequence == 0 {
						must(t, takenOver(t, open.Copy(), after))
					}
					a, _ := opened(t, after)
					holds(t, "cut", a, want)
					tried++
				}
				if op != journaltest.Write {
					break
				}
			}
		}
	}
	t.Logf("%d cuts tried", tried)
}

// What cannot be read of the other archive is in doubt in this one.
func TestTakingOverWhatIsDamaged(t *testing.T) {
	whole, want := unsealed(t)
	tried := 0
	for _, name := range namesOf(whole, "archive-") {
		for at := 3; at < len(whole.Bytes(name)); at += 11 {
			open := whole.Copy()
			b := open.Bytes(name)
			b[at] ^= 0x10
			open.Put(name, b)
			from, _, err := archive.OpenSmall(open, journal.Plain{}, fullVolume, fullPage)
			must(t, err)
			lost := honest(t, name, from, want)
			sealed := journaltest.New()
			must(t, takenOver(t, open, sealed))
			a, _ := opened(t, sealed)
			if again := honest(t, name+" taken over", a, want); again != lost {
				t.Fatalf("%s byte %d: %d items lost, taken over %d", name, at, lost, again)
			}
			tried++
		}
	}
	t.Logf("%d alterations tried", tried)
}
