package exchange

import (
	"errors"

	"fourchette/core/vault"
)

// The answers of a file that cannot be read at all. That of a code which is no
// code is [vault.CodeError].
var (
	ErrNotOurs = errors.New("the file is no export of this program")
	ErrTooNew  = vault.ErrTooNew
	ErrWrong   = vault.ErrWrong
	ErrDamaged = errors.New("the head of the export is damaged")
)

// Report tells what was found in a file so far.
type Report struct {
	Entries uint64 // handed out
	Blocks  uint64 // that could be read
	Damaged uint64 // blocks that could not, the rest of one at the end among them
	// Lost counts the entries known to be in the file and not handed out: those
	// between two blocks that could be read.
	Lost uint64
	// Ended: the last block was read. Without it the file was cut, or its end is
	// damaged, and nobody knows what else was in it.
	Ended bool
	// Spoilt: one of the two heads is damaged. Nothing is lost by it.
	Spoilt bool
	// After counts the bytes behind the end, which were not looked at.
	After uint64
}

// Whole says whether the file was read to its end and nothing is missing.
func (r Report) Whole() bool { return r.Ended && r.Damaged == 0 && r.Lost == 0 }

// Reader reads one file, handed in piece by piece. It keeps one block.
type Reader struct {
	code   string
	sealer *vault.Sealer
	buf    []byte
	number uint64
	report Report
	err    error
}

// NewReader begins to read a file with its code. The error is a
// [vault.CodeError].
func NewReader(code string) (*Reader, error) {
	return &Reader{code: code, buf: make([]byte, 0, BlockBytes)}, vault.CheckCode(code)
}

// Take takes the next piece, of any length. Each block's entries are handed to
// do, whose they are; an error from it comes back, and ends the reading. The other errors
// are ErrNotOurs, ErrTooNew, ErrWrong and ErrDamaged. Damage further on is no
// error: see the Report.
func (r *Reader) Take(piece []byte, do func(entries [][]byte) error) error {
	for len(piece) > 0 && r.err == nil {
		if r.report.Ended {
			r.report.After += uint64(len(piece))
			return nil
		}
		n := min(len(piece), r.wanted()-len(r.buf))
		r.buf = append(r.buf, piece[:n]...)
		piece = piece[n:]
		if len(r.buf) < r.wanted() {
			break
		}
		if r.sealer == nil {
			r.err = r.openHead()
		} else {
			r.err = r.block(do)
		}
		r.buf = r.buf[:0]
	}
	return r.err
}

// Report is what was found so far.
func (r *Reader) Report() Report { return r.report }

// Close says that there are no more pieces. Its errors are those of a file
// which ends before its blocks begin.
func (r *Reader) Close() (Report, error) {
	if r.err == nil && r.sealer == nil {
		r.err = r.openHead()
		r.buf = r.buf[:0]
	}
	if r.err == nil && len(r.buf) > 0 {
		r.report.Damaged++
	}
	r.buf = r.buf[:0]
	return r.report, r.err
}

func (r *Reader) wanted() int {
	if r.sealer == nil {
		return headBytes
	}
	return BlockBytes
}

// openHead opens the file with whichever of its heads is whole.
func (r *Reader) openHead() error {
	whole := make([]byte, headBytes)
	copy(whole, r.buf)
	var errs [2]error
	for i := range errs {
		part := whole[i*headAt:][:headAt]
		s, err := vault.OpenFile(part[:min(vault.HeadLen, max(0, len(r.buf)-i*headAt))], r.code)
		if err == nil && r.sealer == nil {
			r.sealer = s
		}
		errs[i] = err
		r.report.Spoilt = r.report.Spoilt || err != nil || !isZero(part[vault.HeadLen:])
	}
	if r.sealer != nil {
		return nil
	}
	for _, first := range []error{vault.ErrTooNew, vault.ErrWrong} {
		for _, err := range errs {
			if errors.Is(err, first) {
				return err
			}
		}
	}
	foreign := func(err error) bool { return errors.Is(err, vault.ErrNotOurs) }
	if foreign(errs[0]) && (foreign(errs[1]) || errors.Is(errs[1], vault.ErrNone)) {
		return ErrNotOurs
	}
	return ErrDamaged
}

// block opens the block in the buffer and hands its entries out.
func (r *Reader) block(do func(entries [][]byte) error) error {
	r.number++
	plain, err := r.sealer.Open(place, r.number, r.buf)
	if err != nil {
		r.report.Damaged++
		return nil
	}
	k, err := readBlock(plain)
	if err != nil || k.before < r.report.Entries+r.report.Lost {
		r.report.Damaged++
		return nil
	}
	r.report.Blocks++
	r.report.Lost = k.before - r.report.Entries
	r.report.Entries += uint64(len(k.entries))
	r.report.Ended = k.last
	if len(k.entries) == 0 {
		return nil
	}
	return do(k.entries)
}
