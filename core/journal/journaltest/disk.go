// Package journaltest tries journals and disks. Start with [New], an in-memory
// disk that fails on demand and loses power, or with [Suite], which holds any
// host's disk to what the journal needs of it.
package journaltest

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"

	"fourchette/core/journal"
)

// ErrFault is what the disk answers when it was told to fail.
var ErrFault = errors.New("the disk fails, as it was told to")

// Op is what a disk can be told to fail at.
type Op string

// The operations that are counted.
const (
	Write    Op = "write"
	Sync     Op = "sync"
	Truncate Op = "truncate"
	Open     Op = "open"
	Read     Op = "read"
	Remove   Op = "remove"
)

// Fault is one way to fail.
type Fault struct {
	Op Op
	// At is the first operation of this kind that fails, counted from 1.
	At int
	// Forever: all operations that change the disk fail from then on.
	Forever bool
	// Through is how many bytes of a failing write reach the file.
	Through int
	// Forget: what a failing sync should have kept stays readable, but no later
	// sync keeps it either, as on systems that call a page clean after an error.
	Forget bool
}

// Disk is an in-memory disk that knows what is synced. The zero value is not
// usable; see [New].
type Disk struct {
	// Fault, when not nil, makes the disk fail.
	Fault *Fault
	// Capacity, when not 0, is how many bytes there is room for.
	Capacity int64
	// Returns: a file that was removed may be there again after [Disk.Shuffle].
	Returns bool

	files   map[string]*content
	removed map[string]*content
	counts  map[Op]int
	failed  bool // a fault that lasts forever has begun
	closed  bool // the machine this disk was in has stopped
}

// content is a file as it is seen and as it would be after a power cut.
type content struct {
	seen    []byte
	durable []byte
	named   bool // the name would outlive a power cut
	pending []change
}

// change is a write or truncation that is not synced.
type change struct {
	truncate bool
	at       int64
	bytes    []byte
}

// New returns an empty disk.
func New() *Disk {
	return &Disk{files: map[string]*content{}, removed: map[string]*content{}, counts: map[Op]int{}}
}

// Count is how many operations of this kind there were.
func (d *Disk) Count(op Op) int { return d.counts[op] }

// Bytes returns a copy of what a file holds; nil: no such file.
func (d *Disk) Bytes(name string) []byte {
	if c := d.files[name]; c != nil {
		return append([]byte{}, c.seen...)
	}
	return nil
}

// Put makes a synced file with this content, or replaces one.
func (d *Disk) Put(name string, b []byte) {
	d.files[name] = &content{seen: slices.Clone(b), durable: slices.Clone(b), named: true}
}

// Unsynced is the number of writes and truncations that no sync has kept.
func (d *Disk) Unsynced() int {
	n := 0
	for _, c := range d.files {
		n += len(c.pending)
	}
	return n
}

// Copy returns a healthy disk with the same content, synced and unsynced.
func (d *Disk) Copy() *Disk {
	other := New()
	other.Returns = d.Returns
	for name, c := range d.files {
		other.files[name] = &content{slices.Clone(c.seen), slices.Clone(c.durable), c.named, slices.Clone(c.pending)}
	}
	maps.Copy(other.removed, d.removed)
	return other
}

// Kill stops the program but not the machine: what was written is there. The
// old disk's handles fail; go on with the new one.
func (d *Disk) Kill() *Disk {
	d.closed = true
	return d.Copy()
}

// Names lists the files.
func (d *Disk) Names() ([]string, error) {
	if d.closed {
		return nil, fmt.Errorf("list: %w", ErrFault)
	}
	var names []string
	for name := range d.files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names, nil
}

// Open opens a file and creates it when there is none.
func (d *Disk) Open(name string) (journal.File, error) {
	if f := d.fault(Open); f != nil {
		return nil, fmt.Errorf("open: %w", ErrFault)
	}
	c := d.files[name]
	if c == nil {
		c = &content{}
		d.files[name] = c
	}
	return &file{disk: d, content: c}, nil
}

// Remove deletes a file.
func (d *Disk) Remove(name string) error {
	if f := d.fault(Remove); f != nil {
		return fmt.Errorf("remove: %w", ErrFault)
	}
	c := d.files[name]
	if c == nil {
		return fmt.Errorf("remove: there is no %s", name)
	}
	if c.named {
		d.removed[name] = c
	}
	delete(d.files, name)
	return nil
}

// fault counts an operation and says whether and how it fails.
func (d *Disk) fault(op Op) *Fault {
	d.counts[op]++
	switch {
	case d.closed:
		return &Fault{}
	case d.Fault == nil:
		return nil
	case d.failed && op != Read && op != Open:
		return d.Fault
	case d.Fault.Op == op && d.Fault.At == d.counts[op]:
		d.failed = d.Fault.Forever
		return d.Fault
	}
	return nil
}

func (d *Disk) room(grow int64) int64 {
	if d.Capacity == 0 {
		return grow
	}
	used := int64(0)
	for _, c := range d.files {
		used += int64(len(c.seen))
	}
	return min(grow, max(0, d.Capacity-used))
}

type file struct {
	disk    *Disk
	content *content
	closed  bool
}

func (f *file) ReadAt(p []byte, off int64) (int, error) {
	if fault := f.disk.fault(Read); fault != nil || f.closed {
		return 0, fmt.Errorf("read: %w", ErrFault)
	}
	if off >= int64(len(f.content.seen)) {
		return 0, io.EOF
	}
	n := copy(p, f.content.seen[off:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (f *file) WriteAt(p []byte, off int64) (int, error) {
	fault := f.disk.fault(Write)
	if f.closed {
		return 0, fmt.Errorf("write: %w", ErrFault)
	}
	if fault != nil {
		n := min(len(p), fault.Through)
		f.content.change(change{at: off, bytes: slices.Clone(p[:n])})
		return n, fmt.Errorf("write: %w", ErrFault)
	}
	grow := max(0, off+int64(len(p))-int64(len(f.content.seen)))
	if room := f.disk.room(grow); room < grow {
		n := max(0, len(p)-int(grow-room))
		f.content.change(change{at: off, bytes: slices.Clone(p[:n])})
		return n, fmt.Errorf("write: %w", journal.ErrFull)
	}
	f.content.change(change{at: off, bytes: slices.Clone(p)})
	return len(p), nil
}

func (f *file) Size() (int64, error) {
	if f.closed || f.disk.closed {
		return 0, fmt.Errorf("size: %w", ErrFault)
	}
	return int64(len(f.content.seen)), nil
}

func (f *file) Truncate(size int64) error {
	if fault := f.disk.fault(Truncate); fault != nil || f.closed {
		return fmt.Errorf("truncate: %w", ErrFault)
	}
	f.content.change(change{truncate: true, at: size})
	return nil
}

func (f *file) Sync() error {
	fault := f.disk.fault(Sync)
	if f.closed {
		return fmt.Errorf("sync: %w", ErrFault)
	}
	c := f.content
	if fault != nil {
		if fault.Forget {
			c.pending = nil
		}
		return fmt.Errorf("sync: %w", ErrFault)
	}
	for _, change := range c.pending {
		c.durable = change.apply(c.durable)
	}
	c.pending, c.named = nil, true
	return nil
}

func (f *file) Close() error {
	f.closed = true
	return nil
}

func (c *content) change(ch change) {
	if len(ch.bytes) == 0 && !ch.truncate {
		return
	}
	c.seen = ch.apply(c.seen)
	c.pending = append(c.pending, ch)
}

// apply makes the change to b; a gap is filled with zeros.
func (ch change) apply(b []byte) []byte {
	if ch.truncate {
		if ch.at <= int64(len(b)) {
			return b[:ch.at:ch.at]
		}
		return append(b, make([]byte, ch.at-int64(len(b)))...)
	}
	end := ch.at + int64(len(ch.bytes))
	if grow := end - int64(len(b)); grow > 0 {
		b = append(b, make([]byte, grow)...)
	}
	copy(b[ch.at:], ch.bytes)
	return b
}
