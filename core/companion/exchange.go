package companion

import (
	"bytes"
	"errors"
	"strconv"

	"fourchette/core/birth"
	"fourchette/core/exchange"
	"fourchette/core/journal"
	"fourchette/core/vault"
)

// The codes of files that go out and come in.
const (
	FaultNoExport      = "export_not_begun"   // or it has ended: begin it
	FaultNoImport      = "import_not_begun"   // or it has failed, or ended: begin it with the file's first byte
	FaultPieceOrder    = "piece_out_of_order" // detail: where in the file the next piece begins
	FaultExportNotOurs = "export_not_ours"    // the file is no export of this program
	FaultExportTooNew  = "export_too_new"     // written by a newer version
	FaultExportDamaged = "export_damaged"     // its head cannot be read: take another copy
)

// exchanges are the file that is going out and the one that is coming in. Both
// are let go of when the records are read anew or locked.
type exchanges struct {
	out *leaving
	in  *arriving
}

// leaving is a file of all records being made.
type leaving struct {
	writer *exchange.Writer
	at     journal.Place
}

// arriving is a file of records being taken in.
type arriving struct {
	reader *exchange.Reader
	next   int64 // where in the file the next piece begins
	so     ImportReply
}

// makeCode makes a code for a file, to be written down. It is kept nowhere.
func makeCode(c *Companion, _ *Nothing) (reply, error) {
	code, err := vault.NewCode(c.host.Random)
	if err != nil {
		return nil, lockFault(err)
	}
	return &CodeReply{Code: code}, nil
}

// beginExport begins a file that the code opens, as it was typed from the paper.
func beginExport(c *Companion, r *CodeRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	w, piece, err := exchange.NewWriter(c.host.Random, r.Code)
	if err != nil {
		return nil, lockFault(err)
	}
	c.out = &leaving{writer: w}
	return c.exported(piece, false), nil
}

// errFull: a piece is full, and reading stops.
var errFull = errors.New("a piece is full")

// nextExport makes the next piece. The file holds what is in the journal when
// its last piece is made.
func nextExport(c *Companion, _ *Nothing) (reply, error) {
	if c.out == nil {
		return nil, &Fault{Code: FaultNoExport}
	}
	var piece []byte
	err := c.journal.EachFrom(c.out.at, func(_ uint64, payload []byte, after journal.Place) (err error) {
		if c.leaves(payload) {
			piece, err = c.out.writer.Add(payload)
		}
		if err == nil {
			c.out.at = after
		}
		if err == nil && piece != nil {
			return errFull
		}
		return err
	})
	switch {
	case errors.Is(err, errFull):
		return c.exported(piece, false), nil
	case err == nil:
		piece, err = c.out.writer.End()
	}
	if err != nil {
		c.out = nil
		return nil, lockFault(err)
	}
	out := c.exported(piece, true)
	c.out = nil
	return out, nil
}

func (c *Companion) exported(piece []byte, last bool) *ExportReply {
	return &ExportReply{
		Piece: piece, Last: last, Entries: int64(c.out.writer.Entries()),
		Damaged: len(c.report.Damaged), Missing: int(min(c.report.Missing, 1<<31-1)),
	}
}

// leaves says whether a payload goes into a file: events, as they are, whatever
// version wrote them. Of a deleted birth only the deletion goes.
func (c *Companion) leaves(payload []byte) bool {
	r, err := birth.Decode(payload)
	return err == nil && r.Event.Kind != birth.KindMoved && (r.Deletes() || !c.state.IsDeleted(r.Event.Birth))
}

// beginImport begins to take in a file.
func beginImport(c *Companion, r *CodeRequest) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if c.report.Unconfirmed != nil {
		if err := c.reopen(); err != nil {
			return nil, err
		}
	}
	reader, err := exchange.NewReader(r.Code)
	if err != nil {
		return nil, lockFault(err)
	}
	c.in = &arriving{reader: reader}
	return c.imported(), nil
}

// nextImport takes the next piece of the file. What it says is new is on the
// disk. After a fault the rest is not taken; what was taken stays, and the file
// can be taken in again from its beginning.
func nextImport(c *Companion, r *PieceRequest) (reply, error) {
	if c.in == nil {
		return nil, &Fault{Code: FaultNoImport}
	}
	if r.At != c.in.next {
		return nil, &Fault{Code: FaultPieceOrder, Field: "at", Detail: strconv.FormatInt(c.in.next, 10)}
	}
	if err := c.in.reader.Take(r.Piece, c.takeIn); err != nil {
		c.in = nil
		return nil, importFault(err)
	}
	c.in.next += int64(len(r.Piece))
	return c.imported(), nil
}

// endImport says that the file has ended, and tells what became of it.
func endImport(c *Companion, _ *Nothing) (reply, error) {
	if c.in == nil {
		return nil, &Fault{Code: FaultNoImport}
	}
	if _, err := c.in.reader.Close(); err != nil {
		c.in = nil
		return nil, importFault(err)
	}
	twice := c.state.Clashing()
	if err := c.doubtAll(twice); err != nil {
		return nil, err
	}
	out := c.imported()
	out.Twice = localNumbers(twice)
	c.in = nil
	return out, nil
}

// doubtAll writes down, once, which births have an id that another event has:
// two phones that wrote as one may have opened two women under one number.
func (c *Companion) doubtAll(births []string) error {
	for _, id := range births {
		b, err := c.birth(id)
		if err == nil && !b.WasDoubted {
			_, err = c.write(id, birth.KindDoubted, nil)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func importFault(err error) error {
	switch {
	case errors.Is(err, exchange.ErrNotOurs):
		return &Fault{Code: FaultExportNotOurs}
	case errors.Is(err, exchange.ErrTooNew):
		return &Fault{Code: FaultExportTooNew, Detail: err.Error()}
	case errors.Is(err, exchange.ErrDamaged):
		return &Fault{Code: FaultExportDamaged}
	}
	return lockFault(err)
}

// imported is what was found so far.
func (c *Companion) imported() *ImportReply {
	out, found := c.in.so, c.in.reader.Report()
	out.Read, out.Lost = int64(found.Entries), int64(min(found.Lost, 1<<53))
	out.Blocks, out.Ended, out.Spoilt = int(found.Damaged), found.Ended, found.Spoilt
	out.After, out.Whole = int64(found.After), found.Whole() && out.Damaged == 0
	out.Device = c.writer.Device
	return &out
}

func localNumbers(births []string) (list []string) {
	for _, id := range births {
		list = append(list, birth.Number(id))
	}
	return list
}

// mostTime bounds the counts and Lamport times that are taken in, so that a
// file cannot bring this phone's own counting to its end.
const mostTime = 1 << 52

// takeIn takes in the entries of a block: each is appended before it shows.
func (c *Companion) takeIn(entries [][]byte) error {
	var fresh []birth.Record
	for _, raw := range entries {
		r, err := birth.Decode(raw)
		if err != nil || r.Event.Kind == birth.KindMoved || max(r.Event.Seq, r.Event.Lamport) > mostTime {
			c.in.so.Damaged++
			continue
		}
		if r.Deletes() { // weighed against all that came before it
			if err := c.keepAll(fresh); err != nil {
				return err
			}
			fresh = nil
		}
		if c.isNew(&r, fresh) {
			fresh = append(fresh, r)
		}
	}
	return c.keepAll(fresh)
}

// isNew says whether a record is to be kept, and counts what it is.
func (c *Companion) isNew(r *birth.Record, fresh []birth.Record) bool {
	so := &c.in.so
	b, _ := c.birth(r.Event.Birth)
	switch {
	case c.state.IsDeleted(r.Event.Birth):
		if r.Deletes() {
			so.Here++
		} else {
			so.OfDeleted++
		}
		return false
	case b != nil && holds(b.Log, r) || holds(fresh, r):
		so.Here++
		return false
	}
	if r.Deletes() && b != nil {
		if old := c.keeping(b); old.Holds() != nil {
			so.Held = append(so.Held, oldBirth(old))
			return false
		}
		so.Deleted++
	}
	so.New++
	if r.Newer {
		so.Newer++
	}
	return true
}

// holds says whether this very record is in a list.
func holds(list []birth.Record, r *birth.Record) bool {
	for i := range list {
		if list[i].Event.Seq == r.Event.Seq && bytes.Equal(list[i].Raw, r.Raw) {
			return true
		}
	}
	return false
}

// keepAll appends records that came in, and shows them.
func (c *Companion) keepAll(fresh []birth.Record) error {
	for i := range fresh {
		if err := c.ownDevice(fresh[i].Event.Device); err != nil {
			return err
		}
		if err := c.store(fresh[i]); err != nil {
			return err
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	c.state.Add(fresh...)
	for i := range fresh {
		c.writer.Saw(fresh[i])
		if b, err := c.birth(fresh[i].Event.Birth); err == nil && b.Twice > 0 && b.IsTwice(fresh[i]) {
			c.doubts.twice[b.ID] = true
		}
	}
	c.markDamaged()
	return nil
}

// ownDevice sees to it that what this phone writes from now on has an id that
// no other phone writes under. Where nothing was written here yet, its id must
// stand before all that comes in: whose is the first entry, it is. And where
// something comes in that was written under this phone's id and is not here,
// another phone has that id too, or wrote on from an older copy.
func (c *Companion) ownDevice(device string) error {
	if c.writer.Seq == 0 {
		c.unmarked = true
	}
	if device != c.writer.Device {
		return nil
	}
	c.in.so.Moved = true
	return c.moveOn()
}

// moveOn lets this phone write under a new id, which becomes lasting with the
// next entry.
func (c *Companion) moveOn() error {
	id, err := c.random(5)
	if err != nil {
		return err
	}
	c.writer = birth.Writer{Device: birth.Device([5]byte(id)), Lamport: c.writer.Lamport}
	c.unmarked = true
	return nil
}

// store appends a record, and before it, once, under which id this phone writes.
func (c *Companion) store(r birth.Record) error {
	if c.unmarked {
		mark, err := c.writer.Next(r.Event.Birth, birth.KindMoved, c.now()).Record()
		if err != nil {
			return err
		}
		if err := c.append(mark); err != nil {
			return err
		}
		c.unmarked = false
	}
	return c.append(r)
}

func (c *Companion) append(r birth.Record) error {
	if err := c.journal.Append(r.Raw); err != nil {
		c.broken = true
		return journalFault(err)
	}
	return nil
}
