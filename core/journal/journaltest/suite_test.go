package journaltest

import (
	"errors"
	"math/rand/v2"
	"testing"

	"fourchette/core/journal"
)

func TestTheDiskInMemoryPassesTheSuite(t *testing.T) {
	if err := Suite(func() (journal.Disk, error) { return New(), nil }); err != nil {
		t.Fatal(err)
	}
}

// spoilt is a disk that breaks one promise, to see that the suite notices.
type spoilt struct {
	*Disk
	file func(journal.File) journal.File
}

func (d spoilt) Open(name string) (journal.File, error) {
	f, err := d.Disk.Open(name)
	if err != nil {
		return nil, err
	}
	return d.file(f), nil
}

type (
	shortWrites  struct{ journal.File }
	noTruncate   struct{ journal.File }
	silentEnd    struct{ journal.File }
	writesAtZero struct{ journal.File }
)

func (f shortWrites) WriteAt(p []byte, off int64) (int, error) {
	return f.File.WriteAt(p[:len(p)-1], off)
}
func (noTruncate) Truncate(int64) error { return nil }
func (f silentEnd) ReadAt(p []byte, off int64) (int, error) {
	n, _ := f.File.ReadAt(p, off)
	return n, nil
}
func (f writesAtZero) WriteAt(p []byte, _ int64) (int, error) { return f.File.WriteAt(p, 0) }

func TestTheSuiteNoticesABadDisk(t *testing.T) {
	for name, file := range map[string]func(journal.File) journal.File{
		"short writes":   func(f journal.File) journal.File { return shortWrites{f} },
		"no truncate":    func(f journal.File) journal.File { return noTruncate{f} },
		"silent end":     func(f journal.File) journal.File { return silentEnd{f} },
		"writes at zero": func(f journal.File) journal.File { return writesAtZero{f} },
	} {
		if Suite(func() (journal.Disk, error) { return spoilt{New(), file}, nil }) == nil {
			t.Errorf("%s: the suite noticed nothing", name)
		}
	}
	if err := Suite(func() (journal.Disk, error) { return nil, ErrFault }); !errors.Is(err, ErrFault) {
		t.Errorf("no disk at all: %v", err)
	}
}

func TestPowerTakesWhatWasNotSynced(t *testing.T) {
	d := New()
	f, _ := d.Open("a")
	must(t, f, "kept", 0)
	if err := f.Sync(); err != nil {
		t.Fatal(err)
	}
	must(t, f, "lost", 4)
	must(t, f, "K", 0)
	if d.Unsynced() != 2 || d.UnsyncedBytes() != 5 || string(d.Bytes("a")) != "Keptlost" {
		t.Errorf("%d unsynced, %q", d.Unsynced(), d.Bytes("a"))
	}
	if got := string(d.Copy().Lose().Bytes("a")); got != "kept" {
		t.Errorf("after power loss %q", got)
	}
	if got := string(d.Copy().Tear(2).Bytes("a")); got != "keptlo" {
		t.Errorf("torn after two bytes %q", got)
	}
	if got := string(d.Copy().Kill().Bytes("a")); got != "Keptlost" {
		t.Errorf("killed %q", got)
	}
	seen := map[string]bool{}
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		seen[string(d.Copy().Shuffle(r, 2).Bytes("a"))] = true
	}
	for _, want := range []string{"kept", "Kept", "kept\x00\x00st", "Keptlost", "keptlo"} {
		if !seen[want] {
			t.Errorf("shuffling never gave %q", want)
		}
	}
}

func TestAFileNeverSyncedIsGone(t *testing.T) {
	d := New()
	f, _ := d.Open("a")
	must(t, f, "x", 0)
	if names, _ := d.Lose().Names(); len(names) != 0 {
		t.Errorf("names %q", names)
	}
	if _, err := f.WriteAt([]byte("x"), 0); err == nil {
		t.Error("a handle of before the power cut still works")
	}
}

func TestFaults(t *testing.T) {
	d := New()
	d.Fault = &Fault{Op: Write, At: 2, Through: 1}
	f, _ := d.Open("a")
	must(t, f, "ab", 0)
	if n, err := f.WriteAt([]byte("cd"), 2); n != 1 || !errors.Is(err, ErrFault) {
		t.Errorf("%d, %v", n, err)
	}
	must(t, f, "e", 3)
	if got := string(d.Bytes("a")); got != "abce" {
		t.Errorf("%q", got)
	}

	d = New()
	d.Fault = &Fault{Op: Sync, At: 1, Forget: true}
	f, _ = d.Open("a")
	must(t, f, "ab", 0)
	if f.Sync() == nil || f.Sync() != nil {
		t.Error("the first sync fails, the second does not")
	}
	if got := d.Bytes("a"); string(got) != "ab" || len(d.Lose().Bytes("a")) != 0 {
		t.Errorf("%q must be seen and then lost", got)
	}

	d = New()
	d.Capacity = 3
	f, _ = d.Open("a")
	if n, err := f.WriteAt([]byte("abcde"), 0); n != 3 || !errors.Is(err, journal.ErrFull) {
		t.Errorf("%d, %v", n, err)
	}
	must(t, f, "xyz", 0) // in place there is room
}

func must(t *testing.T, f journal.File, text string, at int64) {
	t.Helper()
	if _, err := f.WriteAt([]byte(text), at); err != nil {
		t.Fatal(err)
	}
}
