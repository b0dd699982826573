package vault_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

// A crash is a way in which the machine or the program stops.
type crash struct {
	name string
	stop func(*journaltest.Disk) *journaltest.Disk
}

const nothingArrived = "power cut, nothing unsynced arrived"

func crashes(r *rand.Rand) []crash {
	return []crash{
		{"program killed", (*journaltest.Disk).Kill},
		{nothingArrived, (*journaltest.Disk).Lose},
		{"power cut, sectors of 16 in any order", func(d *journaltest.Disk) *journaltest.Disk { return d.Shuffle(r, 16) }},
		{"power cut, sectors of 512 in any order", func(d *journaltest.Disk) *journaltest.Disk { return d.Shuffle(r, 512) }},
	}
}

// A change is something that writes key files. What it does is to a disk that
// begin made, with the vault opened and unlocked.
type change struct {
	name  string
	begin func(t testing.TB) *journaltest.Disk
	do    func(d *journaltest.Disk) error
	// before and after check what opens; one of them must pass, after when do
	// returned nil.
	before, after func(t testing.TB, d *journaltest.Disk) error
}

// opensWith wants a vault that this key opens, and that reads an old entry.
func opensWith(n byte) func(testing.TB, *journaltest.Disk) error {
	return func(_ testing.TB, d *journaltest.Disk) error {
		v, _, err := vault.Open(d, seeded(2), 0)
		if err != nil {
			return err
		}
		if err := v.Opens(kek(n)); err != nil {
			return err
		}
		return readsEntry(v, d)
	}
}

// opensWithCode wants a vault that this code opens.
func opensWithCode(seed byte) func(testing.TB, *journaltest.Disk) error {
	return func(t testing.TB, d *journaltest.Disk) error {
		v, _, err := vault.Open(d, seeded(2), 0)
		if err != nil {
			return err
		}
		if err := v.UnlockCode(newCode(t, seed)); err != nil {
			return err
		}
		return readsEntry(v, d)
	}
}

func readsEntry(v *vault.Vault, d *journaltest.Disk) error {
	b := d.Bytes("entry")
	if b == nil {
		return nil // a vault that had no entries
	}
	got, err := v.Sealer(vault.Journal).Open("entry", 1, b)
	if err == nil && string(got) != "an old entry" {
		err = fmt.Errorf("the entry reads %q", got)
	}
	return err
}

// noKey wants no vault, and that one can be made.
func noKey(t testing.TB, d *journaltest.Disk) error {
	_, _, err := vault.Open(d, seeded(2), 0)
	if !errors.Is(err, vault.ErrNone) {
		return fmt.Errorf("want none: %w", err)
	}
	_, err = vault.Create(d, seeded(2), 0, cheap(t), kek(7))
	return err
}

// withEntry is a disk with a vault that kek(1) and the first code open, and an
// entry.
func withEntry(t testing.TB) *journaltest.Disk {
	d, v := made(t)
	must(t, v.SetCode(newCode(t, 1)))
	b, err := v.Sealer(vault.Journal).Seal("entry", 1, []byte("an old entry"))
	must(t, err)
	d.Put("entry", b)
	return d.Copy() // with its operations not counted yet
}

// changing makes a change through a vault opened anew.
func changing(do func(v *vault.Vault) error) func(*journaltest.Disk) error {
	return func(d *journaltest.Disk) error {
		v, _, err := vault.Open(d, seeded(4), 0)
		if err != nil {
			return err
		}
		if _, err := v.Try(0); err != nil {
			return err
		}
		if err := v.Unlock(kek(1), 0); err != nil {
			return err
		}
		return do(v)
	}
}

func changes(t testing.TB) []change {
	recipe := cheap(t)
	empty := func(testing.TB) *journaltest.Disk { return journaltest.New() }
	alone := func(t testing.TB) *journaltest.Disk {
		d := withEntry(t)
		must(t, d.Remove(newest(d)))
		return d
	}
	return []change{
		{"create", empty, func(d *journaltest.Disk) error {
			_, err := vault.Create(d, seeded(1), 0, recipe, kek(1))
			return err
		}, noKey, opensWith(1)},
		{"PIN", withEntry, changing(func(v *vault.Vault) error { return v.SetPIN(recipe, kek(5)) }), opensWith(1), opensWith(5)},
		{"code", withEntry, changing(func(v *vault.Vault) error { return v.SetCode(newCode(t, 2)) }), opensWithCode(1), opensWithCode(2)},
		{"a copy alone", alone, changing(func(v *vault.Vault) error {
			_, err := v.Sealer(vault.Journal).Seal("entry", 2, []byte("refused unless the key is stored twice"))
			return err
		}), opensWith(1), opensWith(1)},
		{"PIN over a copy alone", alone, changing(func(v *vault.Vault) error { return v.SetPIN(recipe, kek(5)) }), opensWith(1), opensWith(5)},
		{"settle", withEntry, changing((*vault.Vault).Settle), opensWith(1), opensWith(1)},
	}
}

// faults lists every way in which one operation of a change can fail: each
// write after each number of bytes, each sync, kept or forgotten, once or for
// ever, each opening, each reading.
func faults(t testing.TB, c change) (list []journaltest.Fault) {
	probe := c.begin(t)
	must(t, c.do(probe))
	longest := 0
	all, _ := probe.Names()
	for _, name := range all {
		longest = max(longest, len(probe.Bytes(name)))
	}
	for _, forever := range []bool{false, true} {
		for at := 1; at <= probe.Count(journaltest.Write); at++ {
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
	for _, op := range []journaltest.Op{journaltest.Open, journaltest.Read} {
		for at := 1; at <= probe.Count(op); at++ {
			list = append(list, journaltest.Fault{Op: op, At: at})
		}
	}
	return list
}

// holds checks what opens after a stop: the state before or the one after,
// never neither and never both; after, when the change was acknowledged. What
// opened once stays, with the power lost right then.
func holds(t testing.TB, what string, c change, d *journaltest.Disk, acknowledged bool) {
	t.Helper()
	before, after := c.before(t, d.Copy()), c.after(t, d.Copy())
	if after != nil && (before != nil || acknowledged) {
		t.Fatalf("%s, %s, acknowledged %v: neither opens: %v; %v", c.name, what, acknowledged, before, after)
	}
	if exclusive := c.name != "a copy alone" && c.name != "settle"; exclusive && before == nil && after == nil {
		t.Fatalf("%s, %s: both open", c.name, what)
	}
	if _, r, err := vault.Open(d, seeded(2), 0); err != nil || r.Unsettled != nil {
		if err != nil && after == nil {
			t.Fatalf("%s, %s: %v", c.name, what, err)
		}
		return
	}
	lost := d.Lose()
	if b, a := c.before(t, lost.Copy()), c.after(t, lost.Copy()); (b == nil) != (before == nil) || (a == nil) != (after == nil) {
		t.Fatalf("%s, %s: opened before %v, after %v, and with the power lost %v, %v", c.name, what, before, after, b, a)
	}
}

func TestEveryOperationFailsAndThenEverythingStops(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	tried, acknowledged := 0, 0
	for _, c := range changes(t) {
		for _, fault := range faults(t, c) {
			d := c.begin(t)
			d.Fault = &fault
			err := c.do(d)
			if err == nil {
				acknowledged++
				standsTwice(t, fmt.Sprintf("%s, %+v", c.name, fault), c, d)
			}
			for _, crash := range crashes(r) {
				if crash.name == nothingArrived && fault.Through > 0 {
					continue // the same as for 0
				}
				holds(t, fmt.Sprintf("%+v, %s", fault, crash.name), c, crash.stop(d.Copy()), err == nil)
				tried++
			}
		}
	}
	t.Logf("%d failures with a stop tried, in %d of them the change was made all the same", tried, acknowledged)
}

// standsTwice wants what was acknowledged on the disk in two files: any one of
// them may be lost.
func standsTwice(t testing.TB, what string, c change, d *journaltest.Disk) {
	t.Helper()
	lost := d.Copy().Lose()
	for _, name := range names(lost) {
		one := lost.Copy()
		one.Put(name, nil)
		if err := c.after(t, one); err != nil {
			t.Fatalf("%s: acknowledged, and without %s: %v", what, name, err)
		}
	}
}

func TestPowerIsCutAtEveryByteOfEveryChange(t *testing.T) {
	tried := 0
	for _, c := range changes(t) {
		probe := c.begin(t)
		must(t, c.do(probe))
		for n := 1; n <= probe.Count(journaltest.Sync); n++ {
			d := c.begin(t)
			d.Fault = &journaltest.Fault{Op: journaltest.Sync, At: n, Forever: true}
			err := c.do(d)
			for through := 0; through <= d.UnsyncedBytes(); through++ {
				holds(t, fmt.Sprintf("sync %d, torn after %d bytes", n, through), c, d.Copy().Tear(through), err == nil)
				tried++
			}
		}
	}
	t.Logf("%d cut points tried", tried)
}

// A failed change may be tried again at once, in the same program: the last one
// that was acknowledged counts.
func TestAChangeAfterOneThatFailed(t *testing.T) {
	for _, fault := range faults(t, changes(t)[1]) {
		if fault.Forever {
			continue
		}
		d := withEntry(t)
		d.Fault = &fault
		v, r, err := vault.Open(d, seeded(4), 0)
		if err != nil || r.Unsettled != nil {
			continue
		}
		must(t, unlock(t, v, kek(1)))
		_ = v.SetPIN(cheap(t), kek(5))
		must(t, v.SetPIN(cheap(t), kek(6)))
		d = d.Lose()
		must(t, opensWith(6)(t, d.Copy()))
		for _, n := range []byte{1, 5} {
			if err := opensWith(n)(t, d.Copy()); err != vault.ErrWrong {
				t.Fatalf("%+v: key %d: %v", fault, n, err)
			}
		}
	}
}

// The whole of it: a program starts, makes a key, changes it, writes entries
// and crashes, again and again, with any fault and any loss. Every entry that
// was acknowledged is read with the PIN that was acknowledged last, or with one
// whose change was under way.
func TestAnyNumberOfCrashes(t *testing.T) {
	recipe := cheap(t)
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t, d: journaltest.New(), recipe: recipe}
		for range rapid.IntRange(2, 7).Draw(t, "starts") {
			w.d.Fault = drawFault(t, w.d)
			w.run()
			all := crashes(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)))
			w.d = all[rapid.IntRange(0, len(all)-1).Draw(t, "crash")].stop(w.d)
			w.check()
		}
	})
}

// world is what the test knows of a disk.
type world struct {
	t       *rapid.T
	d       *journaltest.Disk
	recipe  []byte
	made    bool     // a Create was acknowledged
	keys    []byte   // one of these opens; several while a change was not acknowledged
	next    byte     // the last key that was used
	entries []string // acknowledged
	pending string
}

func (w *world) run() {
	v, err := w.start()
	if err != nil {
		return
	}
	j, _, err := journal.OpenSealed(w.d, v.Sealer(vault.Journal))
	if err != nil {
		return
	}
	for range rapid.IntRange(0, 5).Draw(w.t, "steps") {
		if rapid.Bool().Draw(w.t, "PIN") {
			w.next++
			w.keys = append(w.keys, w.next)
			if v.SetPIN(w.recipe, kek(w.next)) == nil {
				w.keys = []byte{w.next}
			}
			continue
		}
		w.pending = fmt.Sprint("entry ", len(w.entries))
		if j.Append([]byte(w.pending)) != nil {
			return
		}
		w.entries, w.pending = append(w.entries, w.pending), ""
	}
}

// start opens the vault and unlocks it, or makes one.
func (w *world) start() (*vault.Vault, error) {
	v, _, err := vault.Open(w.d, seeded(w.next), 0)
	if errors.Is(err, vault.ErrNone) && !w.made {
		w.next++
		w.keys = append(w.keys, w.next)
		v, err := vault.Create(w.d, seeded(w.next), 0, w.recipe, kek(w.next))
		if err == nil {
			w.made, w.keys = true, []byte{w.next}
		}
		return v, err
	}
	if err != nil {
		return nil, err
	}
	return v, w.unlock(v)
}

// unlock finds the one key that opens.
func (w *world) unlock(v *vault.Vault) error {
	for _, n := range w.keys {
		if unlock(w.t, v, kek(n)) == nil {
			w.made, w.keys = true, []byte{n}
			return nil
		}
	}
	return vault.ErrWrong
}

// check wants everything back on a healthy disk.
func (w *world) check() {
	v, r, err := vault.Open(w.d, seeded(2), 0)
	if errors.Is(err, vault.ErrNone) && !w.made {
		return
	}
	if err != nil || r.Unsettled != nil {
		w.t.Fatalf("%v, %+v", err, r)
	}
	if err := w.unlock(v); err != nil {
		w.t.Fatalf("none of the keys %v: %v", w.keys, err)
	}
	j, _, err := journal.OpenSealed(w.d, v.Sealer(vault.Journal))
	if err != nil {
		w.t.Fatal(err)
	}
	var got []string
	if err := j.Each(func(_ uint64, p []byte) error { got = append(got, string(p)); return nil }); err != nil {
		w.t.Fatal(err)
	}
	if len(got) == len(w.entries)+1 && got[len(got)-1] == w.pending {
		w.entries = append(w.entries, w.pending)
	}
	if fmt.Sprint(got) != fmt.Sprint(w.entries) {
		w.t.Fatalf("read %q, acknowledged were %q, pending was %q", got, w.entries, w.pending)
	}
	w.pending = ""
}

func drawFault(t *rapid.T, d *journaltest.Disk) *journaltest.Fault {
	op := rapid.SampledFrom([]journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Open}).Draw(t, "op")
	return &journaltest.Fault{
		Op: op, At: d.Count(op) + rapid.IntRange(1, 20).Draw(t, "at"), Through: rapid.IntRange(0, 250).Draw(t, "through"),
		Forever: rapid.Bool().Draw(t, "forever"), Forget: rapid.Bool().Draw(t, "forget"),
	}
}
