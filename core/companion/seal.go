package companion

import (
	"slices"
	"strings"

	"fourchette/core/journal"
	"fourchette/core/vault"
)

// Two rows of files hold the records, one after the other: "journal-…" until a
// PIN is set, and from then on "sealed-journal-…", whose payloads are sealed.
//
// When the first PIN is set, all payloads of the open row are written into the
// sealed one in their order, unaltered, and behind them a mark. From the mark
// on the sealed row alone counts and the open one is removed; before it the
// open row alone counts. So a program that ends in the middle goes on at the
// next unlocking, with as many payloads as are there already, and whoever puts
// an open row there later is not listened to.
//
// In the place of the open row a guard is left, [journal.Guard]: an older
// program, which knows no sealed row, would begin an empty open one beside it.
// Where the guard stands, the mark was written: a sealed row that is not there
// any more is missed.

// row is the files of a disk whose names begin with a prefix, without it, and
// without the guard.
type row struct {
	journal.Disk
	prefix string
}

func sealedRow(d journal.Disk) row { return row{d, "sealed-"} }

func (r row) Names() ([]string, error) {
	all, err := r.Disk.Names()
	var names []string
	for _, name := range all {
		if own, is := strings.CutPrefix(name, r.prefix); is && own != journal.Guard {
			names = append(names, own)
		}
	}
	return names, err
}

func (r row) Open(name string) (journal.File, error) { return r.Disk.Open(r.prefix + name) }

func (r row) Remove(name string) error { return r.Disk.Remove(r.prefix + name) }

var (
	// sealedFromHere is the mark: msgpack's nil, with which no event begins.
	sealedFromHere = []byte{0xc0}
	// cutFromHere is the mark where the open row ended in part of a line.
	cutFromHere = []byte{0xc0, 0xc2}
	// lostHere stands for what could not be read of the open row: a byte that
	// msgpack never uses. It is read as damage, in its place.
	lostHere = []byte{0xc1}
)

func isMark(payload []byte) bool { return len(payload) > 0 && payload[0] == sealedFromHere[0] }

// openRows opens the row that counts. A vault that is locked hides which one
// does, so the sealed one is looked at and not read.
func (c *Companion) openRows() error {
	c.aside = false
	if c.lock.vault == nil {
		return c.openRow(c.host.Disk, journal.Plain{})
	}
	if err := c.openRow(sealedRow(c.host.Disk), c.lock.vault.Sealer(vault.Journal)); err != nil || c.lock.shut() {
		return err
	}
	guarded, err := journal.Guarded(c.host.Disk)
	switch {
	case err != nil:
		return err
	case !guarded:
		return c.finishSealing()
	case c.report.Frames == 0:
		return sealedGone()
	}
	return c.sealedLongSince()
}

// finishSealing goes on where the setting of a PIN ended, and then leaves the
// guard, so that no later start looks for the mark among all the records.
func (c *Companion) finishSealing() error {
	marked, n, err := c.marked()
	switch {
	case err != nil:
		return err
	case marked:
		err = c.sealedLongSince()
	default:
		if c.unsealed = c.moveIn(n); c.unsealed != nil { // a full disk: what is open goes on counting
			_ = c.journal.Close()
			return c.openRow(c.host.Disk, journal.Plain{})
		}
		err = c.dropOpenRow()
	}
	if err == nil {
		_ = journal.PutGuard(c.host.Disk) // what fails is tried again at the next unlocking
	}
	return err
}

func sealedGone() *Fault {
	return &Fault{Code: FaultKeysBroken, Detail: "the records were sealed, and the sealed ones are gone"}
}

func (c *Companion) openRow(d journal.Disk, s journal.Sealer) error {
	j, report, err := journal.OpenSealed(d, s)
	if err == nil {
		c.journal, c.report = j, report
	}
	return err
}

// marked reports whether the mark is in the open journal, and how many payloads
// there are.
func (c *Companion) marked() (is bool, n int, err error) {
	err = c.journal.Each(func(_ uint64, payload []byte) error {
		is = is || isMark(payload)
		n++
		return nil
	})
	return is, n, err
}

// moveIn writes what the open row holds behind the first n payloads, which are
// there already, and then the mark.
func (c *Companion) moveIn(n int) error {
	from, report, err := journal.Open(c.host.Disk)
	if err != nil {
		return err
	}
	defer from.Close()
	write := func(payload []byte) error {
		if n--; n >= 0 {
			return nil
		}
		return c.journal.Append(payload)
	}
	lost := report.WholeFrom
	err = from.Each(func(seq uint64, payload []byte) error {
		if lost > 0 && seq >= lost {
			lost = 0
			if err := write(lostHere); err != nil {
				return err
			}
		}
		return write(payload)
	})
	if err == nil && lost > 0 {
		err = write(lostHere)
	}
	switch {
	case err != nil:
		return err
	case report.TornTail:
		return c.journal.Append(cutFromHere)
	}
	return c.journal.Append(sealedFromHere)
}

// sealedLongSince removes what is left of the open row when all of it is in the
// sealed one. Any other was written by an older program, or by somebody else:
// it is neither removed nor read for its records, and that is said.
func (c *Companion) sealedLongSince() error {
	names, err := row{c.host.Disk, ""}.Names()
	if err != nil || !slices.ContainsFunc(names, journal.IsSegment) {
		return err
	}
	moved := map[string]bool{}
	if err := c.journal.Each(func(_ uint64, payload []byte) error {
		moved[string(payload)] = true
		return nil
	}); err != nil {
		return err
	}
	open, report, err := journal.Open(row{c.host.Disk, ""})
	if err != nil {
		c.aside = true
		return nil
	}
	defer open.Close()
	c.aside = report.Frames == 0 && (report.TornTail || len(report.Damaged) > 0)
	err = open.Each(func(_ uint64, payload []byte) error {
		c.aside = c.aside || !moved[string(payload)]
		return nil
	})
	if err != nil || c.aside {
		return err
	}
	return c.dropOpenRow()
}

// dropOpenRow removes the row that no longer counts.
func (c *Companion) dropOpenRow() error {
	names, err := row{c.host.Disk, ""}.Names()
	if err != nil {
		return err
	}
	for _, name := range names {
		if journal.IsSegment(name) {
			if err := c.host.Disk.Remove(name); err != nil {
				return err
			}
		}
	}
	return nil
}
