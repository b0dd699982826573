package journal

import (
	"fmt"
	"io"
)

// Append adds a payload and returns when it is on the disk. After ErrPayload
// or an error of the sealer nothing has changed. After any other error the
// payload is not saved, the bytes it left are cut off if that still works, and
// the journal answers ErrBroken until it is opened again.
func (j *Journal) Append(payload []byte) error {
	if j.broken != nil {
		return fmt.Errorf("%w: %w", ErrBroken, j.broken)
	}
	if len(payload) == 0 || len(payload) > MaxPayload {
		return fmt.Errorf("%w: %d bytes, at most %d", ErrPayload, len(payload), MaxPayload)
	}
	s := j.target(len(payload))
	sealed, err := j.sealer.Seal(s.name, j.next, payload)
	if err != nil {
		return fmt.Errorf("seal entry %d: %w", j.next, err)
	}
	if len(sealed) == 0 || len(sealed) > MaxPayload {
		return fmt.Errorf("%w: sealed, it has %d bytes, at most %d", ErrPayload, len(sealed), MaxPayload)
	}
	if err := j.store(s, sealed); err != nil {
		j.broken = err
		return err
	}
	return nil
}

// target is the segment that the next frame goes to: the last one when it ends
// in a whole frame and has room, an empty file that was left over, or a new one.
func (j *Journal) target(payload int) *segment {
	number := j.least
	if n := len(j.segments); n > 0 {
		s := j.segments[n-1]
		if !j.ended && s.is == begun && s.tail == clean && s.size+frameExtra+int64(payload) <= j.most {
			return s
		}
		if !j.ended && s.size == 0 {
			return s
		}
		number = max(number, s.number+1)
	}
	return &segment{name: segmentName(number), number: number, is: unwritten}
}

// store writes one frame, with the header before the first, and syncs it.
func (j *Journal) store(s *segment, sealed []byte) error {
	if j.next > maxCount || s.number > maxCount {
		return fmt.Errorf("%s: sequence %d is the last there can be", s.name, j.next)
	}
	if err := j.openFor(s); err != nil {
		return err
	}
	at := s.size
	var b []byte
	if at == 0 {
		b = segments.AppendHeader(b, s.number, j.next)
	}
	start := at + int64(len(b))
	b = AppendFrame(b, j.next, sealed)
	err := write(j.file, s.name, b, at)
	if err == nil {
		err = sync(j.file, s.name)
	}
	if err != nil {
		undo(j.file, at)
		return err
	}
	if at == 0 {
		s.is, s.first, s.last = begun, j.next, j.next-1
	}
	s.size = at + int64(len(b))
	s.take(&frame{at: start, end: s.size, seq: j.next}, start)
	j.next++
	return nil
}

// openFor makes s the segment being written. Its size must be as we know it:
// otherwise somebody else writes here too, and writing would destroy theirs.
func (j *Journal) openFor(s *segment) error {
	last := len(j.segments) - 1
	if last < 0 || j.segments[last] != s {
		if j.file != nil {
			f := j.file
			j.file = nil
			if err := f.Close(); err != nil {
				return fmt.Errorf("close %s: %w", j.segments[last].name, err)
			}
		}
		j.segments, j.ended = append(j.segments, s), false
	}
	if j.file == nil {
		f, err := j.disk.Open(s.name)
		if err != nil {
			return fmt.Errorf("open %s: %w", s.name, err)
		}
		j.file = f
	}
	size, err := j.file.Size()
	if err != nil {
		return fmt.Errorf("size of %s: %w", s.name, err)
	}
	if size != s.size {
		return fmt.Errorf("%s has %d bytes, not %d: something else writes to it", s.name, size, s.size)
	}
	return nil
}

// undo cuts off what a failed append left. It may fail too; the next Open then
// finds a torn tail, or the whole frame.
func undo(f File, size int64) {
	if f.Truncate(size) == nil {
		_ = f.Sync()
	}
}

func write(f File, name string, b []byte, at int64) error {
	n, err := f.WriteAt(b, at)
	if err == nil && n != len(b) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	return nil
}

func sync(f File, name string) error {
	if err := f.Sync(); err != nil {
		return fmt.Errorf("sync %s: %w", name, err)
	}
	return nil
}
