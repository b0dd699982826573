package archive

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"fourchette/core/journal"
)

// The kinds of sheets.
const (
	itemSheet      = 1
	leafSheet      = 2
	branchSheet    = 3
	directorySheet = 4
)

const (
	partHead  = 3        // kind, part, left
	partBytes = 60 << 10 // of a sheet in one frame; leaves room for a seal
	sheetHead = 4        // the length unpacked
	// maxSheet is the most bytes of one sheet, unpacked.
	maxSheet = 8 << 20
	maxParts = 256
	// maxExtent bounds what is read at once: a sheet that did not pack at all.
	maxExtent = maxSheet + maxSheet/128 + maxParts*1024
	maxOffset = 1 << 53
)

// sheet is one piece of content as it stands in a file, still packed.
type sheet struct {
	kind   byte
	packed []byte
	where  extent
}

func packed(content []byte) []byte {
	b := le.AppendUint32(make([]byte, 0, len(content)/2), uint32(len(content)))
	return pack(b, content)
}

// content unpacks a sheet of the kind that is wanted.
func (s *sheet) content(kind byte) ([]byte, bool) {
	if s.kind != kind || len(s.packed) < sheetHead {
		return nil, false
	}
	n := le.Uint32(s.packed)
	if n > maxSheet {
		return nil, false
	}
	return unpack(s.packed[sheetHead:], int(n))
}

// joiner puts sheets together from the parts in their frames.
type joiner struct {
	sheet
	part, left int
	seq        uint64 // of the last part; 0: none was begun
}

// add takes the frame at a place in the file and gives a sheet when this was
// its last part. Parts of a sheet whose first one was lost are passed over.
func (j *joiner) add(at int64, seq uint64, size int64, plain []byte) *sheet {
	if len(plain) <= partHead {
		j.seq = 0
		return nil
	}
	kind, part, left := plain[0], int(plain[1]), int(plain[2])
	switch {
	case part == 0:
		*j = joiner{sheet: sheet{kind: kind, where: extent{at, 0}}}
	case j.seq == 0 || seq != j.seq+1 || kind != j.kind || part != j.part+1 || left != j.left-1 || at != j.where.at+j.where.n:
		j.seq = 0
		return nil
	}
	j.seq, j.part, j.left = seq, part, left
	j.packed = append(j.packed, plain[partHead:]...)
	j.where.n += size
	if left > 0 {
		return nil
	}
	j.seq = 0
	return &j.sheet
}

// source is a file whose sheets are read.
type source struct {
	file   journal.File
	name   string
	sealer journal.Sealer
}

// sheet reads the sheet at an extent. The error is [ErrDamaged], with the
// sealer's where that is why, or the disk's.
func (s source) sheet(e extent) (*sheet, error) {
	if e.n <= 0 || e.n > maxExtent || e.at < journal.HeaderBytes {
		return nil, s.damaged(e)
	}
	b := make([]byte, e.n)
	n, err := s.file.ReadAt(b, e.at)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("read %s at byte %d: %w", s.name, e.at, err)
	}
	if n < len(b) {
		return nil, s.damaged(e)
	}
	var j joiner
	for at := e.at; len(b) > 0; {
		seq, payload, rest, ok := journal.CutFrame(b)
		if !ok {
			return nil, s.damaged(e)
		}
		plain, err := s.sealer.Open(s.name, seq, bytes.Clone(payload))
		if err != nil {
			return nil, fmt.Errorf("%w: %w", s.damaged(e), err)
		}
		size := int64(len(b) - len(rest))
		if sh := j.add(at, seq, size, plain); sh != nil && len(rest) == 0 && sh.where == e {
			return sh, nil
		}
		b, at = rest, at+size
	}
	return nil, s.damaged(e)
}

func (s source) damaged(e extent) error {
	return fmt.Errorf("%w: %s at byte %d", ErrDamaged, s.name, e.at)
}

// writer writes a new file of sheets.
type writer struct {
	file   journal.File
	name   string
	sealer journal.Sealer
	buffer []byte
	at     int64 // bytes that were written
	seq    uint64
}

// bufferBytes is how much is written at once.
const bufferBytes = 256 << 10

func begin(d journal.Disk, s journal.Sealer, k journal.Kind, name string, number uint64) (*writer, error) {
	f, err := d.Open(name)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", name, err)
	}
	size, err := f.Size()
	if err == nil && size != 0 {
		err = errors.New("something else wrote to it")
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("begin %s: %w", name, err), f.Close())
	}
	return &writer{file: f, name: name, sealer: s, buffer: k.AppendHeader(nil, number, 1)}, nil
}

// sheet writes one sheet and tells where it stands.
func (w *writer) sheet(kind byte, packed []byte) (extent, error) {
	parts := (len(packed) + partBytes - 1) / partBytes
	if parts > maxParts {
		return extent{}, fmt.Errorf("%w: %d bytes, packed", ErrTooLarge, len(packed))
	}
	e := extent{at: w.at + int64(len(w.buffer))}
	for part := range parts {
		piece := packed[part*partBytes : min(len(packed), (part+1)*partBytes)]
		plain := append([]byte{kind, byte(part), byte(parts - 1 - part)}, piece...)
		w.seq++
		sealed, err := w.sealer.Seal(w.name, w.seq, plain)
		if err != nil {
			return extent{}, fmt.Errorf("seal for %s: %w", w.name, err)
		}
		if len(sealed) > journal.MaxPayload {
			return extent{}, fmt.Errorf("%w: %d bytes, sealed", ErrTooLarge, len(sealed))
		}
		w.buffer = journal.AppendFrame(w.buffer, w.seq, sealed)
	}
	e.n = w.at + int64(len(w.buffer)) - e.at
	if len(w.buffer) < bufferBytes {
		return e, nil
	}
	return e, w.flush()
}

func (w *writer) flush() error {
	n, err := w.file.WriteAt(w.buffer, w.at)
	if err == nil && n != len(w.buffer) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", w.name, err)
	}
	w.at, w.buffer = w.at+int64(n), w.buffer[:0]
	return nil
}

// finish writes and syncs what is left, and closes the file.
func (w *writer) finish() error {
	err := w.flush()
	if err == nil {
		if err = w.file.Sync(); err != nil {
			err = fmt.Errorf("sync %s: %w", w.name, err)
		}
	}
	return errors.Join(err, w.file.Close())
}
