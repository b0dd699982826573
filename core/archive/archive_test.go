package archive_test

import (
	"bytes"
	"errors"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/archive"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

func TestWhatIsCommittedIsFoundAgain(t *testing.T) {
	d, want := made(t)
	a, r := opened(t, d)
	if len(r.Spoilt)+len(r.Doubtful)+len(r.Lost) > 0 || r.Unsettled {
		t.Errorf("%+v", r)
	}
	if a.Start() != (journal.Start{Segment: 4, Sequence: 300}) || !slices.Equal(a.Keep(), []uint64{2}) || string(a.Note()) != "three" {
		t.Errorf("%+v %v %q", a.Start(), a.Keep(), a.Note())
	}
	if live := a.Live(); !reflect.DeepEqual(live, []archive.Item{item(90, 0), item(91, 0)}) || a.Live() != nil {
		t.Errorf("%+v", live)
	}
	holds(t, "reopened", a, want)
}

func TestAnEmptyDiskIsAnEmptyArchive(t *testing.T) {
	d := journaltest.New()
	a, r := opened(t, d)
	holds(t, "empty", a, nil)
	names, _ := d.Names()
	if !reflect.DeepEqual(r, archive.Report{}) || a.Start() != (journal.Start{}) || a.Note() != nil || len(names) > 0 || a.Bytes() != 0 {
		t.Errorf("%+v, %q", r, names)
	}
}

// Each commit leaves only the files that it names.
func TestNothingSuperfluousIsLeft(t *testing.T) {
	d, _ := made(t)
	names, _ := d.Names()
	tables := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.HasPrefix(n, "contents-") })
	if !slices.Equal(tables, []string{"contents-00000005", "contents-00000006"}) {
		t.Errorf("%q", names)
	}
	if bytes.Equal(d.Bytes(tables[0]), d.Bytes(tables[1])) || len(d.Bytes(tables[0])) != len(d.Bytes(tables[1])) {
		t.Error("the two files of a commit are the same content, sealed to their names")
	}
	var size int64
	for _, name := range names {
		if strings.HasPrefix(name, "archive-") {
			size += int64(len(d.Bytes(name)))
		}
	}
	if a, _ := opened(t, d); a.Bytes() != size {
		t.Errorf("%d bytes of volumes, and %d are said to be in use", size, a.Bytes())
	}
}

// The archive is a map of the last items, whatever was committed when, merged
// with what, and reopened in between.
func TestAnyHistoryIsTheLastOfEachKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := journaltest.New()
		want := map[int]int{}
		full, page := rapid.Int64Range(200, 5000).Draw(t, "volume"), rapid.IntRange(1, 400).Draw(t, "page")
		for commit := range rapid.IntRange(1, 8).Draw(t, "commits") {
			a, r, err := archive.OpenSmall(d, bound{}, full, page)
			if err != nil || len(r.Spoilt)+len(r.Lost) > 0 {
				t.Fatal(err, r)
			}
			c := archive.Change{Start: journal.Start{Segment: uint64(commit + 2), Sequence: uint64(commit + 1)}}
			for _, n := range rapid.SliceOfNDistinct(rapid.IntRange(1, 79), 0, 25, rapid.ID).Draw(t, "moved") {
				c.Move = append(c.Move, moved(n, commit))
				want[n] = commit
			}
			for _, n := range rapid.SliceOfNDistinct(rapid.IntRange(1, 79), 0, 3, rapid.ID).Draw(t, "forgotten") {
				c.Forget = append(c.Forget, keyOf(n))
				if !slices.ContainsFunc(c.Move, func(m archive.Moved) bool { return m.Key == keyOf(n) }) {
					delete(want, n)
				}
			}
			if err := a.Commit(c); err != nil {
				t.Fatal(err)
			}
			same(t, a, want)
		}
		a, _, err := archive.OpenSmall(d, bound{}, full, page)
		if err != nil {
			t.Fatal(err)
		}
		same(t, a, want)
	})
}

func same(t *rapid.T, a *archive.Archive, want map[int]int) {
	for n := range 80 {
		it, err := a.Find(keyOf(n))
		if version, there := want[n]; !there && !errors.Is(err, archive.ErrNone) || there && (err != nil || !reflect.DeepEqual(it, item(n, version))) {
			t.Fatalf("item %d, version %d, there %v: %+v, %v", n, version, there, it, err)
		}
	}
	list, err := a.Before("z", 100)
	if err != nil || len(list) != len(want) {
		t.Fatalf("%d listed, want %d: %v", len(list), len(want), err)
	}
}

// What was forgotten is in no file, not even in an older copy of it.
func TestForgottenIsGone(t *testing.T) {
	d, want := made(t)
	for _, n := range []int{5, 12, 31} {
		a, _ := opened(t, d)
		must(t, a.Commit(archive.Change{Start: a.Start(), Live: a.Live(), Forget: []string{keyOf(n)}}))
		delete(want, n)
		a, _ = opened(t, d)
		holds(t, "forgotten", a, want)
		for _, it := range everything(t, d) {
			if it.Key == keyOf(n) {
				t.Errorf("item %d is still there: %+v", n, it)
			}
		}
	}
}

// everything finds all items in all files, by trying every frame.
func everything(t testing.TB, d *journaltest.Disk) (list []archive.Item) {
	t.Helper()
	names, _ := d.Names()
	for _, name := range names {
		b := d.Bytes(name)
		for b = b[journal.HeaderBytes:]; len(b) > 0; {
			seq, sealed, rest, ok := journal.CutFrame(b)
			if !ok {
				t.Fatalf("%s ends in %d bytes of no frame", name, len(b))
			}
			plain, err := bound{}.Open(name, seq, sealed)
			must(t, err)
			if plain[0] == 1 && plain[2] == 0 {
				content, ok := archive.Unpack(plain[7:], int(plain[3])|int(plain[4])<<8)
				it, read := archive.ReadItem(content)
				if !ok || !read {
					t.Fatalf("%s: an item cannot be read", name)
				}
				list = append(list, it)
			}
			b = rest
		}
	}
	return list
}

// An item of a size that takes several frames.
func TestLargeItems(t *testing.T) {
	d := journaltest.New()
	a, _, err := archive.Open(d, bound{})
	must(t, err)
	large := archive.Item{Key: "large"}
	noise := uint32(1)
	for i := range 40 {
		p := make([]byte, 30_000)
		for k := range p {
			noise = noise*1664525 + 1013904223
			p[k] = byte(noise >> 24)
		}
		large.Entries = append(large.Entries, archive.Entry{Seq: uint64(i + 1), Payload: p})
	}
	other := large
	other.Key = "live"
	must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 2, Sequence: 50}, Live: []archive.Item{other}, Move: []archive.Moved{{Item: large}}}))
	a, _, err = archive.Open(d, bound{})
	must(t, err)
	if it, err := a.Find("large"); err != nil || !reflect.DeepEqual(it, large) {
		t.Errorf("%d entries, %v", len(it.Entries), err)
	}
	if live := a.Live(); len(live) != 1 || !reflect.DeepEqual(live[0], other) {
		t.Errorf("%d live", len(live))
	}
}

func TestWhatCannotBeKeptIsRefusedBeforeAnythingIsWritten(t *testing.T) {
	whole := func(change func(*archive.Moved)) archive.Change {
		m := moved(1, 0)
		change(&m)
		return archive.Change{Move: []archive.Moved{m}}
	}
	big := make([]byte, 1<<20)
	for what, c := range map[string]archive.Change{
		"key":     whole(func(m *archive.Moved) { m.Key = strings.Repeat("k", archive.MaxKey+1) }),
		"summary": whole(func(m *archive.Moved) { m.Summary = big }),
		"order": whole(func(m *archive.Moved) {
			m.Entries = []archive.Entry{{Seq: 2, Payload: []byte("a")}, {Seq: 1, Payload: []byte("b")}}
		}),
		"empty":    whole(func(m *archive.Moved) { m.Entries = []archive.Entry{{Seq: 2}} }),
		"too much": whole(func(m *archive.Moved) { m.Entries = slices.Repeat([]archive.Entry{{Seq: 2, Payload: big}}, 8) }),
		"live":     {Live: []archive.Item{{Key: "a", Entries: slices.Repeat([]archive.Entry{{Seq: 2, Payload: big}}, 8)}}},
	} {
		d := journaltest.New()
		a, _ := opened(t, d)
		if err := a.Commit(c); err == nil {
			t.Errorf("%s: it was taken", what)
		}
		if names, _ := d.Names(); len(names) > 0 {
			t.Errorf("%s: %q were written", what, names)
		}
	}
}

// How often an item is written when few move at a time, and how many volumes
// there are then.
func TestMergingStaysCheap(t *testing.T) {
	d := journaltest.New()
	a, _ := opened(t, d)
	written := 0
	const items = 600
	for n := 0; n < items; n += 3 {
		before := d.Count(journaltest.Write)
		must(t, a.Commit(archive.Change{Start: a.Start(), Move: several(n, n+2)}))
		written += d.Count(journaltest.Write) - before
	}
	names, _ := d.Names()
	full := int(a.Bytes()) / fullVolume
	t.Logf("%d commits, %d writes, %d bytes in %d files", items/3, written, a.Bytes(), len(names))
	if len(names)-2 > full+8 {
		t.Errorf("%d volumes where %d would be full", len(names)-2, full)
	}
	keys := map[string]bool{}
	list, err := a.Before("z", items+1)
	must(t, err)
	for _, l := range list {
		keys[l.Key] = true
	}
	if len(keys) != items {
		t.Errorf("%d items are listed, not %d", len(keys), items)
	}
}

// Opening reads the directory's file and no volume; finding reads a few pages.
func TestLittleIsRead(t *testing.T) {
	d, want := made(t)
	names, _ := d.Names()
	before := d.Count(journaltest.Open)
	a, _ := opened(t, d)
	if n := d.Count(journaltest.Open) - before; n != 1 {
		t.Errorf("opening opened %d of %d files", n, len(names))
	}
	for n := range maps.Keys(want) {
		before := d.Count(journaltest.Read)
		if _, err := a.Find(keyOf(n)); err != nil || d.Count(journaltest.Read)-before > 12 {
			t.Errorf("item %d: %v after %d reads", n, err, d.Count(journaltest.Read)-before)
		}
	}
}

// Whatever fails in a commit, the first or a later one, the next one of the same
// program stands, and nothing superfluous is left.
func TestACommitAfterOneThatFailed(t *testing.T) {
	tried := 0
	for commits := range 2 {
		for _, op := range []journaltest.Op{journaltest.Open, journaltest.Write, journaltest.Sync, journaltest.Remove, journaltest.Read} {
			for at := 1; ; at++ {
				d := journaltest.New()
				a, _ := opened(t, d)
				want := map[int]int{}
				for n := range commits {
					must(t, a.Commit(archive.Change{Start: journal.Start{Segment: 2, Sequence: 1}, Move: several(n+1, n+1)}))
					want[n+1] = 0
				}
				d.Fault = &journaltest.Fault{Op: op, At: d.Count(op) + at, Through: 50}
				change := archive.Change{Start: journal.Start{Segment: 3, Sequence: 2}, Move: several(10, 30)}
				if err := a.Commit(change); err == nil {
					break
				}
				must(t, a.Commit(change))
				for n := 10; n <= 30; n++ {
					want[n] = 0
				}
				holds(t, "after one that failed", a, want)
				a, _ = opened(t, d)
				holds(t, "opened again", a, want)
				if n := len(namesOf(d, "contents-")); n != 2 {
					t.Errorf("%s %d: %d files of directories", op, at, n)
				}
				tried++
			}
		}
	}
	t.Logf("%d failures tried", tried)
}

func TestNamesOfFiles(t *testing.T) {
	for name, want := range map[string]bool{
		"archive-00000001": true, "contents-00000012": true, "archive-123456789": true,
		"archive-1": false, "archive-00000000": false, "journal-00000001": false, "contents-": false, "keys-00000001": false, "sealed-archive-00000001": false,
	} {
		if archive.IsFile(name) != want {
			t.Errorf("%q: %v", name, !want)
		}
	}
}
