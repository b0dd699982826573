package records_test

import (
	"errors"
	"flag"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/journal/journaltest"
)

// history is what a clinic does, until an event cannot be saved: births that
// overlap, four times of tidying, an entry for a birth long in the archive, one
// that is opened again, one that is deleted.
func history(c *clinic) {
	var ids []string
	for range 3 {
		id, ok := c.begin()
		if !ok {
			return
		}
		ids = append(ids, id)
	}
	steps := []func() bool{
		func() bool { return c.say(ids[0], "torn") },
		func() bool { return c.say(ids[1], "intact") && c.close(ids[0]) && c.close(ids[1]) },
		func() bool { c.tidy(); return true },
		func() bool { return c.say(ids[2], "unsure") && c.say(ids[0], "intact") },
		func() bool { id, ok := c.begin(); ids = append(ids, id); return ok && c.close(ids[2]) },
		func() bool { c.tidy(); return true },
		func() bool { return c.write(ids[1], "reopened", nil) && c.say(ids[1], "torn") },
		func() bool { return c.delete(ids[2]) },
		func() bool { c.tidy(); return true },
		func() bool { return c.say(ids[3], "torn") && c.close(ids[1]) },
		func() bool { c.tidy(); return true },
		func() bool { _, ok := c.begin(); return ok },
	}
	for _, step := range steps {
		if !step() {
			return
		}
	}
}

var every = flag.Bool("every", false, "try every byte of every write, which takes minutes")

func fresh() *journaltest.Disk {
	d := journaltest.New()
	d.Returns = true
	return d
}

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

// after checks what a program finds after a crash, that it stays through a
// further power cut, and that the program goes on from there.
func (c clinic) after(t testing.TB, what string, d *journaltest.Disk) {
	t.Helper()
	c.t, c.d = t, d
	c.saved = slices.Clone(c.saved)
	report := c.open()
	// Where sectors arrive in any order, a journal may call its last, never
	// acknowledged write damage, and then no birth begun before it is settled.
	c.doubt = len(report.Journal.Damaged) > 0
	if c.doubt && !strings.Contains(what, "in any order") || report.Journal.Missing > 0 || len(report.Archive.Doubtful)+len(report.Archive.Lost) > 0 {
		t.Fatalf("%s: a cut is no damage: %+v", what, report)
	}
	c.holds(what)
	c.d = d.Copy().Lose()
	c.open()
	c.holds(what + ", power cut after opening")
	if _, ok := c.begin(); !ok {
		t.Fatalf("%s: it does not go on", what)
	}
	must(t, c.tidy())
	c.holds(what + ", tidied after it")
	c.open()
	c.holds(what + ", tidied and opened again")
}

func TestTheHistoryItself(t *testing.T) {
	c := start(t, fresh())
	history(c)
	if c.pending != nil || len(c.saved) != 17 {
		t.Fatalf("%d saved", len(c.saved))
	}
	c.holds("in memory")
	c.open()
	c.holds("opened again")
	if live := c.r.Live(); len(live) != 2 {
		t.Errorf("%d births are live", len(live))
	}
}

// faults lists the ways in which one operation of the history can fail: each
// write after each number of bytes (every so many, unless -every is given), each
// sync, kept or forgotten, each opening and each removal; once or for ever.
func faults(t testing.TB) (list []journaltest.Fault) {
	probe := fresh()
	history(start(t, probe))
	for _, forever := range []bool{false, true} {
		for at := 1; at <= probe.Count(journaltest.Write); at++ {
			for through := 0; through <= 1500; through++ {
				if step := map[bool]int{false: 29, true: 97}[forever]; through > 4 && through%step > 0 && !*every {
					continue
				}
				list = append(list, journaltest.Fault{Op: journaltest.Write, At: at, Through: through, Forever: forever})
			}
		}
		for at := 1; at <= probe.Count(journaltest.Sync); at++ {
			for _, forget := range []bool{false, true} {
				list = append(list, journaltest.Fault{Op: journaltest.Sync, At: at, Forget: forget, Forever: forever})
			}
		}
		for _, op := range []journaltest.Op{journaltest.Open, journaltest.Remove, journaltest.Read} {
			for at := 1; at <= probe.Count(op); at++ {
				list = append(list, journaltest.Fault{Op: op, At: at, Forever: forever && op == journaltest.Remove})
			}
		}
	}
	return list
}

func TestEveryOperationFailsAndThenEverythingStops(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	tried, longest := 0, 0
	for _, fault := range faults(t) {
		if fault.Op == journaltest.Write && fault.Through > 0 {
			// Beyond the end of the write it is a whole write that was said to fail:
			// try that once.
			if fault.Through > probeWrite(t, fault.At)+96 {
				continue
			}
			longest = max(longest, fault.Through)
		}
		d := fresh()
		c := start(t, d)
		d.Fault = &fault
		history(c)
		for _, crash := range crashes(r) {
			c.after(t, crash.name, crash.stop(d.Copy()))
			tried++
		}
	}
	t.Logf("%d failures with a stop tried, writes of up to %d bytes", tried, longest)
}

var lengths []int

// probeWrite is how many bytes the n-th write of the history has.
func probeWrite(t testing.TB, n int) int {
	if lengths == nil {
		for at := 1; ; at++ {
			d := fresh()
			c := start(t, d)
			d.Fault = &journaltest.Fault{Op: journaltest.Write, At: at, Through: 1 << 20, Forever: true}
			history(c)
			if d.Count(journaltest.Write) < at {
				break
			}
			lengths = append(lengths, lastWrite(d))
		}
	}
	return lengths[n-1]
}

// lastWrite is the length of the write that failed, which is the only one that
// no sync kept.
func lastWrite(d *journaltest.Disk) int { return d.UnsyncedBytes() }

func TestPowerIsCutAtEveryByteOfEveryStep(t *testing.T) {
	probe := fresh()
	history(start(t, probe))
	tried := 0
	for n := 1; n <= probe.Count(journaltest.Sync); n++ {
		d := fresh()
		c := start(t, d)
		d.Fault = &journaltest.Fault{Op: journaltest.Sync, At: n, Forever: true}
		history(c)
		if d.UnsyncedBytes() == 0 {
			t.Fatalf("sync %d: nothing unsynced to tear", n)
		}
		for through := 0; through <= d.UnsyncedBytes(); through++ {
			if through > 40 && through%5 > 0 && !*every {
				continue
			}
			c.after(t, "torn", d.Copy().Tear(through))
			tried++
		}
	}
	t.Logf("%d cut points tried", tried)
}

// Killed before each operation, with what was done so far in memory only.
func TestKilledAtEveryRemoval(t *testing.T) {
	probe := fresh()
	history(start(t, probe))
	r := rand.New(rand.NewPCG(7, 8))
	tried := 0
	for n := 1; n <= probe.Count(journaltest.Remove); n++ {
		d := fresh()
		c := start(t, d)
		d.Fault = &journaltest.Fault{Op: journaltest.Remove, At: n, Forever: true}
		history(c)
		for range 10 {
			for _, crash := range crashes(r) {
				c.after(t, crash.name, crash.stop(d.Copy()))
				tried++
			}
		}
	}
	t.Logf("%d stops among removals tried", tried)
}

// The disk is full after any number of bytes: what was saved stays, and with
// room again everything goes on.
func TestTheDiskRunsFull(t *testing.T) {
	probe := fresh()
	history(start(t, probe))
	size := int64(0)
	names, _ := probe.Names()
	for _, name := range names {
		size += int64(len(probe.Bytes(name)))
	}
	tried := 0
	for capacity := int64(1); capacity < 3*size; capacity += 11 {
		d := fresh()
		c := start(t, d)
		d.Capacity = capacity
		history(c)
		c.after(t, "full", d.Copy().Lose())
		c.after(t, "full", d.Copy().Kill())
		tried += 2
	}
	t.Logf("%d capacities tried", tried)
}

// A commit that could not remove old files stands, and says so.
func TestOldFilesThatStay(t *testing.T) {
	d := fresh()
	c := start(t, d)
	id, _ := c.begin()
	c.close(id)
	d.Fault = &journaltest.Fault{Op: journaltest.Remove, At: 1, Forever: true}
	if err := c.tidy(); !isLeft(err) || len(c.r.Live()) > 0 {
		t.Errorf("%v, %d live", err, len(c.r.Live()))
	}
	d.Fault = nil
	c.d = d.Copy()
	c.open()
	c.holds("old files are there")
	must(t, c.tidy())
	c.holds("they went")
	names, _ := c.d.Names()
	if len(names) != 3 {
		t.Errorf("%q", names)
	}
}

func isLeft(err error) bool { return err != nil && errors.Is(err, archive.ErrLeft) }
