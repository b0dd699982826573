package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"fourchette/core/journal"
)

// folder is a journal's disk in a folder. Lazy, it flushes nothing: for filling.
type folder struct {
	path string
	lazy bool
}

func (d folder) Names() (names []string, err error) {
	entries, err := os.ReadDir(d.path)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names, err
}

func (d folder) Open(name string) (journal.File, error) {
	path := filepath.Join(d.path, name)
	_, missing := os.Stat(path)
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if missing != nil && !d.lazy { // the name must outlive a power cut, too
		at, err := os.Open(d.path)
		if err != nil {
			return nil, err
		}
		if err := at.Sync(); err != nil {
			return nil, err
		}
		at.Close()
	}
	return file{f, d.lazy}, nil
}

func (d folder) Remove(name string) error { return os.Remove(filepath.Join(d.path, name)) }

type file struct {
	*os.File
	lazy bool
}

func (f file) Size() (int64, error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}

func (f file) Sync() error {
	if f.lazy {
		return nil
	}
	return f.File.Sync()
}

func bytesIn(dir string) (sum int64, err error) {
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			return 0, err
		}
		sum += info.Size()
	}
	return sum, err
}

// resident is the most memory that this program has had at once, in bytes.
func resident() (int64, error) {
	f, err := os.Open("/proc/self/status")
	if err != nil {
		return 0, err
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if kb, found := strings.CutPrefix(lines.Text(), "VmHWM:"); found {
			n, err := strconv.ParseInt(strings.TrimSpace(strings.TrimSuffix(kb, "kB")), 10, 64)
			return n << 10, err
		}
	}
	return 0, fmt.Errorf("the system does not tell")
}
