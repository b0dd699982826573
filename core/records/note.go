package records

import (
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
)

const noteForm = 1

// note is what must be known of all births without reading them.
type note struct {
	device       string
	seq, lamport uint64
	wholeFrom    uint64 // below it lines of any birth may be lost; 0: none is
	archived     uint64 // births that moved
	own          []string
	highest      []counted
}

// counted is a device and its highest count of births.
type counted struct {
	device string
	n      uint64
}

func (n *note) highestOf(device string) uint64 {
	for _, c := range n.highest {
		if c.device == device {
			return c.n
		}
	}
	return 0
}

// count keeps the highest count above that of a birth.
func (n *note) count(id string) {
	device, k := split(id)
	for i := range n.highest {
		if c := &n.highest[i]; c.device == device {
			c.n = max(c.n, k)
			return
		}
	}
	n.highest = append(n.highest, counted{device, k})
}

func (n *note) bytes() []byte {
	b := text([]byte{noteForm}, n.device)
	for _, v := range []uint64{n.seq, n.lamport, n.wholeFrom, n.archived, uint64(len(n.own))} {
		b = binary.AppendUvarint(b, v)
	}
	for _, d := range n.own {
		b = text(b, d)
	}
	b = binary.AppendUvarint(b, uint64(len(n.highest)))
	for _, c := range n.highest {
		b = binary.AppendUvarint(text(b, c.device), c.n)
	}
	return b
}

func text(b []byte, s string) []byte {
	return append(binary.AppendUvarint(b, uint64(len(s))), s...)
}

// readNote reads what bytes wrote; nothing is an empty note.
func readNote(b []byte) (n note, err error) {
	if len(b) == 0 {
		return n, nil
	}
	if b[0] > noteForm {
		return n, fmt.Errorf("%w: its note has form %d, this program reads %d", journal.ErrTooNew, b[0], noteForm)
	}
	r := numbers{b: b[1:]}
	n.device = r.text()
	n.seq, n.lamport, n.wholeFrom, n.archived = r.next(), r.next(), r.next(), r.next()
	for k := r.next(); k > 0 && !r.bad; k-- {
		n.own = append(n.own, r.text())
	}
	for k := r.next(); k > 0 && !r.bad; k-- {
		n.highest = append(n.highest, counted{r.text(), r.next()})
	}
	if r.bad || len(r.b) > 0 || b[0] != noteForm {
		return note{}, fmt.Errorf("%w: its note", archive.ErrDamaged)
	}
	return n, nil
}

// numbers reads LEB128 numbers and texts, one after another.
type numbers struct {
	b   []byte
	bad bool
}

func (r *numbers) next() uint64 {
	n, size := binary.Uvarint(r.b)
	if size <= 0 {
		r.b, r.bad = nil, true
		return 0
	}
	r.b = r.b[size:]
	return n
}

func (r *numbers) text() string {
	n := r.next()
	if n > uint64(len(r.b)) {
		r.b, r.bad = nil, true
		return ""
	}
	s := string(r.b[:n])
	r.b = r.b[n:]
	return s
}

// line is what a list of older births knows of one.
type line struct {
	deleted                bool
	vouched, lost, lamport uint64
	rest                   []byte
}

func (l line) bytes() []byte {
	b := []byte{0}
	if l.deleted {
		b[0] = 1
	}
	b = binary.AppendUvarint(b, l.vouched)
	b = binary.AppendUvarint(b, l.lost)
	return append(binary.AppendUvarint(b, l.lamport), l.rest...)
}

func readLine(b []byte) (line, bool) {
	r := numbers{b: b}
	l := line{deleted: r.next() == 1, vouched: r.next(), lost: r.next(), lamport: r.next()}
	l.rest = r.b
	return l, !r.bad
}

// key is a birth's key in the archive; id is one.
func key(id string) string {
	device, n := split(id)
	return keyOf(device, n)
}

func keyOf(device string, n uint64) string {
	return string(binary.BigEndian.AppendUint64([]byte(device), n))
}

// idOf is the birth id of a key; empty for any other bytes.
func idOf(key string) string {
	if len(key) != birth.DeviceLen+8 {
		return ""
	}
	return birth.BirthID(key[:birth.DeviceLen], binary.BigEndian.Uint64([]byte(key[birth.DeviceLen:])))
}

func split(id string) (device string, n uint64) {
	device, digits, _ := strings.Cut(id, "-")
	n, _ = strconv.ParseUint(digits, 10, 64)
	return device, n
}
