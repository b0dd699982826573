package records

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"fourchette/core/archive"
	"fourchette/core/birth"
)

// Old is a birth of the archive as a list knows it.
type Old struct {
	ID string
	// Summary is what move gave; nil where only the birth itself can be read, or
	// nothing of it.
	Summary []byte
	Damaged bool
}

// Place is how far down the list of older births somebody has read.
type Place []At

// At is where a device's births go on: those with a count below.
type At struct {
	Device string
	Below  uint64
}

// Top is the place before the newest of all.
func (r *Records) Top() Place {
	var top Place
	for _, c := range r.note.highest {
		top = append(top, At{c.device, c.n + 1})
	}
	return top
}

// Older lists births of the archive from a place on, at most so many, those
// opened last first, and the place where the list goes on. An empty list is its
// end.
func (r *Records) Older(from Place, most int) ([]Old, Place, error) {
	rows := make([][]older, len(from))
	for i, at := range from {
		var err error
		if rows[i], err = r.of(at, most); err != nil {
			return nil, nil, err
		}
	}
	to := append(Place(nil), from...)
	var list []Old
	for len(list) < most {
		next := -1
		for i, row := range rows {
			if len(row) > 0 && (next < 0 || row[0].lamport > rows[next][0].lamport) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		list = append(list, rows[next][0].Old)
		to[next].Below = rows[next][0].n
		rows[next] = rows[next][1:]
	}
	return list, to, nil
}

// older is a line on its way into the list.
type older struct {
	Old
	n, lamport uint64
}

// of lists a device's births that are not live.
func (r *Records) of(at At, most int) (row []older, err error) {
	for len(row) < most {
		list, err := r.archive.Before(keyOf(at.Device, at.Below), most)
		if err != nil {
			return nil, err
		}
		for _, l := range list {
			id := idOf(l.Key)
			device, n := split(id)
			if device != at.Device || n == 0 {
				return row, nil
			}
			at.Below = n
			if o, shown := r.older(id, n, l); shown {
				row = append(row, o)
			}
		}
		if len(list) < most {
			break
		}
	}
	return row, nil
}

// older reads a line; births that are live or deleted are not shown.
func (r *Records) older(id string, n uint64, l archive.Listed) (o older, shown bool) {
	if r.kept[id] != nil || slices.Contains(r.gone, id) {
		return o, false
	}
	read, ok := readLine(l.Summary)
	o = older{Old: Old{ID: id, Summary: read.rest}, n: n, lamport: read.lamport}
	if ok {
		o.Damaged = l.GivenUp || doubtful(read.vouched, max(read.lost, r.note.wholeFrom))
		return o, !read.deleted
	}
	o.Summary, o.lamport = nil, math.MaxUint64 // its place among other devices' is not known
	b, err := r.Birth(id)
	o.Damaged = err != nil || b.Damaged
	return o, !errors.Is(err, ErrUnknown)
}

// Numbered finds births by the number that people say, "K7Q-12": of all devices
// whose id begins so. Live ones are among them.
func (r *Records) Numbered(number string) (ids []string, err error) {
	head, digits, _ := strings.Cut(strings.ToLower(strings.TrimSpace(number)), "-")
	n, bad := strconv.ParseUint(digits, 10, 64)
	if bad != nil || n == 0 {
		return nil, nil
	}
	for _, c := range r.note.highest {
		id := birth.BirthID(c.device, n)
		if n > c.n || !strings.EqualFold(birth.Number(id), head+"-"+strconv.FormatUint(n, 10)) {
			continue
		}
		if _, err := r.Birth(id); err != nil {
			if errors.Is(err, ErrUnknown) {
				continue
			}
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}
