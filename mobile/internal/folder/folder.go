// Package folder keeps a journal's files in one folder of the operating
// system. Start with Open, which takes the folder for this process alone: two
// writers on one journal would spoil it.
package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"fourchette/core/journal"
)

// ErrInUse says that another program, or another part of this one, has the
// folder open.
var ErrInUse = errors.New("the folder is open already; close the other window or program first")

// ErrName is a file name that would leave the folder.
var ErrName = errors.New("not the name of a file in the folder")

// A Disk is a folder, locked until Close.
type Disk struct {
	path   string
	folder *os.File // held open for its lock and to flush its names
	once   sync.Once
	closed error
}

var _ journal.Disk = (*Disk)(nil)

// Open makes the folder if it is missing, readable by its owner only, and
// locks it. It fails with ErrInUse when somebody else holds the lock.
func Open(path string) (*Disk, error) {
	if err := os.MkdirAll(path, 0o700); err != nil {
		return nil, fmt.Errorf("cannot make the folder for records: %w", err)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the folder for records: %w", err)
	}
	if err := lock(f); err != nil {
		f.Close()
		return nil, fmt.Errorf("cannot take the folder %s: %w", path, err)
	}
	return &Disk{path: path, folder: f}, nil
}

// Close gives up the folder. Closing a nil Disk, or closing again, does
// nothing.
func (d *Disk) Close() error {
	if d == nil {
		return nil
	}
	d.once.Do(func() { d.closed = d.folder.Close() })
	return d.closed
}

// Names lists the files, sorted. What is not a plain file is left out.
func (d *Disk) Names() ([]string, error) {
	entries, err := os.ReadDir(d.path)
	if err != nil {
		return nil, err
	}
	names := make([]string, 0, len(entries))
	for _, e := range entries {
		if e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	return names, nil
}

// Open opens a file, and makes it if it is missing. A new name is flushed
// before Open returns: bytes in a file that a power cut unnames are lost.
func (d *Disk) Open(name string) (journal.File, error) {
	path, err := d.at(name)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err == nil {
		return file{f}, nil
	}
	if !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	f, err = os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	if err := d.folder.Sync(); err != nil {
		f.Close()
		return nil, err
	}
	return file{f}, nil
}

// Remove takes a file away, for good before it returns.
func (d *Disk) Remove(name string) error {
	path, err := d.at(name)
	if err != nil {
		return err
	}
	if err := os.Remove(path); err != nil {
		return err
	}
	return d.folder.Sync()
}

func (d *Disk) at(name string) (string, error) {
	if name == "." || name == ".." || name != filepath.Base(name) {
		return "", fmt.Errorf("%w: %q", ErrName, name)
	}
	return filepath.Join(d.path, name), nil
}

// file is an os.File that knows its size the way a journal asks for it.
type file struct{ *os.File }

// Size is the file's length in bytes.
func (f file) Size() (int64, error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}
