package companion

import (
	"bytes"
	"encoding/hex"
	"errors"
	"io"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/vault"
)

// read opens the journal and, unless it is locked, replays it.
func (c *Companion) read() error {
	c.broken, c.unsealed = true, nil // until all of it is read
	if err := c.openRows(); err != nil {
		return journalFault(err)
	}
	if c.lock.shut() {
		c.forget()
		return nil
	}
	return c.load()
}

// forget lets go of all that was read.
func (c *Companion) forget() {
	c.state, c.writer, c.broken = birth.State{}, birth.Writer{}, false
	c.exchanges, c.unmarked = exchanges{}, false
	c.doubts = doubts{wholeFrom: c.report.WholeFrom, whole: map[string]bool{}, looked: map[string]bool{}, twice: map[string]bool{}}
}

// load replays the open journal. This device is the one that wrote the first
// event, or the one that a mark since names; an empty journal gets a new device
// id, which becomes lasting with the first event.
func (c *Companion) load() error {
	c.forget()
	c.broken = true // until all of it is read
	var records []birth.Record
	var sequence []uint64
	cut := false // the last line before it was sealed was cut, and nothing was written since
	err := c.journal.Each(func(seq uint64, payload []byte) error {
		if cut = bytes.Equal(payload, cutFromHere); isMark(payload) {
			return nil
		}
		r, err := birth.Decode(payload)
		if err != nil { // counted, kept in its place, and said on each record it may be of
			c.report.Damaged = append(c.report.Damaged, journal.Damage{Bytes: int64(len(payload))})
			c.doubts.lost(seq)
			return nil
		}
		records, sequence = append(records, r), append(sequence, seq)
		return nil
	})
	if err != nil {
		return journalFault(err)
	}
	c.report.TornTail = c.report.TornTail || cut
	if err := c.replay(records); err != nil {
		return err
	}
	if err := c.doubt(records, sequence); err != nil {
		return err
	}
	c.markDamaged()
	c.broken = false
	return nil
}

func (c *Companion) replay(records []birth.Record) error {
	if len(records) > 0 {
		c.writer.Device = records[0].Event.Device
	} else if id, err := c.random(5); err != nil {
		return err
	} else {
		c.writer.Device = birth.Device([5]byte(id))
	}
	run, err := c.random(8)
	if err != nil {
		return err
	}
	c.run = hex.EncodeToString(run)
	for _, r := range records {
		if r.Event.Kind == birth.KindMoved {
			c.writer.Device, c.writer.Seq = r.Event.Device, 0
		}
	}
	for _, r := range records {
		c.writer.Saw(r)
	}
	c.state = birth.Replay(records)
	return nil
}

func (c *Companion) random(n int) ([]byte, error) {
	b := make([]byte, n)
	if _, err := io.ReadFull(c.host.Random, b); err != nil {
		return nil, &Fault{Code: FaultInternal, Detail: "no randomness: " + err.Error()}
	}
	return b, nil
}

// reopen reads the journal anew after a failed write or a caught panic: what
// the state says is then again what the disk holds.
func (c *Companion) reopen() error {
	if c.journal == nil {
		c.broken = false
		return nil
	}
	c.broken = true // until it is read
	if err := c.journal.Close(); err != nil {
		return journalFault(err)
	}
	return c.read()
}

// write stamps, stores, flushes and only then shows an event. When it returns
// without a fault the event is on the disk.
func (c *Companion) write(id, kind string, body func(*birth.Event)) (*SavedReply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	if c.report.Unconfirmed != nil { // the disk took nothing when it was last opened: it may have mended
		if err := c.reopen(); err != nil {
			return nil, err
		}
	}
	e := c.writer.Next(id, kind, c.now())
	if body != nil {
		body(&e)
	}
	r, err := e.Record()
	if err != nil {
		return nil, &Fault{Code: FaultWord, Field: kind, Detail: err.Error()}
	}
	if err := c.store(r); err != nil {
		return nil, err
	}
	c.state.Add(r)
	c.wrote(r.Event)
	return &SavedReply{Birth: id, Event: e.ID()}, nil
}

func (c *Companion) now() birth.Now {
	return birth.Now{
		Wall:    c.host.Wall().UnixMilli(),
		Running: c.host.Running().Milliseconds(),
		Run:     c.run,
	}
}

func journalFault(err error) *Fault {
	var f *Fault
	switch {
	case errors.As(err, &f):
		return f
	case errors.Is(err, journal.ErrFull):
		return &Fault{Code: "disk_full", Detail: err.Error()}
	case errors.Is(err, journal.ErrNotOurs):
		return &Fault{Code: "journal_not_ours", Detail: err.Error()}
	case errors.Is(err, journal.ErrTooNew), errors.Is(err, vault.ErrTooNew): // sealed in a newer form
		return &Fault{Code: "journal_too_new", Detail: err.Error()}
	}
	return &Fault{Code: FaultDisk, Detail: err.Error()}
}
