package archive_test

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

func namesOf(d *journaltest.Disk, prefix string) (list []string) {
	names, _ := d.Names()
	for _, name := range names {
		if strings.HasPrefix(name, prefix) {
			list = append(list, name)
		}
	}
	return list
}

// honest finds every item and wants it whole, or its damage told.
func honest(t *testing.T, what string, a *archive.Archive, want map[int]int) (lost int) {
	t.Helper()
	listed := map[string]bool{}
	list, err := a.Before("z", 100)
	must(t, err)
	for _, l := range list {
		listed[l.Key] = true
	}
	for n := range 80 {
		it, err := a.Find(keyOf(n))
		version, there := want[n]
		switch {
		case errors.Is(err, archive.ErrDamaged):
			lost++
		case !there && !errors.Is(err, archive.ErrNone):
			t.Fatalf("%s: item %d was never there: %v", what, n, err)
		case there && (err != nil || !reflect.DeepEqual(it, item(n, version))):
			t.Fatalf("%s: item %d is silently wrong: %+v, %v", what, n, it, err)
		case there && !listed[keyOf(n)]:
			t.Fatalf("%s: item %d is there and not listed", what, n)
		}
	}
	return lost
}

// One altered byte of a volume costs one item at most, and that is told.
func TestEveryByteOfVolumesAltered(t *testing.T) {
	whole, want := made(t)
	tried, most := 0, 0
	for _, name := range namesOf(whole, "archive-") {
		for at := range whole.Bytes(name) {
			d := whole.Copy()
			b := d.Bytes(name)
			b[at] ^= 0x10
			d.Put(name, b)
			a, _ := opened(t, d)
			lost := honest(t, name, a, want)
			most = max(most, lost)
			// A further commit takes up what it can, and hides nothing.
			must(t, a.Commit(archive.Change{Start: a.Start(), Live: a.Live(), Move: []archive.Moved{moved(40, 0)}}))
			want[40] = 0
			a, _ = opened(t, d)
			if again := honest(t, name+" after a commit", a, want); again != lost {
				t.Fatalf("%s byte %d: %d items lost, after a commit %d", name, at, lost, again)
			}
			delete(want, 40)
			tried++
		}
	}
	t.Logf("%d alterations tried, at most %d items lost by one", tried, most)
	if most != 1 {
		t.Errorf("one altered byte cost %d items", most)
	}
}

func TestEveryCutOfVolumes(t *testing.T) {
	whole, want := made(t)
	tried := 0
	for _, name := range namesOf(whole, "archive-") {
		size := len(whole.Bytes(name))
		for n := 0; n < size; n += 3 {
			d := whole.Copy()
			d.Put(name, d.Bytes(name)[:n])
			a, _ := opened(t, d)
			honest(t, name, a, want)
			tried++
		}
		d := whole.Copy()
		must(t, d.Remove(name))
		a, r := opened(t, d)
		if lost := honest(t, name, a, want); lost == 0 || !slices.Equal(r.Lost, []string{name}) {
			t.Errorf("%s is gone: %d items lost, %+v", name, lost, r)
		}
		if slices.Contains(namesOf(d, "archive-"), name) {
			t.Errorf("%s was made by reading it", name)
		}
		tried++
	}
	t.Logf("%d cuts tried", tried)
}

// A page and an item of another page: what the page listed is found all the
// same, and what the item was called is known.
func TestSeveralPlacesAltered(t *testing.T) {
	whole, want := made(t)
	name := namesOf(whole, "archive-")[0]
	size := len(whole.Bytes(name))
	for at := journal.HeaderBytes; at < size; at += 41 {
		for other := at + 300; other < size; other += 307 {
			d := whole.Copy()
			b := d.Bytes(name)
			b[at] ^= 1
			b[other] ^= 1
			d.Put(name, b)
			a, _ := opened(t, d)
			honest(t, name, a, want)
		}
	}
}

// Either file of a commit stands in for the other.
func TestEveryByteOfOneDirectoryAltered(t *testing.T) {
	whole, want := made(t)
	live := []archive.Item{item(90, 0), item(91, 0)}
	tried := 0
	for i, name := range namesOf(whole, "contents-") {
		for at := range whole.Bytes(name) {
			for _, change := range []func([]byte) []byte{
				func(b []byte) []byte { b[at] ^= 0x10; return b },
				func(b []byte) []byte { return b[:at] },
			} {
				d := whole.Copy()
				d.Put(name, change(d.Bytes(name)))
				a, r := opened(t, d)
				if !reflect.DeepEqual(a.Live(), live) || string(a.Note()) != "three" || r.Unsettled != (i == 1) {
					t.Fatalf("%s byte %d: %+v", name, at, r)
				}
				tried++
			}
		}
	}
	d := whole.Copy()
	a, _ := opened(t, d)
	holds(t, "whole", a, want)
	t.Logf("%d alterations tried", tried)
}

// Both files of the only commit are altered: what cannot be read is told.
func TestEveryByteOfBothDirectoriesAltered(t *testing.T) {
	whole, _ := made(t)
	names := namesOf(whole, "contents-")
	refused, doubtful := 0, 0
	for at := range whole.Bytes(names[0]) {
		d := whole.Copy()
		for _, name := range names {
			b := d.Bytes(name)
			b[at] ^= 0x10
			d.Put(name, b)
		}
		a, r, err := archive.OpenSmall(d, bound{}, fullVolume, fullPage)
		switch {
		case err == nil && string(a.Note()) == "three" && len(a.Live())+len(r.Doubtful) == 2:
			doubtful += len(r.Doubtful)
		case errors.Is(err, archive.ErrDamaged):
			refused++
		default:
			t.Fatalf("byte %d: %+v, %v", at, r, err)
		}
	}
	t.Logf("of %d bytes altered in both files, %d left no commit, %d a live item in doubt", len(whole.Bytes(names[0])), refused, doubtful)
	if refused == 0 || doubtful == 0 {
		t.Error("one of the two never happened")
	}
}

// What both files lost is taken from the one that still has it.
func TestTheTwoFilesFillEachOther(t *testing.T) {
	d, _ := made(t)
	names := namesOf(d, "contents-")
	for i, name := range names {
		b := d.Bytes(name)
		at := journal.HeaderBytes + 30
		if i == 1 {
			_, _, rest, _ := journal.CutFrame(b[journal.HeaderBytes:])
			at = len(b) - len(rest) + 30
		}
		b[at] ^= 1
		d.Put(name, b)
	}
	a, r := opened(t, d)
	if live := a.Live(); len(live) != 2 || len(r.Doubtful) > 0 || len(r.Spoilt) != 2 {
		t.Errorf("%d live, %+v", len(live), r)
	}
}

// Forget has to write a volume anew of which something cannot be read: the
// keys stay, and say so.
func TestWhatIsGivenUpKeepsItsKey(t *testing.T) {
	whole, want := made(t)
	delete(want, 12)
	tried := 0
	for _, name := range namesOf(whole, "archive-") {
		for at := 0; at < len(whole.Bytes(name)); at += 5 {
			d := whole.Copy()
			b := d.Bytes(name)
			b[at] ^= 0x10
			d.Put(name, b)
			a, _ := opened(t, d)
			damaged := map[int]bool{}
			for n := range 80 {
				if _, err := a.Find(keyOf(n)); errors.Is(err, archive.ErrDamaged) {
					damaged[n] = true
				}
			}
			must(t, a.Commit(archive.Change{Start: a.Start(), Live: a.Live(), Forget: []string{keyOf(12)}}))
			a, _ = opened(t, d)
			for n := range want {
				it, err := a.Find(keyOf(n))
				if damaged[n] != errors.Is(err, archive.ErrDamaged) || err == nil && !reflect.DeepEqual(it, item(n, want[n])) {
					t.Fatalf("%s byte %d: item %d was damaged %v, is %v", name, at, n, damaged[n], err)
				}
			}
			if _, err := a.Find(keyOf(12)); !errors.Is(err, archive.ErrNone) {
				t.Fatalf("%s byte %d: item 12 was forgotten: %v", name, at, err)
			}
			tried++
		}
	}
	t.Logf("%d alterations tried", tried)
}

func TestThreeAnswers(t *testing.T) {
	whole, _ := made(t)
	name := namesOf(whole, "contents-")[1]
	newer := journal.Kind{Magic: archive.TableKind.Magic, Version: 2}
	for _, c := range []struct {
		what string
		put  map[string][]byte
		want error
	}{
		{"newer", map[string][]byte{name: newer.AppendHeader(nil, 6, 1)}, journal.ErrTooNew},
		{"newer beside ours", map[string][]byte{"contents-00000007": newer.AppendHeader(nil, 7, 1)}, journal.ErrTooNew},
		{"not ours", map[string][]byte{name: []byte("another program's words"), "contents-00000005": []byte("another program's words")}, journal.ErrNotOurs},
		{"damaged", map[string][]byte{name: whole.Bytes(name)[:50], "contents-00000005": whole.Bytes("contents-00000005")[:50]}, archive.ErrDamaged},
	} {
		d := whole.Copy()
		for name, b := range c.put {
			d.Put(name, b)
		}
		before := d.Copy()
		_, _, err := archive.OpenSmall(d, bound{}, fullVolume, fullPage)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.what, err)
		}
		for _, name := range namesOf(before, "") {
			if !bytes.Equal(d.Bytes(name), before.Bytes(name)) {
				t.Errorf("%s: %s was changed", c.what, name)
			}
		}
	}
}

// A file of somebody else with a name of ours stays where it is.
func TestAnothersFileStays(t *testing.T) {
	d, want := made(t)
	d.Put("archive-00000077", []byte("another program's words, and quite a few of them"))
	d.Put("contents-00000001", []byte("another program's words, and quite a few of them"))
	a, _ := opened(t, d)
	must(t, a.Commit(archive.Change{Start: a.Start(), Live: a.Live(), Move: several(40, 41)}))
	want[40], want[41] = 0, 0
	holds(t, "beside another's", a, want)
	if d.Bytes("archive-00000077") == nil || d.Bytes("contents-00000001") == nil {
		t.Error("another's file was removed")
	}
}

// A wrong key opens nothing and is told from an empty disk.
func TestAnotherKey(t *testing.T) {
	d, _ := made(t)
	if _, _, err := archive.Open(d, journal.Plain{}); !errors.Is(err, archive.ErrDamaged) {
		t.Errorf("%v", err)
	}
	if _, _, err := archive.Open(d, shut{}); !errors.Is(err, errShut) {
		t.Errorf("%v", err)
	}
}

var errShut = errors.New("locked")

type shut struct{ bound }

func (shut) Open(string, uint64, []byte) ([]byte, error) { return nil, errShut }

// Whatever length a file claims, no more is allocated than it can hold.
func TestForgedLengths(t *testing.T) {
	huge := archive.Sheet(1, 1, 1<<31, []byte{0x10, 'a'})
	long := archive.Sheet(1, 4, archive.MaxSheet, bytes.Repeat([]byte{255}, 2000))
	for _, frame := range [][]byte{huge, long} {
		d := journaltest.New()
		d.Put("contents-00000002", append(archive.TableKind.AppendHeader(nil, 2, 1), frame...))
		n := testing.AllocsPerRun(1, func() {
			if _, _, err := archive.Open(d, journal.Plain{}); !errors.Is(err, archive.ErrDamaged) {
				t.Errorf("%v", err)
			}
		})
		if n > 200 {
			t.Errorf("%v allocations", n)
		}
	}
}
