package journal

import (
	"errors"
	"fmt"
	"slices"
)

// Start is where a journal begins whose earlier segments were moved elsewhere.
// The zero Start is the beginning of all.
type Start struct {
	Segment  uint64 // number of the first segment that is the journal's
	Sequence uint64 // of the first frame in it
}

// OpenFrom is [OpenSealed] for a journal that begins at a start: segments
// before it are neither read nor missed.
func OpenFrom(d Disk, s Sealer, from Start) (*Journal, Report, error) {
	return open(d, s, from, segmentBytes)
}

// Next is the sequence that the next payload gets.
func (j *Journal) Next() uint64 { return j.next }

// End ends the segment being written and tells where what follows will start:
// everything appended so far stands in segments before that. It writes nothing.
func (j *Journal) End() (Start, error) {
	if j.broken != nil {
		return Start{}, fmt.Errorf("%w: %w", ErrBroken, j.broken)
	}
	if f := j.file; f != nil {
		j.file = nil
		if err := f.Close(); err != nil {
			j.broken = err
			return Start{}, err
		}
	}
	j.ended = true
	at := Start{Segment: j.least, Sequence: j.next}
	if n := len(j.segments); n > 0 {
		at.Segment = max(at.Segment, j.segments[n-1].number+1)
	}
	return at, nil
}

// Unread lists the segments, by number, in which something could not be read.
func (j *Journal) Unread() []uint64 { return j.unread }

// Drop removes the segments before a start, but for some to be kept. Call it
// when a complete copy of them is on the disk, and with what [Journal.End]
// gave: a program that is opened from there never sees them again. What cannot
// be removed is left, and said. A [Place] told before is void.
func (j *Journal) Drop(before Start, keep []uint64) error {
	names, err := j.disk.Names()
	if err != nil {
		return fmt.Errorf("list the files: %w", err)
	}
	j.least = max(j.least, before.Segment)
	j.segments = slices.DeleteFunc(j.segments, func(s *segment) bool { return s.number < before.Segment })
	var left error
	for _, name := range names {
		n := segmentNumber(name)
		if n == 0 || n >= before.Segment || slices.Contains(keep, n) {
			continue
		}
		if err := j.disk.Remove(name); err != nil {
			left = errors.Join(left, fmt.Errorf("remove %s: %w", name, err))
		}
	}
	return left
}

// A Look is what a file of some kind was found to be.
type Look struct {
	Ours  bool // it has our header, or the remains of one, or is not written yet
	Whole bool // all there, from the header to the end of its last frame
}

// Frames hands out the frames of a file of this kind that can be read, as
// [Open] finds them: at is where one begins. The payload is good until do
// returns. It fails only when do or the disk does, or with ErrTooNew.
func (k Kind) Frames(f File, name string, number uint64, do func(at int64, seq uint64, payload []byte) error) (Look, error) {
	s, err := k.scan(f, name, number)
	if err != nil {
		return Look{}, err
	}
	look := Look{Ours: s.is != foreign || s.frames > 0, Whole: s.whole()}
	if s.frames == 0 {
		return look, nil
	}
	return look, s.each(f, 0, func(seq uint64, payload []byte, end int64) error {
		return do(end-frameExtra-int64(len(payload)), seq, payload)
	})
}

// Is reports whether a file is of this kind, or empty, or what is left of one.
// It reads no more than the header. The error is ErrTooNew or the disk's.
func (k Kind) Is(f File, name string, number uint64) (bool, error) {
	size, err := f.Size()
	if err != nil {
		return false, fmt.Errorf("size of %s: %w", name, err)
	}
	w := &window{f: f, name: name, size: min(size, headerLen)}
	head, err := w.bytes(0, int(w.size))
	if err != nil {
		return false, err
	}
	is, v, _ := k.readHeader(head, number)
	if is == newer {
		return false, tooNew(name, v, k.Version)
	}
	return is != foreign, nil
}

// CutFrame takes the frame that b begins with; ok is false where none does.
func CutFrame(b []byte) (seq uint64, payload, rest []byte, ok bool) {
	if len(b) <= frameExtra {
		return 0, nil, nil, false
	}
	n := int64(le.Uint32(b))
	if n == 0 || n > MaxPayload || n+frameExtra > int64(len(b)) || le.Uint32(b[12+n:]) != checksum(b[:12+n]) {
		return 0, nil, nil, false
	}
	return le.Uint64(b[4:]), b[12 : 12+n], b[frameExtra+n:], true
}

// HeaderBytes is how many bytes stand before a file's first frame.
const HeaderBytes = headerLen

// FrameBytes is what a frame adds to its payload.
const FrameBytes = frameExtra
