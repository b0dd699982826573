package journal_test

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// crash is a way in which the machine or the program stops.
type crash struct {
	name string
	stop func(*journaltest.Disk) *journaltest.Disk
}

func crashes(r *rand.Rand) []crash {
	return []crash{
		{"program killed", (*journaltest.Disk).Kill},
		{"power cut, nothing unsynced arrived", (*journaltest.Disk).Lose},
		{"power cut, sectors of 16 in any order", func(d *journaltest.Disk) *journaltest.Disk { return d.Shuffle(r, 16) }},
		{"power cut, sectors of 512 in any order", func(d *journaltest.Disk) *journaltest.Disk { return d.Shuffle(r, 512) }},
	}
}

// shows checks what a reopened journal shows: all that was acknowledged, in
// order, and at most the one entry, whole, whose Append had not returned nil.
func shows(t testing.TB, what string, got, acknowledged [][]byte, pending []byte) {
	t.Helper()
	if same(got, acknowledged) {
		return
	}
	if pending != nil && same(got, append(acknowledged[:len(acknowledged):len(acknowledged)], pending)) {
		return
	}
	t.Fatalf("%s: shows %q, acknowledged were %q, pending was %q", what, got, acknowledged, pending)
}

// stays checks that what a freshly opened journal shows is on the disk: power
// lost right after opening takes none of it.
func stays(t testing.TB, what string, d *journaltest.Disk) {
	t.Helper()
	_, r, shown := opened(t, d)
	if r.Unconfirmed != nil {
		return
	}
	_, after, again := opened(t, d.Copy().Lose())
	if !same(again, shown) || len(after.Damaged) > len(r.Damaged) {
		t.Fatalf("%s: showed %q, after a power cut %q, %+v", what, shown, again, after)
	}
}

// until appends entries until one fails, and says which was pending then.
func until(j *journal.Journal, n int) (acknowledged [][]byte, pending []byte) {
	for i := 1; i <= n; i++ {
		if j.Append(entry(i)) != nil {
			return acknowledged, entry(i)
		}
		acknowledged = append(acknowledged, entry(i))
	}
	return acknowledged, nil
}

// faults lists every way in which one operation of a history can fail: each
// write after each number of bytes, each sync, kept or forgotten, once or for
// ever.
func faults(t testing.TB) []journaltest.Fault {
	probe := written(t, history)
	var list []journaltest.Fault
	for _, forever := range []bool{false, true} {
		for at := 1; at <= probe.Count(journaltest.Write); at++ {
			longest := journal.HeaderLen + journal.FrameExtra + len(entry(at))
			for through := 0; through <= longest; through++ {
				list = append(list, journaltest.Fault{Op: journaltest.Write, At: at, Through: through, Forever: forever})
			}
		}
		for at := 1; at <= probe.Count(journaltest.Sync); at++ {
			for _, forget := range []bool{false, true} {
				list = append(list, journaltest.Fault{Op: journaltest.Sync, At: at, Forget: forget, Forever: forever})
			}
		}
	}
	for at := 1; at <= probe.Count(journaltest.Open); at++ {
		list = append(list, journaltest.Fault{Op: journaltest.Open, At: at})
	}
	return list
}

func TestEveryOperationFailsAndThenEverythingStops(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	tried := 0
	for _, fault := range faults(t) {
		d := journaltest.New()
		d.Fault = &fault
		j, _, err := journal.OpenSmall(d, journal.Plain{}, small)
		if err != nil {
			t.Fatal(err)
		}
		acknowledged, pending := until(j, history)
		if pending == nil {
			t.Fatalf("%+v did not happen", fault)
		}
		for _, c := range crashes(r) {
			after := c.stop(d.Copy())
			_, report, got := opened(t, after)
			shows(t, c.name, got, acknowledged, pending)
			if report.Missing > 0 && fault.Op != journaltest.Sync {
				t.Fatalf("%+v, %s: nothing acknowledged is missing, and yet %+v", fault, c.name, report)
			}
			stays(t, c.name, after)
			goesOn(t, after)
			tried++
		}
	}
	t.Logf("%d failures with a stop tried", tried)
}

func TestPowerIsCutAtEveryByteOfEveryAppend(t *testing.T) {
	tried := 0
	for n := 1; n <= history; n++ {
		d := journaltest.New()
		d.Fault = &journaltest.Fault{Op: journaltest.Sync, At: n, Forever: true}
		j, _, _ := opened(t, d)
		acknowledged, pending := until(j, history)
		if d.UnsyncedBytes() == 0 {
			t.Fatalf("append %d: nothing unsynced to tear", n)
		}
		for through := 0; through <= d.UnsyncedBytes(); through++ {
			after := d.Copy().Tear(through)
			_, report, got := opened(t, after)
			shows(t, "torn", got, acknowledged, pending)
			if len(report.Damaged) > 0 || report.Missing > 0 {
				t.Fatalf("append %d torn after %d bytes: a cut is no damage: %+v", n, through, report)
			}
			stays(t, "torn", after)
			goesOn(t, after)
			tried++
		}
	}
	t.Logf("%d cut points tried", tried)
}

// TestAnyNumberOfCrashes lets a program start, append and crash again and
// again, with any fault and any loss, and holds it to its promises each time.
func TestAnyNumberOfCrashes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := journaltest.New()
		var acknowledged [][]byte
		var pending []byte
		n := 0
		for range rapid.IntRange(1, 6).Draw(t, "starts") {
			j, r, err := journal.OpenSmall(d, journal.Plain{}, rapid.Int64Range(0, 300).Draw(t, "segment"))
			if err != nil {
				t.Fatal(err)
			}
			got := payloads(t, j)
			if pending != nil && len(got) == len(acknowledged)+1 && bytes.Equal(got[len(got)-1], pending) && r.Unconfirmed == nil {
				acknowledged = append(acknowledged, pending) // shown once, it must stay
			}
			if !same(got, acknowledged) && r.Unconfirmed == nil {
				t.Fatalf("shows %q, acknowledged were %q", got, acknowledged)
			}
			pending = nil
			d.Fault = drawFault(t, d)
			for range rapid.IntRange(0, 5).Draw(t, "appends") {
				n++
				p := bytes.Repeat([]byte{byte(n)}, rapid.IntRange(1, 60).Draw(t, "length"))
				if err := j.Append(p); err != nil {
					pending = p
					break
				}
				acknowledged = append(acknowledged, p)
			}
			d = drawCrash(t, d)
		}
	})
}

func payloads(t *rapid.T, j *journal.Journal) (list [][]byte) {
	if err := j.Each(func(_ uint64, p []byte) error { list = append(list, p); return nil }); err != nil {
		t.Fatal(err)
	}
	return list
}

func drawFault(t *rapid.T, d *journaltest.Disk) *journaltest.Fault {
	op := rapid.SampledFrom([]journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Truncate}).Draw(t, "op")
	return &journaltest.Fault{
		Op: op, At: d.Count(op) + rapid.IntRange(1, 5).Draw(t, "at"), Through: rapid.IntRange(0, 80).Draw(t, "through"),
		Forever: rapid.Bool().Draw(t, "forever"), Forget: rapid.Bool().Draw(t, "forget"),
	}
}

func drawCrash(t *rapid.T, d *journaltest.Disk) *journaltest.Disk {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	all := crashes(r)
	return all[rapid.IntRange(0, len(all)-1).Draw(t, "crash")].stop(d)
}
