package journaltest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"

	"fourchette/core/journal"
)

// Check is one thing that every disk must do.
type Check struct {
	Name string
	Run  func(d journal.Disk) error // on an empty disk
}

// Suite runs all checks, each on a fresh empty disk, and returns every failure
// by name. It needs no testing package, so a host can run it where its disk is:
// in a browser, on a phone. It cannot prove that a sync outlives a power cut;
// that is the disk's word.
func Suite(fresh func() (journal.Disk, error)) error {
	var failures []error
	for _, c := range Checks() {
		d, err := fresh()
		if err == nil {
			err = c.Run(d)
		}
		if err != nil {
			failures = append(failures, fmt.Errorf("%s: %w", c.Name, err))
		}
	}
	return errors.Join(failures...)
}

// Checks lists what every disk must do.
func Checks() []Check {
	return []Check{
		{"an empty disk has no names", emptyDisk},
		{"opening makes an empty file", openMakes},
		{"what is written is read", writeRead},
		{"reading at the end says so", readEnd},
		{"a gap is filled with zeros", gapIsZero},
		{"truncating cuts and grows", truncates},
		{"a closed file keeps its content", closeKeeps},
		{"a removed file is gone", removes},
		{"a closed file answers no more", closedRefuses},
		{"two files are two files", twoFiles},
		{"a journal on it keeps its entries", journalKeeps},
		{"a journal on it grows over several files", journalGrows},
		{"a journal on it survives a torn end", journalTorn},
	}
}

// on opens a file for the time of do.
func on(d journal.Disk, name string, do func(journal.File) error) error {
	f, err := d.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(do(f), f.Close())
}

func put(d journal.Disk, name string, at int64, text string) error {
	return on(d, name, func(f journal.File) error {
		n, err := f.WriteAt([]byte(text), at)
		if err == nil && n != len(text) {
			err = fmt.Errorf("wrote %d of %d bytes without an error", n, len(text))
		}
		return errors.Join(err, f.Sync())
	})
}

func holds(d journal.Disk, name, want string) error {
	return on(d, name, func(f journal.File) error {
		size, err := f.Size()
		if err != nil || size != int64(len(want)) {
			return fmt.Errorf("size %d, want %d: %w", size, len(want), err)
		}
		got := make([]byte, size)
		if n, err := f.ReadAt(got, 0); n != len(got) || err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("read %d of %d bytes: %w", n, len(got), err)
		}
		if string(got) != want {
			return fmt.Errorf("holds %q, want %q", got, want)
		}
		return nil
	})
}

func named(d journal.Disk, want ...string) error {
	got, err := d.Names()
	if err != nil {
		return err
	}
	got = slices.Sorted(slices.Values(got))
	if !slices.Equal(got, want) {
		return fmt.Errorf("names %q, want %q", got, want)
	}
	return nil
}

func emptyDisk(d journal.Disk) error { return named(d) }

func openMakes(d journal.Disk) error {
	return errors.Join(on(d, "a", journal.File.Sync), named(d, "a"), holds(d, "a", ""))
}

func writeRead(d journal.Disk) error {
	return errors.Join(put(d, "a", 0, "first"), put(d, "a", 5, "second"), holds(d, "a", "firstsecond"),
		put(d, "a", 1, "IR"), holds(d, "a", "fIRstsecond"))
}

func readEnd(d journal.Disk) error {
	if err := put(d, "a", 0, "12345"); err != nil {
		return err
	}
	return on(d, "a", func(f journal.File) error {
		b := make([]byte, 4)
		if n, err := f.ReadAt(b, 3); n != 2 || !errors.Is(err, io.EOF) || string(b[:2]) != "45" {
			return fmt.Errorf("over the end: %d, %v, %q", n, err, b)
		}
		if n, err := f.ReadAt(b, 5); n != 0 || !errors.Is(err, io.EOF) {
			return fmt.Errorf("at the end: %d, %v", n, err)
		}
		if n, err := f.ReadAt(b, 50); n != 0 || !errors.Is(err, io.EOF) {
			return fmt.Errorf("beyond the end: %d, %v", n, err)
		}
		return nil
	})
}

func gapIsZero(d journal.Disk) error {
	return errors.Join(put(d, "a", 3, "x"), holds(d, "a", "\x00\x00\x00x"))
}

func truncates(d journal.Disk) error {
	cut := func(size int64) error {
		return on(d, "a", func(f journal.File) error { return errors.Join(f.Truncate(size), f.Sync()) })
	}
	return errors.Join(put(d, "a", 0, "12345"), cut(2), holds(d, "a", "12"), cut(4), holds(d, "a", "12\x00\x00"), cut(0), holds(d, "a", ""))
}

func closeKeeps(d journal.Disk) error {
	return errors.Join(put(d, "a", 0, "kept"), holds(d, "a", "kept"), holds(d, "a", "kept"))
}

func removes(d journal.Disk) error {
	return errors.Join(put(d, "a", 0, "old"), put(d, "b", 0, "stays"), d.Remove("a"), named(d, "b"),
		holds(d, "a", ""), holds(d, "b", "stays"))
}

func closedRefuses(d journal.Disk) error {
	f, err := d.Open("a")
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if _, err := f.WriteAt([]byte("x"), 0); err == nil {
		return errors.New("it was written to after it was closed")
	}
	if f.Sync() == nil {
		return errors.New("it was synced after it was closed")
	}
	return nil
}

func twoFiles(d journal.Disk) error {
	one, err := d.Open("one")
	if err != nil {
		return err
	}
	two, err := d.Open("two")
	if err != nil {
		return errors.Join(err, one.Close())
	}
	_, err1 := one.WriteAt([]byte("1"), 0)
	_, err2 := two.WriteAt([]byte("22"), 0)
	return errors.Join(err1, err2, one.Sync(), two.Sync(), one.Close(), two.Close(),
		named(d, "one", "two"), holds(d, "one", "1"), holds(d, "two", "22"))
}

// payload is the n-th entry that the checks write; sizes differ.
func payload(n, size int) []byte {
	return bytes.Repeat([]byte{byte(n), byte(n >> 8), 0xa5}, 1+size)
}

func fill(d journal.Disk, from, to, size int) error {
	j, _, err := journal.Open(d)
	if err != nil {
		return err
	}
	for n := from; n < to && err == nil; n++ {
		err = j.Append(payload(n, size))
	}
	return errors.Join(err, j.Close())
}

// entries checks that the journal holds the payloads 0 to n-1 and no damage.
func entries(d journal.Disk, n, size int) (journal.Report, error) {
	j, r, err := journal.Open(d)
	if err != nil {
		return r, err
	}
	got := 0
	err = j.Each(func(seq uint64, p []byte) error {
		if seq != uint64(got)+1 || !bytes.Equal(p, payload(got, size)) {
			return fmt.Errorf("entry %d has sequence %d and other bytes than were appended", got+1, seq)
		}
		got++
		return nil
	})
	if err == nil && (got != n || r.Frames != n || len(r.Damaged) > 0 || r.Missing > 0 || r.Unconfirmed != nil) {
		err = fmt.Errorf("%d entries, want %d; %+v", got, n, r)
	}
	return r, errors.Join(err, j.Close())
}

func journalKeeps(d journal.Disk) error {
	if err := errors.Join(fill(d, 0, 20, 5), fill(d, 20, 30, 5)); err != nil {
		return err
	}
	_, err := entries(d, 30, 5)
	return err
}

func journalGrows(d journal.Disk) error {
	const size, count = 20_000, 80 // 60 kB each, 4.8 MB in all
	if err := fill(d, 0, count, size); err != nil {
		return err
	}
	r, err := entries(d, count, size)
	if err == nil && r.Segments < 2 {
		err = fmt.Errorf("%d segments", r.Segments)
	}
	return err
}

func journalTorn(d journal.Disk) error {
	if err := fill(d, 0, 3, 5); err != nil {
		return err
	}
	names, err := d.Names()
	if err != nil {
		return err
	}
	err = on(d, names[0], func(f journal.File) error {
		size, err := f.Size()
		if err != nil {
			return err
		}
		_, err = f.WriteAt([]byte{9, 0, 0, 0, 4}, size)
		return errors.Join(err, f.Sync())
	})
	if err != nil {
		return err
	}
	if r, err := entries(d, 3, 5); err != nil || !r.TornTail {
		return fmt.Errorf("torn tail not told: %+v, %w", r, err)
	}
	if err := fill(d, 3, 5, 5); err != nil {
		return err
	}
	if r, err := entries(d, 5, 5); err != nil || r.TornTail || r.Segments != 2 {
		return fmt.Errorf("after the torn tail: %+v, %w", r, err)
	}
	return nil
}
