package records_test

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"testing"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/records"
)

// fataler is a test, of this package's kind or of the property's.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
	Fatal(...any)
}

const device = "aebagbaf"

// now is a clock that stands still: nothing here goes by it.
var now = birth.Now{Wall: 1_800_000_000_000, Running: 1, Run: "run"}

// clinic is a program that keeps records, and what it was told is saved.
type clinic struct {
	t     fataler
	d     *journaltest.Disk
	r     *records.Records
	saved []birth.Record
	// pending is an event whose Append failed: it may be there or not.
	pending *birth.Record
	// doubt: births may be damaged, says the journal.
	doubt bool
}

func start(t fataler, d *journaltest.Disk) *clinic {
	t.Helper()
	c := &clinic{t: t, d: d}
	c.open()
	return c
}

func (c *clinic) open() records.Report {
	c.t.Helper()
	r, report, err := records.Open(c.d, journal.Plain{})
	if err != nil {
		c.t.Fatalf("open: %v", err)
	}
	c.r = r
	if r.Writer().Device == "" {
		r.Writer().Device = device
	}
	return report
}

// event stamps an event.
func (c *clinic) event(id, kind string, body func(*birth.Event)) birth.Record {
	c.t.Helper()
	e := c.r.Writer().Next(id, kind, now)
	if body != nil {
		body(&e)
	}
	r, err := e.Record()
	if err != nil {
		c.t.Fatal(err)
	}
	return r
}

// write appends an event and reports whether it was saved.
func (c *clinic) write(id, kind string, body func(*birth.Event)) bool {
	c.t.Helper()
	e := c.event(id, kind, body)
	if err := c.r.Append(e); err != nil {
		c.pending = &e
		return false
	}
	c.saved = append(c.saved, e)
	return true
}

func (c *clinic) begin() (id string, ok bool) {
	id = c.r.NextBirth(device)
	return id, c.write(id, birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{Bed: "2"} })
}

func (c *clinic) say(id, word string) bool {
	return c.write(id, birth.KindFinding, func(e *birth.Event) { e.Finding = &birth.Finding{Name: "perineal_skin", Value: word} })
}

func (c *clinic) close(id string) bool { return c.write(id, birth.KindClosed, nil) }

// closed moves what is closed.
func closed(b *birth.Birth) ([]byte, bool) { return []byte("line of " + b.ID), b.Closed }

func (c *clinic) tidy() error {
	_, _, err := c.r.Tidy(closed)
	return err
}

// delete deletes a birth; what of it is in the files goes when they are tidied.
func (c *clinic) delete(id string) bool {
	return c.write(id, birth.KindDeleted, func(e *birth.Event) { e.Deleted = &birth.Deleted{Reason: "kept_long_enough"} })
}

// shown is every birth that can be found, live and older.
func (c *clinic) shown() (list []birth.Birth) {
	c.t.Helper()
	list = slices.Clone(c.r.Live())
	for place := c.r.Top(); ; {
		old, next, err := c.r.Older(place, 2)
		if err != nil {
			c.t.Fatal(err)
		}
		if len(old) == 0 {
			return list
		}
		place = next
		for _, o := range old {
			b, err := c.r.Birth(o.ID)
			if err != nil {
				c.t.Fatalf("%s is listed: %v", o.ID, err)
			}
			if o.Damaged && !b.Damaged { // the other way round the list cannot know yet
				c.t.Fatalf("%s is whole, the list says it is damaged", o.ID)
			}
			list = append(list, b)
		}
	}
}

// holds checks that all that was saved is there, and nothing else but what may
// be, and that each birth is what its events come to.
func (c *clinic) holds(what string) {
	c.t.Helper()
	state := birth.Replay(c.saved)
	want := map[string]birth.Birth{}
	for _, b := range state.Births {
		want[b.ID] = b
	}
	may, pending := map[string]birth.Birth{}, ""
	if c.pending != nil {
		pending = c.pending.Event.Birth
		for _, b := range birth.Replay(append(slices.Clone(c.saved), *c.pending)).Births {
			if b.ID == pending {
				may[pending] = b
			}
		}
	}
	seen := map[string]bool{}
	for _, b := range c.shown() {
		if seen[b.ID] {
			c.t.Fatalf("%s: %s is shown twice", what, b.ID)
		}
		seen[b.ID] = true
		if c.doubt {
			b.Damaged = false
		}
		w, there := want[b.ID]
		m, perhaps := may[b.ID]
		switch {
		case there && reflect.DeepEqual(b, w):
		case perhaps && reflect.DeepEqual(b, m):
			c.saved = append(c.saved, *c.pending)
			c.pending = nil
		default:
			c.t.Fatalf("%s: %s is %s\nwant %s", what, b.ID, brief(b), brief(w))
		}
	}
	for id := range want {
		switch {
		case seen[id]:
		case id == pending && c.pending != nil && c.pending.Event.Kind == birth.KindDeleted:
			c.saved = append(c.saved, *c.pending)
		default:
			c.t.Fatalf("%s: %s is gone", what, id)
		}
	}
	for _, id := range state.Deleted {
		if _, err := c.r.Birth(id); !errors.Is(err, records.ErrUnknown) {
			c.t.Fatalf("%s: %s was deleted: %v", what, id, err)
		}
	}
	c.pending = nil
}

func brief(b birth.Birth) string {
	var kinds []string
	for _, r := range b.Log {
		kinds = append(kinds, fmt.Sprintf("%s %s", r.Event.ID(), r.Event.Kind))
	}
	return fmt.Sprintf("%s damaged %v %q", b.ID, b.Damaged, kinds)
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// inFiles reports whether a payload is in a file of the disk as it stands: only
// the journal and volumes of a single, short item hold it so.
func inFiles(d *journaltest.Disk, payload []byte) bool {
	names, _ := d.Names()
	return slices.ContainsFunc(names, func(name string) bool { return bytes.Contains(d.Bytes(name), payload) })
}
