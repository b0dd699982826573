package journal

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Guard is the name of a file that keeps programs away from a place where no
// journal is to be any more. It is a segment of a version that no program reads,
// and nothing else: each answers ErrTooNew, but one that leaves out this name.
const Guard = "journal-99999999"

var guard = Kind{Magic: segments.Magic, Version: math.MaxUint32}.AppendHeader(nil, segmentNumber(Guard), 1)

// Guarded reports whether the guard is there, whole or not.
func Guarded(d Disk) (bool, error) {
	names, err := d.Names()
	if err != nil {
		return false, fmt.Errorf("list the files: %w", err)
	}
	return slices.Contains(names, Guard), nil
}

// PutGuard writes the guard, unless it is there and whole.
func PutGuard(d Disk) (err error) {
	f, err := d.Open(Guard)
	if err != nil {
		return fmt.Errorf("open %s: %w", Guard, err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	there := make([]byte, len(guard))
	if n, _ := f.ReadAt(there, 0); bytes.Equal(there[:n], guard) {
		return nil
	}
	if err := write(f, Guard, guard, 0); err != nil {
		return err
	}
	return sync(f, Guard)
}
