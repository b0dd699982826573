package companion_test

import (
	"bytes"
	"encoding/hex"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/vault"
)

const pin = "739104"

// derived remembers what a PIN derives to: it is slow on purpose.
var derived sync.Map

func derive(t testing.TB, pin, recipe string) string {
	t.Helper()
	if key, known := derived.Load(pin + recipe); known {
		return key.(string)
	}
	raw, err := hex.DecodeString(recipe)
	if err != nil {
		t.Fatal(err)
	}
	key, err := vault.Derive(pin, raw)
	if err != nil {
		t.Fatal(err)
	}
	text := hex.EncodeToString(key)
	derived.Store(pin+recipe, text)
	return text
}

func setPIN(t testing.TB, c *companion.Companion, pin string) *companion.Fault {
	t.Helper()
	r := ask[*companion.PINRequest, companion.RecipeReply](t, c, "lock.recipe", &companion.PINRequest{PIN: pin})
	var a companion.Nothing
	return c.Ask("lock.set_pin", &companion.SetPINRequest{Recipe: r.Recipe, Key: derive(t, pin, r.Recipe)}, &a)
}

func unlock(t testing.TB, c *companion.Companion, pin string) *companion.Fault {
	t.Helper()
	var r companion.RecipeReply
	if f := c.Ask("lock.try", &companion.Nothing{}, &r); f != nil {
		return f
	}
	var a companion.Nothing
	return c.Ask("lock.unlock", &companion.KeyRequest{Key: derive(t, pin, r.Recipe)}, &a)
}

func must(t testing.TB, f *companion.Fault) {
	t.Helper()
	if f != nil {
		t.Fatal(f)
	}
}

func lockIs(t testing.TB, c *companion.Companion) companion.LockReply {
	t.Helper()
	return ask[*companion.Nothing, companion.LockReply](t, c, "lock.state", &companion.Nothing{})
}

// readable reports whether any file of the disk holds the text.
func readable(t testing.TB, d *journaltest.Disk, text string) bool {
	t.Helper()
	names, err := d.Names()
	if err != nil {
		t.Fatal(err)
	}
	return slices.ContainsFunc(names, func(name string) bool { return bytes.Contains(d.Bytes(name), []byte(text)) })
}

// TestAPINSealsWhatIsThere: nothing that was written before or after can be
// read from the files; locked, no topic of the records answers, the quick tools
// do; the PIN opens them again with nothing lost.
func TestAPINSealsWhatIsThere(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "other_medicines", Text: "magnesium, before"})
	if !readable(t, disk, "magnesium") {
		t.Fatal("the test looks in the wrong place")
	}
	must(t, setPIN(t, c, pin))
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "allergy_which", Text: "iodine, after"})
	before := show(t, c, id)
	if readable(t, disk, "magnesium") || readable(t, disk, "iodine") || readable(t, disk, "opened") {
		t.Error("the files can be read")
	}
	c = open(t, disk.Copy())
	if l := lockIs(t, c); !l.Set || !l.Locked || l.Code {
		t.Errorf("%+v", l)
	}
	for topic, q := range map[string]any{"birth.list": &companion.Nothing{}, "birth.show": &companion.BirthRequest{Birth: id}, "course.walk": &companion.BirthRequest{Birth: id},
		"birth.open": &companion.OpenRequest{Born: "now"}, "birth.due": &companion.DueRequest{}, "birth.search": &companion.SearchRequest{Text: "1"}} {
		refused(t, c, topic, q, "locked", "")
	}
	ask[*companion.RescueRequest, companion.RescueReply](t, c, "anaesthetic.rescue", &companion.RescueRequest{WeightKg: "60"})
	if f := unlock(t, c, "739105"); f == nil || f.Code != "lock_wrong" {
		t.Errorf("another PIN: %v", f)
	}
	must(t, unlock(t, c, "٧٣٩ ١٠٤"))
	if after := show(t, c, id); len(after.Log) != len(before.Log) || after.Log[2].Value != "iodine, after" {
		t.Errorf("%d lines, want %d: %+v", len(after.Log), len(before.Log), after.Log)
	}
	newBirth(t, c)
}

// TestAWrongPINSlowsDown, and the printed code never waits.
func TestAWrongPINSlowsDown(t *testing.T) {
	now := time.Hour
	h := host(journaltest.New())
	h.Running = func() time.Duration { return now }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	id := newBirth(t, c)
	must(t, setPIN(t, c, pin))
	code := ask[*companion.Nothing, companion.CodeReply](t, c, "lock.new_code", &companion.Nothing{}).Code
	groups := strings.Fields(code)
	refused(t, c, "lock.set_code", &companion.CodeRequest{Code: groups[0]}, "code_wrong", "code")
	ask[*companion.CodeRequest, companion.Nothing](t, c, "lock.set_code", &companion.CodeRequest{Code: " " + groups[9]})
	refused(t, c, "lock.set_code", &companion.CodeRequest{Code: groups[9]}, "code_none", "")
	closedAsItIs(t, c, id)
	ask[*companion.Nothing, companion.Nothing](t, c, "lock.lock", &companion.Nothing{})
	for i := range 4 {
		if f := unlock(t, c, "500000"[:6]); f == nil || f.Code != "lock_wrong" {
			t.Fatalf("wrong %d: %v", i, f)
		}
	}
	if f := unlock(t, c, pin); f == nil || f.Code != "lock_wait" || f.Detail != "30" {
		t.Errorf("the right one, at once: %v", f)
	}
	refused(t, c, "lock.unlock_code", &companion.CodeRequest{Code: code[1:]}, "code_wrong", "code")
	refused(t, c, "lock.unlock_code", &companion.CodeRequest{Code: code[:53]}, "code_length", "code")
	ask[*companion.CodeRequest, companion.Nothing](t, c, "lock.unlock_code", &companion.CodeRequest{Code: code})
	show(t, c, id)
	ask[*companion.Nothing, companion.Nothing](t, c, "lock.lock", &companion.Nothing{})
	now += 31 * time.Second
	must(t, unlock(t, c, pin))
	must(t, setPIN(t, c, "860317"))
	ask[*companion.Nothing, companion.Nothing](t, c, "lock.lock", &companion.Nothing{})
	if f := unlock(t, c, pin); f == nil || f.Code != "lock_wrong" {
		t.Errorf("the older PIN: %v", f)
	}
	must(t, unlock(t, c, "860317"))
}

// TestNothingIsLockedInTheMiddle of a repair, a timer or a count.
func TestNothingIsLockedInTheMiddle(t *testing.T) {
	c := open(t, journaltest.New())
	must(t, setPIN(t, c, pin))
	if l := lockIs(t, c); l.Busy != "" {
		t.Errorf("nothing is open, and %q keeps it so", l.Busy)
	}
	id := newBirth(t, c) // the first urine is awaited
	if l := lockIs(t, c); l.Busy != id {
		t.Errorf("a timer runs: %+v", l)
	}
	refused(t, c, "lock.lock", &companion.LockRequest{}, "lock_busy", "")
	ask[*companion.LockRequest, companion.Nothing](t, c, "lock.lock", &companion.LockRequest{Despite: true})
	refused(t, c, "birth.list", &companion.Nothing{}, "locked", "")
	must(t, unlock(t, c, pin))
	closedAsItIs(t, c, id)
	ask[*companion.LockRequest, companion.Nothing](t, c, "lock.lock", &companion.LockRequest{})
	refused(t, c, "birth.list", &companion.Nothing{}, "locked", "")
}

// TestARecordLeftOpenIsNotInHandForEver: weeks later it locks.
func TestARecordLeftOpenIsNotInHandForEver(t *testing.T) {
	now, run := noon, time.Hour
	h := host(journaltest.New())
	h.Wall, h.Running = func() time.Time { return now }, func() time.Duration { return run }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	must(t, setPIN(t, c, pin))
	id := newBirth(t, c)
	save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"})
	now, run = now.Add(11*time.Hour), run+11*time.Hour
	if lockIs(t, c).Busy != id {
		t.Error("in the middle of an examination, and it locks")
	}
	now, run = now.Add(2*time.Hour), run+2*time.Hour
	if l := lockIs(t, c); l.Busy != "" {
		t.Errorf("13 hours on: %+v", l)
	}
	ask[*companion.LockRequest, companion.Nothing](t, c, "lock.lock", &companion.LockRequest{})
}

// TestWhatCanBeNoPINIsNotCounted, nor what no key could be made of.
func TestWhatCanBeNoPINIsNotCounted(t *testing.T) {
	c := open(t, journaltest.New())
	must(t, setPIN(t, c, pin))
	for range 6 {
		refused(t, c, "lock.try", &companion.TryRequest{PIN: "-"}, "pin_digits", "pin")
		ask[*companion.TryRequest, companion.RecipeReply](t, c, "lock.try", &companion.TryRequest{PIN: pin})
		ask[*companion.Nothing, companion.Nothing](t, c, "lock.untried", &companion.Nothing{})
	}
	must(t, unlock(t, c, pin))
}

func TestAPINThatAnybodyTriesIsRefused(t *testing.T) {
	c := open(t, journaltest.New())
	for typed, code := range map[string]string{"12345": "pin_length", "123456": "pin_simple", "777777": "pin_simple", "12ab56": "pin_digits"} {
		refused(t, c, "lock.recipe", &companion.PINRequest{PIN: typed}, code, "pin")
	}
	refused(t, c, "lock.try", &companion.Nothing{}, "lock_none", "")
	refused(t, open(t, nil), "lock.recipe", &companion.PINRequest{PIN: pin}, "no_disk", "")
}

// TestTheKeyFilesAreGone: sealed records are never taken for an empty storage.
func TestTheKeyFilesAreGone(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	newBirth(t, c)
	must(t, setPIN(t, c, pin))
	names, _ := disk.Names()
	for _, name := range names {
		if strings.HasPrefix(name, "keys-") {
			if err := disk.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
	}
	_, err := companion.Open(host(disk))
	if f, is := err.(*companion.Fault); !is || f.Code != "keys_broken" {
		t.Errorf("%v", err)
	}
}

// TestAnOpenRowPutThereLaterIsNotListenedTo: whoever can write files cannot
// write records.
func TestAnOpenRowPutThereLaterIsNotListenedTo(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	forged := disk.Copy()
	must(t, setPIN(t, c, pin))
	names, _ := forged.Names()
	for _, name := range names {
		if journal.IsSegment(name) {
			disk.Put(name, forged.Bytes(name))
		}
	}
	c = open(t, disk.Copy())
	must(t, unlock(t, c, pin))
	if list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}); len(list.Births) != 1 || len(show(t, c, id).Log) != 1 {
		t.Errorf("%+v", list)
	}
}

// TestDamageIsKeptWhenItIsSealed: a birth in doubt stays in doubt, and one that
// began after the loss is whole.
func TestDamageIsKeptWhenItIsSealed(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	old := newBirth(t, c)
	for range 3 {
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: old, Question: "pulse", Number: number(88)})
	}
	names, _ := disk.Names()
	b := slices.Clone(disk.Bytes(names[0]))
	b[len(b)-200] ^= 1 // in the last but one
	disk = journaltest.New()
	disk.Put(names[0], b)
	c = open(t, disk)
	whole := newBirth(t, c)
	if !show(t, c, old).Damaged || show(t, c, whole).Damaged {
		t.Fatal("the test damages the wrong line")
	}
	must(t, setPIN(t, c, pin))
	for range 2 {
		if !show(t, c, old).Damaged || show(t, c, whole).Damaged {
			t.Error("sealing settled what was in doubt")
		}
		c = open(t, disk.Copy())
		must(t, unlock(t, c, pin))
	}
}

// TestAPowerCutWhileItIsSealed: at every operation that the setting of a PIN
// does. What was acknowledged is there after, by the PIN or without one.
func TestAPowerCutWhileItIsSealed(t *testing.T) {
	made := journaltest.New()
	id := ""
	{
		c := open(t, made)
		id = newBirth(t, c)
		for i := range 3 {
			save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: number(80 + i)})
		}
	}
	cuts := 0
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync} {
		for at := 1; ; at++ {
			disk := made.Copy()
			c := open(t, disk)
			disk.Fault = &journaltest.Fault{Op: op, At: disk.Count(op) + at, Forever: true, Through: at % 7}
			f := setPIN(t, c, pin)
			for name, after := range map[string]*journaltest.Disk{"power lost": disk.Lose(), "program ended": disk.Kill()} {
				c, err := companion.Open(host(after))
				if err != nil {
					t.Fatalf("%s %d, %s: %v", op, at, name, err)
				}
				if lockIs(t, c).Locked {
					must(t, unlock(t, c, pin))
				}
				if b := show(t, c, id); len(b.Log) != 4 || b.Damaged {
					t.Fatalf("%s %d, %s: %d lines, damaged %v", op, at, name, len(b.Log), b.Damaged)
				}
				save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: number(99)})
				cuts++
			}
			if f == nil {
				break
			}
		}
	}
	if cuts < 30 {
		t.Errorf("%d cuts were tried", cuts)
	}
	t.Logf("%d cuts were tried", cuts)
}

// TestAFullDiskKeepsTheRecordsGoing: what cannot be sealed goes on being kept
// open, says so, and is sealed at the next unlocking with room.
func TestAFullDiskKeepsTheRecordsGoing(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for i := range 40 {
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: number(60 + i)})
	}
	used := int64(0)
	names, _ := disk.Names()
	for _, name := range names {
		used += int64(len(disk.Bytes(name)))
	}
	disk.Capacity = used + 3000 // for the keys, and for some of the lines
	if f := setPIN(t, c, pin); f == nil || f.Code != "disk_full" {
		t.Fatalf("%v", f)
	}
	if l := lockIs(t, c); !l.Set || !l.Open {
		t.Errorf("%+v", l)
	}
	disk.Capacity += 1000
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "allergy_which", Text: "latex"})
	c = open(t, disk)
	must(t, unlock(t, c, pin))
	if b := show(t, c, id); len(b.Log) != 42 || !lockIs(t, c).Open {
		t.Errorf("%d lines, %+v", len(b.Log), lockIs(t, c))
	}
	disk.Capacity = 0
	c = open(t, disk)
	must(t, unlock(t, c, pin))
	if b := show(t, c, id); len(b.Log) != 42 || lockIs(t, c).Open || readable(t, disk, "latex") {
		t.Errorf("%d lines, %+v", len(b.Log), lockIs(t, c))
	}
}
