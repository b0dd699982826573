package journal

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fourchette/core/arrange"
)

// The answers a caller must tell apart. Damage is no error: see [Report].
var (
	// ErrNotOurs: files with our names hold none of our bytes. Nothing was
	// changed; move them away.
	ErrNotOurs = errors.New("the records on this storage were not written by this program")
	// ErrTooNew: written by a newer version. Nothing was changed; update.
	ErrTooNew = errors.New("the records were written by a newer version of this program")
	// ErrBroken: an append failed earlier, or the journal was closed. What was
	// acknowledged is safe; open the journal anew to go on.
	ErrBroken = errors.New("the journal takes no more entries until it is opened again")
	// ErrPayload: a payload that is empty or larger than MaxPayload.
	ErrPayload = errors.New("the entry is empty or too large")
)

// Report tells what Open found.
type Report struct {
	Segments int // files of the journal
	Frames   int // payloads that can be read
	// Damaged are the places that held something and cannot be read.
	Damaged []Damage
	// Missing counts the frames known to be gone, by the jumps in sequence.
	Missing uint64
	// WholeFrom is the sequence from which on nothing is lost: that of the first
	// frame after the last place that is damaged or missing, or of the next one
	// to be appended where none follows. 0: nothing is known to be lost. A torn
	// tail does not count: its frame was most likely never acknowledged.
	WholeFrom uint64
	// TornTail: the journal ends in part of a frame. Most likely it was cut
	// while being written and never acknowledged; say that the last entry may
	// be missing.
	TornTail bool
	// Unconfirmed says why the last frame could not be written again and
	// synced; nil when it could. The records can be read, and Append answers
	// ErrBroken: the disk is full or fails.
	Unconfirmed error
}

// Damage is a stretch of bytes that cannot be read.
type Damage struct {
	Name          string // of the file
	Offset, Bytes int64
}

// Journal is an open journal. It is for one goroutine, and for one writer on
// the disk at a time.
type Journal struct {
	disk     Disk
	sealer   Sealer
	most     int64 // bytes in a segment before the next one is begun
	segments []*segment
	file     File   // of the last segment, once something was written to it
	next     uint64 // sequence of the next frame
	least    uint64 // number of the first segment there can be
	ended    bool   // the next frame begins a new segment
	unread   []uint64
	broken   error // why no more can be appended
}

// Open opens the journal on a disk, or begins one: a disk without segments is
// an empty journal, and no file is made before the first Append. Its errors
// are ErrNotOurs, ErrTooNew and those of the disk; after one of them nothing
// on the disk has changed.
func Open(d Disk) (*Journal, Report, error) { return OpenSealed(d, Plain{}) }

// OpenSealed is Open for payloads that are sealed. It needs no key: only Each
// and Append use the sealer.
func OpenSealed(d Disk, s Sealer) (*Journal, Report, error) {
	return open(d, s, Start{}, segmentBytes)
}

func open(d Disk, s Sealer, from Start, most int64) (*Journal, Report, error) {
	j := &Journal{disk: d, sealer: s, most: most, next: max(1, from.Sequence), least: max(1, from.Segment)}
	if err := j.scanAll(); err != nil {
		return nil, Report{}, err
	}
	report, err := j.look()
	if err != nil {
		return nil, Report{}, err
	}
	if err := j.confirm(); err != nil {
		report.Unconfirmed = err
		j.broken = err
	}
	return j, report, nil
}

func (j *Journal) scanAll() error {
	names, err := j.disk.Names()
	if err != nil {
		return fmt.Errorf("list the files: %w", err)
	}
	names = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return segmentNumber(name) < j.least })
	arrange.By(names, func(a, b string) int { return cmp.Compare(segmentNumber(a), segmentNumber(b)) })
	for _, name := range names {
		err := j.with(name, func(f File) error {
			s, err := segments.scan(f, name, segmentNumber(name))
			j.segments = append(j.segments, s)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// with opens a file for the time of do.
func (j *Journal) with(name string, do func(File) error) error {
	f, err := j.disk.Open(name)
	if err != nil {
		return fmt.Errorf("open %s: %w", name, err)
	}
	return errors.Join(do(f), f.Close())
}

// look draws the report from the segments and finds the next sequence.
func (j *Journal) look() (Report, error) {
	r := Report{Segments: len(j.segments)}
	ours, theirs := 0, ""
	for i, s := range j.segments {
		r.Frames += s.frames
		r.Damaged = append(r.Damaged, s.holes...)
		j.count(s, &r)
		j.judgeTail(i, &r)
		if s.is == foreign && s.frames == 0 {
			theirs = s.name
		} else if !s.nothing() {
			ours++
		}
	}
	if theirs != "" && ours == 0 {
		return Report{}, fmt.Errorf("%w: %s", ErrNotOurs, theirs)
	}
	for _, d := range r.Damaged {
		if n := segmentNumber(d.Name); !slices.Contains(j.unread, n) {
			j.unread = append(j.unread, n)
		}
	}
	return r, nil
}

// count adds up what is missing before and in a segment.
func (j *Journal) count(s *segment, r *Report) {
	if s.first > j.next {
		r.Missing += s.first - j.next
		r.WholeFrom = s.first
	}
	r.WholeFrom = max(r.WholeFrom, s.intact)
	r.Missing += s.lost
	if s.first > 0 {
		j.next = max(j.next, s.last+1)
	}
}

// judgeTail reports what follows the last frame of the i-th segment. Where a
// later segment goes on with the very next sequence, whoever began it had seen
// the tail and knew that it was never acknowledged.
func (j *Journal) judgeTail(i int, r *Report) {
	s, last := j.segments[i], i == len(j.segments)-1
	knownTorn := !last && s.is != foreign && j.segments[i+1].first == j.next
	switch {
	case s.tail == clean || s.tail == zeros || knownTorn:
	case s.tail == torn && last && s.is != foreign:
		r.TornTail = true
	default:
		r.Damaged = append(r.Damaged, Damage{Name: s.name, Offset: s.end(), Bytes: s.size - s.end()})
		// It may have been acknowledged: leave its sequence free, so that the
		// gap stays to be seen.
		if last && s.tail == damaged && s.first > 0 {
			j.next++
		}
		r.WholeFrom = j.next
	}
}

// confirm makes sure that the last frame is on the disk and not only in its
// memory. Every earlier one was synced before the next was written.
func (j *Journal) confirm() error {
	if len(j.segments) == 0 {
		return nil
	}
	s := j.segments[len(j.segments)-1]
	if s.frames == 0 {
		return nil
	}
	last := s.runs[len(s.runs)-1]
	from := last.final
	if s.frames == 1 && s.is == begun {
		from = 0 // the header was written with the first frame
	}
	return j.with(s.name, func(f File) error {
		w := &window{f: f, name: s.name, size: s.size}
		b, err := w.bytes(from, int(last.to-from))
		if err != nil {
			return err
		}
		if err := write(f, s.name, b, from); err != nil {
			return err
		}
		return sync(f, s.name)
	})
}

// Each hands out every payload in the order of the segments; seq grows, with
// jumps where frames were lost. Only where segments were damaged or copied can
// a sequence come again: go by the payload's own id. The payload is the callee's to keep. An error from do ends it. A
// payload that the sealer does not open is passed over, and the first such
// error comes back after all others were handed out.
func (j *Journal) Each(do func(seq uint64, payload []byte) error) error {
	return j.EachFrom(Place{}, func(seq uint64, payload []byte, _ Place) error { return do(seq, payload) })
}

// Place is a place between two frames of an open journal, where reading can be
// taken up again. The zero Place is the beginning.
type Place struct {
	segment int
	at      int64
}

// EachFrom is [Journal.Each] from a place on; do is told the place after the
// payload. What was appended since the place was told comes too.
func (j *Journal) EachFrom(p Place, do func(seq uint64, payload []byte, after Place) error) error {
	var unopened error
	for i := p.segment; i < len(j.segments); i++ {
		s, from := j.segments[i], int64(0)
		if i == p.segment {
			from = p.at
		}
		if s.frames == 0 {
			continue
		}
		err := j.reading(s, func(f File) error {
			return s.each(f, from, func(seq uint64, sealed []byte, end int64) error {
				plain, err := j.sealer.Open(s.name, seq, bytes.Clone(sealed))
				if err != nil {
					unopened = cmp.Or(unopened, fmt.Errorf("entry %d in %s: %w", seq, s.name, err))
					return nil
				}
				return do(seq, plain, Place{i, end})
			})
		})
		if err != nil {
			return err
		}
	}
	return unopened
}

// reading hands out the segment's file, which may be the one being written.
func (j *Journal) reading(s *segment, do func(File) error) error {
	if j.file != nil && s == j.segments[len(j.segments)-1] {
		return do(j.file)
	}
	return j.with(s.name, do)
}

// each hands out the frames that begin at the byte from or after it, and where
// each ends.
func (s *segment) each(f File, from int64, do func(seq uint64, payload []byte, end int64) error) error {
	w := &window{f: f, name: s.name, size: s.end()}
	for _, r := range s.runs {
		for at := max(r.from, from); at < r.to; {
			f, err := w.frame(at)
			if err != nil {
				return err
			}
			if f == nil {
				return fmt.Errorf("%s changed at byte %d since it was opened", s.name, at)
			}
			if err := do(f.seq, f.payload, f.end); err != nil {
				return err
			}
			at = f.end
		}
	}
	return nil
}

// Close closes the file being written. Everything appended is on the disk
// already.
func (j *Journal) Close() error {
	j.broken = cmp.Or(j.broken, errors.New("it was closed"))
	if j.file == nil {
		return nil
	}
	f := j.file
	j.file = nil
	return f.Close()
}
