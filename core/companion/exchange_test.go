package companion_test

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/birth"
	"fourchette/core/companion"
	"fourchette/core/exchange"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// fileCode opens the files of these tests.
const fileCode = "46223 24382 44922 44047 46447 37639 04607 09404 12931 80875"

// fataler is a test, of this package's kind or of the property's.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// phone opens the records of a disk on a phone of its own.
func phone(t fataler, disk journal.Disk, seed byte) *companion.Companion {
	t.Helper()
	h := host(disk)
	h.Random = &counting{n: seed}
	c, err := companion.Open(h)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c
}

// given asks a topic that must answer.
func given[A any](t fataler, c *companion.Companion, topic string, q any) (a A) {
	t.Helper()
	if f := c.Ask(topic, q, &a); f != nil {
		t.Fatalf("%s: %v", topic, f)
	}
	return a
}

// exported is a file of all records, and what was said of it.
func exported(t fataler, c *companion.Companion) (file []byte, r companion.ExportReply) {
	t.Helper()
	r = given[companion.ExportReply](t, c, "records.export_begin", &companion.CodeRequest{Code: fileCode})
	file = r.Piece
	for !r.Last {
		r = given[companion.ExportReply](t, c, "records.export_next", &companion.Nothing{})
		file = append(file, r.Piece...)
	}
	return file, r
}

const by = 20_000 // bytes in a piece

// piece hands in the piece of a file that begins at a byte.
func piece(c *companion.Companion, file []byte, at int) (r companion.ImportReply, f *companion.Fault) {
	f = c.Ask("records.import_next", &companion.PieceRequest{At: int64(at), Piece: file[at:min(at+by, len(file))]}, &r)
	return r, f
}

// imported takes in a file, which must be taken.
func imported(t fataler, c *companion.Companion, file []byte) companion.ImportReply {
	t.Helper()
	given[companion.ImportReply](t, c, "records.import_begin", &companion.CodeRequest{Code: fileCode})
	for at := 0; at < len(file); at += by {
		if _, f := piece(c, file, at); f != nil {
			t.Fatalf("at %d: %v", at, f)
		}
	}
	return given[companion.ImportReply](t, c, "records.import_finish", &companion.Nothing{})
}

func merged(t fataler, to, from *companion.Companion) companion.ImportReply {
	t.Helper()
	file, _ := exported(t, from)
	return imported(t, to, file)
}

func deviceOf(t fataler, c *companion.Companion) string {
	t.Helper()
	return given[companion.AboutReply](t, c, "companion.about", &companion.Nothing{}).Device
}

// like fails where two phones do not hold the same.
func like(t fataler, a, b *companion.Companion) {
	t.Helper()
	x, y := companion.StateOf(a), companion.StateOf(b)
	if !reflect.DeepEqual(x, y) {
		t.Fatalf("two phones differ: %d births and %d deleted, %d and %d", len(x.Births), len(x.Deleted), len(y.Births), len(y.Deleted))
	}
}

// TestRecordsMoveToAnotherPhone, which writes under an id of its own from then
// on, also after it was started again; and what it writes comes back.
func TestRecordsMoveToAnotherPhone(t *testing.T) {
	disk, id := written(t)
	old, diskNew := phone(t, disk, 0), journaltest.New()
	second := newBirth(t, old)
	fresh := phone(t, diskNew, 60)
	file, out := exported(t, old)
	if out.Entries != 19 || out.Damaged != 0 || len(file) != 8192+65536 || bytes.Contains(file, []byte("lidocaine")) {
		t.Errorf("%d entries in %d bytes", out.Entries, len(file))
	}
	in := imported(t, fresh, file)
	if in.Read != 19 || in.New != 19 || in.Here != 0 || in.Newer != 0 || in.Damaged != 0 || !in.Whole || in.Spoilt || in.Moved || len(in.Twice) > 0 {
		t.Errorf("%+v", in)
	}
	like(t, old, fresh)
	if got, want := show(t, fresh, id), show(t, old, id); !reflect.DeepEqual(got, want) {
		t.Errorf("here %+v, there %+v", got, want)
	}
	if again := imported(t, fresh, file); again.New != 0 || again.Here != 19 || !again.Whole {
		t.Errorf("the same file again: %+v", again)
	}
	device := deviceOf(t, fresh)
	fresh = phone(t, diskNew, 90)
	if deviceOf(t, fresh) != device || device == deviceOf(t, old) {
		t.Fatalf("device %s, then %s, and there %s", device, deviceOf(t, fresh), deviceOf(t, old))
	}
	third := newBirth(t, fresh)
	if !strings.HasPrefix(third, device) || !strings.HasPrefix(second, deviceOf(t, old)) {
		t.Errorf("opened %s by %s", third, device)
	}
	say(t, fresh, id, "uterus_firm", "yes")
	if in := merged(t, old, fresh); in.New != 2 || in.Here != 19 || !in.Whole || in.Moved || deviceOf(t, old) == device {
		t.Errorf("back again: %+v", in)
	}
	like(t, old, fresh)
	log := show(t, old, id).Log
	say(t, old, id, "uterus_firm", "no")
	if last := show(t, old, id); last.Log[len(log)].Value != "no" || last.Answers[len(last.Answers)-1].Value != "no" {
		t.Error("what is said after a merge does not stand last")
	}
}

// TestAnInterruptedRestoreIsRunAgain: the program ends after any piece, and at
// any failing write of the disk. Then the same as in one go.
func TestAnInterruptedRestoreIsRunAgain(t *testing.T) {
	disk, _ := written(t)
	old := phone(t, disk, 0)
	for range 3 {
		newBirth(t, old)
	}
	file, _ := exported(t, old)
	whole := phone(t, journaltest.New(), 60)
	all := imported(t, whole, file).New
	tried := 0
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync} {
		for at := 1; at <= all+1; at++ {
			target := journaltest.New()
			target.Fault = &journaltest.Fault{Op: op, At: at, Through: at % 40, Forever: true}
			fresh := phone(t, target, 60)
			must(t, fresh.Ask("records.import_begin", &companion.CodeRequest{Code: fileCode}, &companion.ImportReply{}))
			var stopped *companion.Fault
			for place := 0; place < len(file) && stopped == nil; place += by {
				_, stopped = piece(fresh, file, place)
			}
			if stopped == nil || stopped.Code != companion.FaultDisk {
				t.Fatalf("%v at %d: %v", op, at, stopped)
			}
			if f := fresh.Ask("records.import_finish", &companion.Nothing{}, &companion.Nothing{}); f == nil {
				t.Fatal("it ended well")
			}
			again := phone(t, target.Copy().Lose(), 90)
			r := imported(t, again, file)
			if r.New+r.Here != all || !r.Whole || r.New < all-at || r.Damaged > 0 {
				t.Fatalf("%v at %d: %+v", op, at, r)
			}
			if x, y := companion.StateOf(again), companion.StateOf(whole); !reflect.DeepEqual(x, y) {
				t.Fatalf("%v at %d: another state", op, at)
			}
			tried++
		}
	}
	for cut := 0; cut < len(file); cut += by {
		target := journaltest.New()
		fresh := phone(t, target, 60)
		must(t, fresh.Ask("records.import_begin", &companion.CodeRequest{Code: fileCode}, &companion.ImportReply{}))
		for place := 0; place < cut; place += by {
			if _, f := piece(fresh, file, place); f != nil {
				t.Fatal(f)
			}
		}
		again := phone(t, target.Kill(), 90)
		imported(t, again, file)
		like(t, again, whole)
		tried++
	}
	t.Logf("%d interruptions tried", tried)
}

// TestTwoPhonesThatWriteAsOne: a copy of the folder makes two phones of one id.
// What both wrote under the same count is kept in both versions and told; each
// goes on under a new id; and what is in doubt settles nothing until somebody
// has looked through it.
func TestTwoPhonesThatWriteAsOne(t *testing.T) {
	disk, id := written(t)
	first, twin := phone(t, disk, 0), disk.Copy()
	second := phone(t, twin, 60)
	before := deviceOf(t, first)
	if before != deviceOf(t, second) {
		t.Fatal("the copy has another id")
	}
	found(t, first, id, "external_sphincter", "through")
	save(t, second, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "2", StrengthPercent: "1"})
	other := newBirth(t, second)

	r := merged(t, first, second)
	if r.New != 2 || !r.Moved || r.Device == before || r.Device != deviceOf(t, first) || !slices.Equal(r.Twice, []string{show(t, first, id).Number, show(t, first, other).Number}) {
		t.Errorf("%+v", r)
	}
	b := show(t, first, id)
	if !b.Damaged || len(b.Doses) != 2 || b.Findings.ExternalSphincter != "through" {
		t.Errorf("damaged %v, %d doses, %s: want both versions, in doubt", b.Damaged, len(b.Doses), b.Findings.ExternalSphincter)
	}
	if said := settles(t, first, id); len(said) > 0 {
		t.Errorf("in doubt, and yet it says %q", said)
	}
	if again := merged(t, first, second); again.New != 0 || again.Moved || len(again.Twice) != 2 {
		t.Errorf("run again: %+v", again)
	}
	first = phone(t, disk, 120) // started again
	if deviceOf(t, first) != r.Device || !show(t, first, id).Damaged {
		t.Errorf("started again: device %s, was %s", deviceOf(t, first), r.Device)
	}
	save(t, first, "birth.looked_through", &companion.BirthRequest{Birth: id})
	for range 2 {
		if show(t, first, id).Damaged {
			t.Error("looked through, and still in doubt")
		}
		first = phone(t, disk, 150)
	}
	if r := merged(t, second, first); !r.Moved || r.Device == deviceOf(t, first) || r.Device == before || !show(t, second, id).Damaged {
		t.Errorf("the other way: %+v, damaged %v", r, show(t, second, id).Damaged)
	}
	if x, y := companion.StateOf(first), companion.StateOf(second); len(x.Births) != len(y.Births) || !reflect.DeepEqual(x.Births[0].Log, y.Births[0].Log) {
		t.Error("the two phones hold different lines")
	}
	if newBirth(t, first) == newBirth(t, second) {
		t.Error("two women under one number")
	}
}

// TestTwoWomenUnderOneNumber: no entry of that birth is there twice, and yet
// what stands in it is of two women. It is in doubt on both phones, also after a
// start, until somebody has looked through it.
func TestTwoWomenUnderOneNumber(t *testing.T) {
	disk, id := written(t)
	twin := disk.Copy()
	first, second := phone(t, disk, 0), phone(t, twin, 60)
	one := newBirth(t, first)
	say(t, first, one, "uterus_firm", "yes")
	for range 4 {
		say(t, second, id, "uterus_firm", "yes")
	}
	if two := newBirth(t, second); two != one {
		t.Fatalf("%s and %s", one, two)
	}
	if r := merged(t, first, second); !slices.Equal(r.Twice, []string{show(t, first, id).Number, show(t, first, one).Number}) {
		t.Errorf("%+v", r)
	}
	merged(t, second, first)
	like(t, first, second)
	for range 2 {
		for _, c := range []*companion.Companion{first, second} {
			if !show(t, c, one).Damaged || !show(t, c, id).Damaged {
				t.Error("it is in no doubt")
			}
		}
		first, second = phone(t, disk, 120), phone(t, twin, 150)
	}
	save(t, first, "birth.looked_through", &companion.BirthRequest{Birth: one})
	if merged(t, first, second); show(t, first, one).Damaged {
		t.Error("looked through, and taking in the same again doubts it anew")
	}
}

// TestOnesOwnOlderCopyComesBack after the storage was lost: nothing is twice,
// and the ids of what was written since the copy are not given again.
func TestOnesOwnOlderCopyComesBack(t *testing.T) {
	disk, id := written(t)
	was := disk.Copy()
	c := phone(t, disk, 0)
	say(t, c, id, "uterus_firm", "yes")
	file, _ := exported(t, c)
	back := phone(t, was, 0) // the disk was set back
	before := deviceOf(t, back)
	r := imported(t, back, file)
	if r.New != 1 || r.Here != 18 || !r.Moved || r.Device == before || len(r.Twice) > 0 {
		t.Errorf("%+v", r)
	}
	like(t, back, c)
}

// TestALostMarkTakesANewId: where a loss may have taken the line that says
// under which id this phone writes, it does not write under another phone's.
func TestALostMarkTakesANewId(t *testing.T) {
	disk, _ := written(t)
	old := phone(t, disk, 0)
	target := journaltest.New()
	fresh := phone(t, target, 60)
	merged(t, fresh, old)
	newBirth(t, fresh)
	b := target.Bytes(segment)
	b[60] ^= 1 // in the first entry, the mark
	target.Put(segment, b)
	fresh = phone(t, target, 90)
	device := deviceOf(t, fresh)
	if device == deviceOf(t, old) {
		t.Fatal("it writes under the other phone's id")
	}
	id := newBirth(t, fresh)
	if fresh = phone(t, target, 120); deviceOf(t, fresh) != device || !strings.HasPrefix(id, device) {
		t.Errorf("device %s, then %s", device, deviceOf(t, fresh))
	}
	if show(t, fresh, id).Damaged {
		t.Error("begun after the loss, and in doubt")
	}
}

// TestNewerEntriesGoThrough a phone that does not understand them.
func TestNewerEntriesGoThrough(t *testing.T) {
	disk, id := written(t)
	j, _, err := journal.Open(disk)
	if err != nil {
		t.Fatal(err)
	}
	newer := birth.Event{Schema: birth.Schema + 1, Device: "zzzzzzz2", Seq: 7, Lamport: 100, Birth: id, Kind: "graft"}
	raw, err := newer.MarshalMsg(nil)
	if err == nil {
		err = j.Append(raw)
	}
	if err != nil {
		t.Fatal(err)
	}
	middle, last := journaltest.New(), journaltest.New()
	if r := merged(t, phone(t, middle, 60), phone(t, disk, 0)); r.Newer != 1 || !r.Whole {
		t.Errorf("%+v", r)
	}
	merged(t, phone(t, last, 90), phone(t, middle, 60))
	if !bytes.Contains(last.Bytes(segment), raw) || show(t, phone(t, last, 90), id).Newer != 1 {
		t.Error("a newer entry was altered on its way")
	}
}

// TestWhatIsNoEntryIsToldAndNotTaken: what cannot be read here is not in the
// file and counted; what is in the file and cannot be is not taken.
func TestWhatIsNoEntryIsToldAndNotTaken(t *testing.T) {
	disk, id := written(t)
	j, _, err := journal.Open(disk)
	if err != nil {
		t.Fatal(err)
	}
	late := birth.Event{Schema: 1, Device: "zzzzzzz2", Seq: 7, Lamport: 1<<53 - 1, Birth: id, Kind: birth.KindClosed}
	raw, err := late.MarshalMsg(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, payload := range [][]byte{[]byte("no event"), raw} {
		if err := j.Append(payload); err != nil {
			t.Fatal(err)
		}
	}
	file, out := exported(t, phone(t, disk, 0))
	if out.Damaged != 1 || out.Entries != 19 {
		t.Errorf("%d entries, %d damaged", out.Entries, out.Damaged)
	}
	fresh := phone(t, journaltest.New(), 60)
	if r := imported(t, fresh, file); r.Damaged != 1 || r.New != 18 || r.Whole || !r.Ended {
		t.Errorf("%+v", r)
	}
	newBirth(t, fresh) // its counting has not come to an end
}

// byHand is a file of these entries.
func byHand(t fataler, entries ...birth.Record) []byte {
	t.Helper()
	w, file, err := exchange.NewWriter(&counting{n: 30}, fileCode)
	for _, e := range entries {
		var piece []byte
		if err == nil {
			piece, err = w.Add(e.Raw)
		}
		file = append(file, piece...)
	}
	if err != nil {
		t.Fatalf("%v", err)
	}
	piece, err := w.End()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return append(file, piece...)
}

// elsewhere is an event of another phone, after all that a phone has.
func elsewhere(t fataler, id, kind string, body func(*birth.Event)) birth.Record {
	t.Helper()
	w := birth.Writer{Device: "zzzzzzz2", Lamport: 1000}
	e := w.Next(id, kind, birth.Now{Wall: noon.UnixMilli(), Run: "there"})
	if body != nil {
		body(&e)
	}
	r, err := e.Record()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return r
}

// TestAFileIsTakenInItsOrder: what closes a record goes before what deletes it,
// and an entry that is in the file twice is taken once.
func TestAFileIsTakenInItsOrder(t *testing.T) {
	disk := journaltest.New()
	c := phone(t, disk, 0)
	id := newBirth(t, c)
	older := disk.Copy()
	closeOne(t, c, id)
	log := companion.StateOf(c).Births[0].Log
	deleted := elsewhere(t, id, birth.KindDeleted, func(e *birth.Event) { e.Deleted = &birth.Deleted{Reason: "her_wish"} })
	fresh := phone(t, older, 60)
	r := imported(t, fresh, byHand(t, append(slices.Concat(log, log[1:]), deleted)...))
	if r.Here != len(log) || r.New != len(log) || r.Deleted != 1 || len(r.Held) > 0 || len(births(fresh, false)) > 0 {
		t.Errorf("%d lines: %+v", len(log), r)
	}
}

// TestWhoLookedThroughElsewhere looked at another copy: here it stays in doubt.
func TestWhoLookedThroughElsewhere(t *testing.T) {
	disk, id := written(t)
	b := disk.Bytes(segment)
	b[len(b)/2] ^= 1
	disk.Put(segment, b)
	c := phone(t, disk, 0)
	imported(t, c, byHand(t, elsewhere(t, id, birth.KindLookedThrough, nil)))
	for range 2 {
		if !show(t, c, id).Damaged {
			t.Error("lines are lost here, and whoever looked elsewhere could not see it")
		}
		c = phone(t, disk, 60)
	}
}

// TestDamageInAFileIsTold, and the rest is taken in.
func TestDamageInAFileIsTold(t *testing.T) {
	old := phone(t, journaltest.New(), 0)
	for range 220 {
		id := newBirth(t, old)
		for range 3 {
			say(t, old, id, "uterus_firm", "yes")
		}
	}
	file, out := exported(t, old)
	if len(file) != 8192+2*65536 {
		t.Fatalf("%d bytes", len(file))
	}
	all := int(out.Entries)
	check := func(what string, file []byte, ok func(r companion.ImportReply) bool) {
		t.Helper()
		if r := imported(t, phone(t, journaltest.New(), 60), file); !ok(r) || r.New+int(r.Lost) > all || r.Whole {
			t.Errorf("%s: %+v", what, r)
		}
	}
	damaged := bytes.Clone(file)
	damaged[9000] ^= 1
	check("a bit", damaged, func(r companion.ImportReply) bool {
		return r.Blocks == 1 && r.Ended && r.New+int(r.Lost) == all && r.New > 0
	})
	check("cut", file[:len(file)-1], func(r companion.ImportReply) bool { return r.Blocks == 1 && !r.Ended && r.New > 0 && r.New < all })
	check("cut at a block", file[:8192+65536], func(r companion.ImportReply) bool { return r.Blocks == 0 && !r.Ended && r.New > 0 })
	check("cut at the heads", file[:8192], func(r companion.ImportReply) bool { return r.New == 0 && !r.Ended })
	spare := bytes.Clone(file)
	spare[30] ^= 1
	if r := imported(t, phone(t, journaltest.New(), 60), append(spare, 1, 2)); !r.Whole || !r.Spoilt || r.After != 2 || r.New != all {
		t.Errorf("a spare head: %+v", r)
	}
}

func TestFilesThatAreRefused(t *testing.T) {
	disk, _ := written(t)
	c := phone(t, disk, 0)
	file, _ := exported(t, c)
	begin := func(code string) {
		t.Helper()
		given[companion.ImportReply](t, c, "records.import_begin", &companion.CodeRequest{Code: code})
	}
	next := func(at int64, b []byte, code, field string) {
		t.Helper()
		refused(t, c, "records.import_next", &companion.PieceRequest{At: at, Piece: b}, code, field)
	}
	refused(t, c, "records.export_next", &companion.Nothing{}, "export_not_begun", "")
	refused(t, c, "records.import_finish", &companion.Nothing{}, "import_not_begun", "")
	next(0, file[:10], "import_not_begun", "")
	wrong := strings.Replace(fileCode, "46223", "46224", 1)
	for _, topic := range []string{"records.export_begin", "records.import_begin"} {
		refused(t, c, topic, &companion.CodeRequest{Code: wrong}, "code_wrong", "code")
		refused(t, c, topic, &companion.CodeRequest{Code: fileCode[:30]}, "code_length", "code")
		refused(t, c, topic, &companion.Nothing{}, "key_missing", "code")
	}
	begin(fileCode)
	next(5, file[:by], "piece_out_of_order", "at")
	begin(fileCode)
	next(0, bytes.Repeat([]byte("a picture"), 1000), "export_not_ours", "")
	next(0, file[:by], "import_not_begun", "")
	begin(fileCode)
	next(0, make([]byte, 9000), "export_damaged", "")
	begin(given[companion.CodeReply](t, c, "records.code", &companion.Nothing{}).Code)
	next(0, file[:by], "lock_wrong", "")
	begin(fileCode)
	must(t, c.Ask("records.import_next", &companion.PieceRequest{Piece: file[:7000]}, &companion.ImportReply{}))
	refused(t, c, "records.import_next", &companion.PieceRequest{Piece: file[:7000]}, "piece_out_of_order", "at")
	begin(fileCode)
	refused(t, c, "records.import_finish", &companion.Nothing{}, "export_damaged", "")
	none := open(t, nil)
	for _, topic := range []string{"records.export_begin", "records.import_begin"} {
		refused(t, none, topic, &companion.CodeRequest{Code: fileCode}, "no_disk", "")
	}
}

// TestALockedPhoneGivesNothingOut, and a file under way is let go of.
func TestALockedPhoneGivesNothingOut(t *testing.T) {
	disk := journaltest.New()
	c := phone(t, disk, 0)
	id := newBirth(t, c)
	closedAsItIs(t, c, id)
	must(t, setPIN(t, c, pin))
	file, r := exported(t, c)
	if r.Entries == 0 || r.Damaged != 0 {
		t.Errorf("of sealed records: %d entries, %d damaged", r.Entries, r.Damaged)
	}
	fresh := phone(t, journaltest.New(), 60)
	imported(t, fresh, file)
	like(t, c, fresh)
	given[companion.ExportReply](t, c, "records.export_begin", &companion.CodeRequest{Code: fileCode})
	must(t, c.Ask("lock.lock", &companion.Nothing{}, &companion.Nothing{}))
	refused(t, c, "records.export_next", &companion.Nothing{}, "locked", "")
	must(t, unlock(t, c, pin))
	refused(t, c, "records.export_next", &companion.Nothing{}, "export_not_begun", "")
}

// TestTwoPhonesComeToTheSame: any writing on both, merged both ways and again,
// gives equal states, whatever went before; and each goes on with its own ids.
func TestTwoPhonesComeToTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		disks := []*journaltest.Disk{journaltest.New(), journaltest.New()}
		phones := []*companion.Companion{phone(t, disks[0], 0), phone(t, disks[1], 60)}
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			i := rapid.IntRange(0, 1).Draw(t, "phone")
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0:
				merged(t, phones[i], phones[1-i])
			case 1:
				phones[i] = phone(t, disks[i], byte(60*i))
			case 2:
				deleteAny(t, phones[i])
			default:
				writeAny(t, phones[i])
			}
		}
		merged(t, phones[0], phones[1])
		held := merged(t, phones[1], phones[0]).Held
		merged(t, phones[0], phones[1])
		if len(held) == 0 && len(merged(t, phones[0], phones[1]).Held) == 0 {
			like(t, phones[0], phones[1])
		}
		if deviceOf(t, phones[0]) == deviceOf(t, phones[1]) {
			t.Fatalf("both write as %s", deviceOf(t, phones[0]))
		}
		// What must not be deleted here was open, or in doubt: closed and looked
		// through, nothing holds it.
		for _, c := range phones {
			closeAll(t, c)
		}
		for range 2 {
			merged(t, phones[0], phones[1])
			merged(t, phones[1], phones[0])
		}
		like(t, phones[0], phones[1])
		for i, c := range phones {
			like(t, c, phone(t, disks[i], byte(60*i))) // the state is what the disk holds
		}
		for _, c := range phones {
			goesOnLast(t, c)
		}
	})
}

// goesOnLast writes once more, which must come after all that there is.
func goesOnLast(t fataler, c *companion.Companion) {
	ids := births(c, false)
	if len(ids) == 0 {
		return
	}
	most := uint64(0)
	for _, b := range companion.StateOf(c).Births {
		for _, r := range b.Log {
			most = max(most, r.Event.Lamport)
		}
	}
	given[companion.SavedReply](t, c, "birth.reopen", &companion.BirthRequest{Birth: ids[0]})
	b, _ := companion.StateOf(c).Find(ids[0])
	if last := b.Log[len(b.Log)-1].Event; last.Kind != birth.KindReopened || last.Lamport <= most || last.Device != deviceOf(t, c) {
		t.Fatalf("last is %+v, before it Lamport %d", last, most)
	}
}

// TestTwinsKeepWhatBothWrote: two phones from one folder write under one id.
// Whatever they write, after merging both ways, twice, both hold every entry of
// either, once; and from then on neither gives an id that the other gives.
func TestTwinsKeepWhatBothWrote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		disk := journaltest.New()
		c := phone(t, disk, 0)
		for range rapid.IntRange(1, 5).Draw(t, "before") {
			writeAny(t, c)
		}
		twin := disk.Copy()
		phones := []*companion.Companion{phone(t, disk, 0), phone(t, twin, 60)}
		for range rapid.IntRange(1, 12).Draw(t, "since") {
			writeAny(t, phones[rapid.IntRange(0, 1).Draw(t, "phone")])
		}
		want := map[string]bool{}
		lines := func(c *companion.Companion) (all []string) {
			for _, b := range companion.StateOf(c).Births {
				for _, r := range b.Log {
					if r.Event.Kind != birth.KindDoubted {
						all = append(all, string(r.Raw))
					}
				}
			}
			return all
		}
		for _, c := range phones {
			for _, raw := range lines(c) {
				want[raw] = true
			}
		}
		for range 2 {
			merged(t, phones[0], phones[1])
			merged(t, phones[1], phones[0])
		}
		like(t, phones[0], phones[1])
		for _, c := range phones {
			if got := lines(c); len(got) != len(want) || slices.ContainsFunc(got, func(raw string) bool { return !want[raw] }) {
				t.Fatalf("%d lines, wrote %d", len(got), len(want))
			}
		}
		ids := map[string]bool{}
		for i, c := range phones {
			for range 3 {
				id := given[companion.SavedReply](t, c, "birth.open", &companion.OpenRequest{Born: "now", Another: true}).Birth
				if ids[id] {
					t.Fatalf("%s was given twice", id)
				}
				ids[id] = true
			}
			if again := phone(t, []*journaltest.Disk{disk, twin}[i], byte(120+30*i)); deviceOf(t, again) != deviceOf(t, c) {
				t.Fatal("the new id does not last")
			}
		}
	})
}

// births are the ids on a phone.
func births(c *companion.Companion, open bool) (ids []string) {
	for _, b := range companion.StateOf(c).Births {
		if b.Closed != open {
			ids = append(ids, b.ID)
		}
	}
	return ids
}

// writeAny opens, closes or writes in a record. Tampon and visits are said, so
// that nothing but an open record keeps it from being deleted.
func writeAny(t *rapid.T, c *companion.Companion) {
	ids := births(c, true)
	if len(ids) == 0 || rapid.IntRange(0, 4).Draw(t, "open") == 0 {
		given[companion.SavedReply](t, c, "birth.open", &companion.OpenRequest{Born: "now", Another: true})
		return
	}
	id := rapid.SampledFrom(ids).Draw(t, "birth")
	if rapid.IntRange(0, 3).Draw(t, "close") == 0 {
		closeOne(t, c, id)
		return
	}
	value := rapid.SampledFrom([]string{"yes", "no"}).Draw(t, "value")
	given[companion.SavedReply](t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "uterus_firm", Value: value})
}

// closeOne closes a record with nothing torn and nothing left inside.
func closeOne(t fataler, c *companion.Companion, id string) {
	for _, structure := range []string{"perineal_skin", "vaginal_mucosa", "perineal_muscle", "external_sphincter", "internal_sphincter", "anorectal_mucosa"} {
		given[companion.SavedReply](t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: structure, Value: "intact"})
	}
	given[companion.SavedReply](t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "rectal_exam", Value: "done"})
	given[companion.SavedReply](t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", Value: "none"})
	open := given[companion.BirthReply](t, c, "birth.show", &companion.BirthRequest{Birth: id}).StillOpen
	given[companion.SavedReply](t, c, "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: open})
}

func closeAll(t fataler, c *companion.Companion) {
	for _, id := range births(c, true) {
		closeOne(t, c, id)
	}
}

func deleteAny(t *rapid.T, c *companion.Companion) {
	if ids := births(c, false); len(ids) > 0 {
		id := rapid.SampledFrom(ids).Draw(t, "deleted")
		f := c.Ask("records.delete", &companion.DeleteRequest{Births: []string{id}, Reason: "by_mistake", Confirmed: true}, &companion.DeletedReply{})
		if f != nil && (f.Code != companion.FaultBirthHeld || f.Detail != "record_doubtful") {
			t.Fatalf("%v", f)
		}
	}
}

// TestALongExportIsMadeInPieces: each of them is one block, and what is
// appended while the file is made is in it or not, whole.
func TestALongExportIsMadeInPieces(t *testing.T) {
	old := phone(t, journaltest.New(), 0)
	id := newBirth(t, old)
	for range 700 {
		say(t, old, id, "uterus_firm", "yes")
	}
	r := given[companion.ExportReply](t, old, "records.export_begin", &companion.CodeRequest{Code: fileCode})
	file, pieces := r.Piece, 0
	for !r.Last {
		r = given[companion.ExportReply](t, old, "records.export_next", &companion.Nothing{})
		if len(r.Piece) != 65536 {
			t.Fatalf("a piece of %d bytes", len(r.Piece))
		}
		if file, pieces = append(file, r.Piece...), pieces+1; pieces == 1 {
			say(t, old, id, "uterus_firm", "no")
		}
	}
	fresh := phone(t, journaltest.New(), 60)
	if in := imported(t, fresh, file); pieces < 2 || in.New != 702 || !in.Whole {
		t.Errorf("%d pieces, %+v", pieces, in)
	}
	like(t, old, fresh)
}

// BenchmarkRestore takes in a hundred births of thirty entries.
func BenchmarkRestore(b *testing.B) {
	old := phone(b, journaltest.New(), 0)
	for range 100 {
		id := newBirth(b, old)
		for range 29 {
			say(b, old, id, "uterus_firm", "yes")
		}
	}
	file, r := exported(b, old)
	b.Run("export", func(b *testing.B) {
		for b.Loop() {
			exported(b, old)
		}
	})
	b.Run(fmt.Sprintf("import of %d", r.Entries), func(b *testing.B) {
		for b.Loop() {
			imported(b, phone(b, journaltest.New(), 60), file)
		}
	})
}
