package vault

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"

	"fourchette/core/journal"
)

// A row is the numbered files of one series on a disk.
type row struct {
	series
	disk journal.Disk
	last uint64 // the highest number seen or written
}

// found is one file of a row.
type found struct {
	number  uint64
	is      state
	version uint32 // for newer
	body    []byte // for whole
}

// scan reads every file of the row, the highest number first.
func (r *row) scan() ([]found, error) {
	names, err := r.disk.Names()
	if err != nil {
		return nil, fmt.Errorf("list the files: %w", err)
	}
	var list []found
	for _, name := range names {
		n := r.number(name)
		if n == 0 {
			continue
		}
		b, err := r.load(name)
		if err != nil {
			return nil, err
		}
		f := found{number: n}
		f.is, f.version, f.body = r.decode(b, n)
		at := len(list)
		for at > 0 && list[at-1].number < n {
			at--
		}
		list = slices.Insert(list, at, f)
		r.last = max(r.last, n)
	}
	return list, nil
}

// load reads a file, or as much of it as shows that it is too long.
func (r *row) load(name string) (b []byte, err error) {
	f, err := r.disk.Open(name)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", name, err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	size, err := f.Size()
	if err != nil {
		return nil, fmt.Errorf("size of %s: %w", name, err)
	}
	b = make([]byte, min(size, maxFile+1))
	n, err := f.ReadAt(b, 0)
	if n < len(b) || err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("read %s: %w", name, cmp.Or(err, io.ErrUnexpectedEOF))
	}
	return b, nil
}

// write makes the next file of the row and syncs it. What it left when it
// failed is removed, if the disk still lets us.
func (r *row) write(body []byte) (uint64, error) {
	if r.last >= maxNumber {
		return 0, fmt.Errorf("%s is the last file there can be", r.name(r.last))
	}
	r.last++
	name := r.name(r.last)
	begun, err := r.put(name, r.encode(r.last, body))
	if err != nil {
		if begun {
			_ = r.disk.Remove(name)
		}
		return 0, err
	}
	return r.last, nil
}

// put writes a new file and syncs it; begun: there may be bytes of ours now.
func (r *row) put(name string, b []byte) (begun bool, err error) {
	f, err := r.disk.Open(name)
	if err != nil {
		return false, fmt.Errorf("open %s: %w", name, err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	size, err := f.Size()
	if err != nil {
		return false, fmt.Errorf("size of %s: %w", name, err)
	}
	if size != 0 {
		return false, fmt.Errorf("%s has %d bytes already: something else writes here", name, size)
	}
	n, err := f.WriteAt(b, 0)
	if err == nil && n != len(b) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return true, fmt.Errorf("write %s: %w", name, err)
	}
	if err := f.Sync(); err != nil {
		return true, fmt.Errorf("sync %s: %w", name, err)
	}
	return true, nil
}

// keep removes every file of ours but these. Files of others and of newer
// versions stay.
func (r *row) keep(numbers ...uint64) error {
	list, err := r.scan()
	if err != nil {
		return err
	}
	var errs error
	for _, f := range list {
		if f.is == foreign || f.is == newer || slices.Contains(numbers, f.number) {
			continue
		}
		if err := r.disk.Remove(r.name(f.number)); err != nil {
			errs = errors.Join(errs, fmt.Errorf("remove %s: %w", r.name(f.number), err))
		}
	}
	return errs
}

// twice writes a content as the next two files, each synced before the next
// step, and then removes all others. When it fails the row reads as before, as
// far as the disk still lets us, or as after. What cannot be removed stays for
// the next time.
func (r *row) twice(body []byte) error {
	first, err := r.write(body)
	if err != nil {
		return err
	}
	second, err := r.write(body)
	if err != nil {
		_ = r.disk.Remove(r.name(first))
		return err
	}
	_ = r.keep(first, second)
	return nil
}

// settle sees to it that the content of the file current is on the disk in two
// files and that nothing else is. With two files of that content the first was
// synced before the second was begun; one alone may be in the disk's memory
// only, and a further copy settles that without writing over it. Safe says
// whether the content will outlive a power cut, the error what else failed.
func (r *row) settle(list []found, current found) (safe bool, err error) {
	twin := slices.IndexFunc(list, func(f found) bool {
		return f.number != current.number && f.is == whole && bytes.Equal(f.body, current.body)
	})
	if twin >= 0 {
		if len(list) == 2 {
			return true, nil
		}
		return true, r.keep(current.number, list[twin].number)
	}
	second, err := r.write(current.body)
	if err != nil {
		return false, err
	}
	return true, r.keep(current.number, second)
}
