package folder

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

func mustOpen(t *testing.T, path string) *Disk {
	t.Helper()
	d, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

func TestFolderIsLocked(t *testing.T) {
	path := t.TempDir()
	d := mustOpen(t, path)
	if _, err := Open(path); !errors.Is(err, ErrInUse) {
		t.Errorf("a second owner: %v", err)
	}
	if err := errors.Join(d.Close(), d.Close()); err != nil {
		t.Fatal(err)
	}
	mustOpen(t, path)
	if err := (*Disk)(nil).Close(); err != nil {
		t.Errorf("closing no disk: %v", err)
	}
}

func TestOnlyTheOwnerReads(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b")
	d := mustOpen(t, path)
	f, err := d.Open("one")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for name, want := range map[string]os.FileMode{path: 0o700, filepath.Join(path, "one"): 0o600} {
		info, err := os.Stat(name)
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v", name, info.Mode(), err)
		}
	}
}

func TestNames(t *testing.T) {
	path := t.TempDir()
	d := mustOpen(t, path)
	if err := os.Mkdir(filepath.Join(path, "folder"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"b", "a"} {
		f, err := d.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	if got, err := d.Names(); err != nil || !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("got %q, %v", got, err)
	}
	if err := d.Remove("a"); err != nil {
		t.Fatal(err)
	}
	if got, err := d.Names(); err != nil || !slices.Equal(got, []string{"b"}) {
		t.Errorf("after removing: got %q, %v", got, err)
	}
}

func TestNamesCannotLeaveTheFolder(t *testing.T) {
	d := mustOpen(t, t.TempDir())
	for _, name := range []string{"", ".", "..", "../x", "a/b", "/etc", "a/"} {
		if f, err := d.Open(name); !errors.Is(err, ErrName) {
			t.Errorf("open %q: %v, %v", name, f, err)
		}
		if err := d.Remove(name); !errors.Is(err, ErrName) {
			t.Errorf("remove %q: %v", name, err)
		}
	}
}
