package archive

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fourchette/core/arrange"
	"fourchette/core/journal"
)

// The answers a caller must tell apart, beside journal.ErrNotOurs and
// journal.ErrTooNew.
var (
	// ErrNone: nothing is kept under this key.
	ErrNone = errors.New("nothing is kept under this key")
	// ErrDamaged: something that is kept cannot be read. Of an item: what comes
	// with it is what could be read, and not all of it.
	ErrDamaged = errors.New("something in the archive cannot be read")
	// ErrTooLarge: more than a sheet or a key can hold. Nothing was changed.
	ErrTooLarge = errors.New("too much for the archive")
	// ErrLeft: the commit stands, and files that it made superfluous could not be
	// removed. The next one tries again.
	ErrLeft = errors.New("old files of the archive could not be removed")
)

// MaxKey is the longest key, in bytes.
const MaxKey = 64

// Report tells what Open found.
type Report struct {
	// Spoilt are files of commits that are torn or damaged: most often what a cut
	// left, and the commit before it stands.
	Spoilt []string
	// Doubtful are the keys of live items that cannot be read, from neither file
	// of the commit.
	Doubtful []string
	// Unsettled: a file of a later commit is there and was not taken. End the
	// journal's segment before anything is appended ([journal.Journal.End]).
	Unsettled bool
	// Orphans: there are volumes and no directory. A first commit that was cut
	// leaves them, and then the journal has all; if it has not, [Salvage].
	Orphans bool
	// Lost are the volumes that are not on the disk any more, or too short.
	Lost []string
}

// Archive is an open archive. It is for one goroutine, and for one writer on
// the disk at a time.
type Archive struct {
	disk   journal.Disk
	sealer journal.Sealer
	sizes
	dir    *directory
	live   []Item
	lastOf map[string]uint64  // highest number of a file there is, by prefix
	lost   map[uint64]bool    // volumes that are not there
	mended map[uint64]*mended // indexes that were made anew from the items
	spoilt map[uint64]bool    // volumes in which an item cannot be read
}

// Open opens the archive on a disk; a disk without one is an empty archive. It
// reads one file and changes nothing. Its errors are ErrDamaged when no commit
// can be read and there was one, journal.ErrNotOurs, journal.ErrTooNew, and
// those of disk and sealer.
func Open(d journal.Disk, s journal.Sealer) (*Archive, Report, error) {
	return open(d, s, usual)
}

// sizes are those from which on something is full, in bytes: a volume, so that
// no commit writes more than a few times that, and a page, unpacked.
type sizes struct {
	full int64
	page int
}

var usual = sizes{full: 8 << 20, page: 8 << 10}

func empty(d journal.Disk, s journal.Sealer, z sizes) *Archive {
	return &Archive{
		disk: d, sealer: s, sizes: z, dir: &directory{}, lastOf: map[string]uint64{}, lost: map[uint64]bool{},
		mended: map[uint64]*mended{}, spoilt: map[uint64]bool{},
	}
}

func open(d journal.Disk, s journal.Sealer, z sizes) (*Archive, Report, error) {
	a := empty(d, s, z)
	there, err := a.list()
	if err != nil {
		return nil, Report{}, err
	}
	r, err := a.choose(there[tablePrefix])
	if err != nil {
		return nil, Report{}, err
	}
	r.Orphans = a.dir.commit == 0 && len(there[volumePrefix]) > 0
	for _, v := range a.dir.volumes {
		if !slices.Contains(there[volumePrefix], v.number) {
			a.lost[v.number] = true
			r.Lost = append(r.Lost, v.name())
		}
	}
	return a, r, nil
}

// list finds the numbers of the files by prefix, the highest first.
func (a *Archive) list() (map[string][]uint64, error) {
	names, err := a.disk.Names()
	if err != nil {
		return nil, fmt.Errorf("list the files: %w", err)
	}
	names = append([]string(nil), names...)
	arrange.By(names, func(a, b string) int { // a longer number is a higher one
		return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(b, a))
	})
	there := map[string][]uint64{}
	for _, name := range names {
		for _, prefix := range []string{tablePrefix, volumePrefix} {
			if n := fileNumber(prefix, name); n > 0 {
				there[prefix] = append(there[prefix], n)
				a.lastOf[prefix] = max(a.lastOf[prefix], n)
			}
		}
	}
	return there, nil
}

// table is what was found in one file of a commit.
type table struct {
	number uint64
	look   journal.Look
	dir    *directory
	live   []Item
	sealed error // why the sealer did not open some of it
}

// whole: the directory is the last sheet of a commit, so that with it all is
// there, if none before it is gone.
func (t *table) whole() bool {
	return t.look.Whole && t.dir != nil && t.sealed == nil && len(t.live) == len(t.dir.live)
}

func (a *Archive) readTable(number uint64) (t *table, err error) {
	t = &table{number: number}
	name := fileName(tablePrefix, number)
	var j joiner
	err = a.with(name, func(f journal.File) error {
		t.look, err = tables.Frames(f, name, number, func(at int64, seq uint64, sealed []byte) error {
			size := int64(len(sealed) + journal.FrameBytes)
			plain, err := a.sealer.Open(name, seq, bytes.Clone(sealed))
			if err != nil {
				t.sealed = fmt.Errorf("%s: %w", name, err)
			} else if s := j.add(at, seq, size, plain); s != nil {
				t.take(s)
			}
			return nil
		})
		return err
	})
	return t, err
}

func (t *table) take(s *sheet) {
	if b, ok := s.content(itemSheet); ok {
		if it, ok := readItem(b); ok {
			t.live = append(t.live, it)
		}
	}
	if b, ok := s.content(directorySheet); ok {
		if d, ok := readDirectory(b); ok {
			t.dir = d
		}
	}
}

// choose takes the commit that counts: the highest that is whole. A lower one
// that is still there is complete, for its files are the first to be removed.
// Where none is whole, the highest whose directory can be read counts, and
// what is missing is taken from its other file.
func (a *Archive) choose(numbers []uint64) (r Report, err error) {
	var best *table
	var sealed error
	ours, theirs := 0, ""
	for _, n := range numbers {
		t, err := a.readTable(n)
		if err != nil {
			return Report{}, err
		}
		if t.look.Ours {
			ours++
		} else {
			theirs = fileName(tablePrefix, n)
		}
		if t.whole() {
			best, r.Doubtful = t, nil
			break
		}
		r.Spoilt = append(r.Spoilt, fileName(tablePrefix, n))
		sealed = errors.Join(sealed, t.sealed)
		switch {
		case best == nil && t.dir != nil:
			best = t
		case best != nil && t.dir != nil && t.dir.commit == best.dir.commit:
			best.live = append(best.live, t.live...)
		}
	}
	switch {
	case best != nil:
		r.Unsettled = best.number != numbers[0]
		r.Doubtful = a.adopt(best)
		return r, nil
	case ours == 0 && theirs != "":
		return Report{}, fmt.Errorf("%w: %s", journal.ErrNotOurs, theirs)
	case sealed != nil:
		return Report{}, fmt.Errorf("%w: %w", ErrDamaged, sealed)
	case neverMade(numbers):
		r.Unsettled = len(numbers) > 0
		return r, nil
	}
	return Report{}, fmt.Errorf("%w: %q", ErrDamaged, r.Spoilt)
}

// neverMade: the first commit stands in two files before anything is removed.
func neverMade(numbers []uint64) bool { return len(numbers) == 0 || numbers[0] == 1 }

// adopt takes a table's directory and, once each, the items it names.
func (a *Archive) adopt(t *table) (doubtful []string) {
	a.dir = t.dir
	for _, key := range t.dir.live {
		at := 0
		for at < len(t.live) && t.live[at].Key != key {
			at++
		}
		if at < len(t.live) {
			a.live = append(a.live, t.live[at])
		} else {
			doubtful = append(doubtful, key)
		}
	}
	return doubtful
}

// with opens a file for the time of do.
func (a *Archive) with(name string, do func(journal.File) error) error {
	f, err := a.disk.Open(name)
	if err != nil {
		return fmt.Errorf("open %s: %w", name, err)
	}
	return errors.Join(do(f), f.Close())
}

// Start is where the journal begins that goes on after the last commit.
func (a *Archive) Start() journal.Start { return a.dir.start }

// Keep lists the segments before Start that stay, because something in them
// could not be read.
func (a *Archive) Keep() []uint64 { return a.dir.keep }

// Note is the caller's note of the last commit.
func (a *Archive) Note() []byte { return a.dir.note }

// Live hands out the live items of the last commit, once: the archive then lets
// go of them.
func (a *Archive) Live() []Item {
	live := a.live
	a.live = nil
	return live
}

// Bytes is the size of all volumes.
func (a *Archive) Bytes() int64 {
	sum := int64(0)
	for _, v := range a.dir.volumes {
		sum += v.size
	}
	return sum
}
