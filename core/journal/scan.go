package journal

import "fmt"

// segment is what a scan found in one file.
type segment struct {
	name   string
	number uint64
	size   int64
	is     beginning
	first  uint64 // as the header says, or of the first frame found; 0: neither
	last   uint64 // sequence of the last frame, or first-1
	runs   []run
	frames int
	intact uint64 // sequence of the frame after the last hole; 0: no hole
	lost   uint64 // frames missing between those that were found
	holes  []Damage
	tail   tail
}

// run is a stretch of frames without a gap; final is where its last one begins.
type run struct{ from, final, to int64 }

// tail is what follows the last frame of a segment.
type tail int

const (
	clean   tail = iota // nothing
	zeros               // only zeros: unwritten
	torn                // the beginning of a frame or header
	damaged             // all of a frame or header, but altered
)

// end is where the last good byte of the segment is followed by something else
// or by nothing.
func (s *segment) end() int64 {
	switch {
	case len(s.runs) > 0:
		return s.runs[len(s.runs)-1].to
	case s.is == begun:
		return headerLen
	}
	return 0
}

// scan reads a segment through and changes nothing. It fails only when the
// disk does or when the segment is of a newer version.
func (k Kind) scan(f File, name string, number uint64) (*segment, error) {
	size, err := f.Size()
	if err != nil {
		return nil, fmt.Errorf("size of %s: %w", name, err)
	}
	s := &segment{name: name, number: number, size: size}
	w := &window{f: f, name: name, size: size}
	head, err := w.bytes(0, int(min(size, headerLen)))
	if err != nil {
		return nil, err
	}
	var v uint32
	s.is, v, s.first = k.readHeader(head, s.number)
	if s.is == newer {
		return nil, tooNew(name, v, k.Version)
	}
	if s.is == begun {
		s.last = s.first - 1
	}
	if err := s.scanFrames(w); err != nil {
		return nil, err
	}
	return s, s.scanTail(w)
}

func tooNew(name string, v, reads uint32) error {
	return fmt.Errorf("%w: %s has version %d, this program reads %d", ErrTooNew, name, v, reads)
}

// scanFrames collects the frames and the holes between them.
func (s *segment) scanFrames(w *window) error {
	at := s.end()
	for at < s.size {
		f, err := s.next(w, at)
		if err != nil {
			return err
		}
		if f == nil {
			return nil
		}
		s.take(f, at)
		at = f.end
	}
	return nil
}

// next finds the first frame at or after the byte at.
func (s *segment) next(w *window, at int64) (*frame, error) {
	for p := at; p+frameExtra < s.size; p++ {
		f, err := w.frame(p)
		if err != nil {
			return nil, err
		}
		if f != nil && s.follows(f.seq, p-at) {
			return f, nil
		}
	}
	return nil, nil
}

// follows reports whether a frame with this sequence can come next when so
// many bytes were skipped. Without a header there is nothing to compare with.
func (s *segment) follows(seq uint64, skipped int64) bool {
	if s.is != begun && s.frames == 0 {
		return seq > 0 && seq <= maxCount
	}
	return seq > s.last && seq <= maxCount && seq-s.last-1 <= uint64(skipped)/(frameExtra+1)
}

// take adds a frame that was looked for from the byte at.
func (s *segment) take(f *frame, at int64) {
	if f.at > at {
		s.holes = append(s.holes, Damage{Name: s.name, Offset: at, Bytes: f.at - at})
		s.intact = f.seq
	}
	if s.first == 0 {
		s.first, s.last = f.seq, f.seq-1
	}
	s.lost += f.seq - s.last - 1
	s.last = f.seq
	s.frames++
	if n := len(s.runs); n > 0 && s.runs[n-1].to == f.at {
		s.runs[n-1].final, s.runs[n-1].to = f.at, f.end
		return
	}
	s.runs = append(s.runs, run{from: f.at, final: f.at, to: f.end})
}

// scanTail names what follows the last frame.
func (s *segment) scanTail(w *window) error {
	at := s.end()
	empty, err := w.zeros(at)
	if err != nil || at == s.size {
		return err
	}
	switch {
	case empty:
		s.tail = zeros
	case at == 0 && s.size >= headerLen:
		s.tail = damaged
	case at == 0:
		s.tail = torn
	default:
		s.tail, err = w.tail(at)
	}
	return err
}

// whole reports whether the segment is all there, from its header to its end.
func (s *segment) whole() bool {
	return s.is == begun && len(s.holes) == 0 && s.lost == 0 && s.tail == clean
}

// nothing reports whether the segment holds no trace of a journal.
func (s *segment) nothing() bool {
	return s.frames == 0 && (s.is == foreign || s.is == unwritten)
}
