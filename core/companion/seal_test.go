package companion_test

import (
	"errors"
	"strings"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// sealedDisk is the disk of one birth behind a PIN.
func sealedDisk(t *testing.T) (*journaltest.Disk, string) {
	t.Helper()
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	must(t, setPIN(t, c, pin))
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	return disk, id
}

// remove takes away the files whose names begin so.
func remove(t *testing.T, d *journaltest.Disk, prefix string) {
	t.Helper()
	names, err := d.Names()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasPrefix(name, prefix) {
			if err := d.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func aboutOf(t *testing.T, c *companion.Companion) companion.AboutReply {
	t.Helper()
	return ask[*companion.Nothing, companion.AboutReply](t, c, "companion.about", &companion.Nothing{})
}

// TestAnOlderProgramBeginsNothingBesideTheSealedRow: one that knows the open row
// only is told that its records are of a newer version; also where this one was
// ended before it could leave the guard.
func TestAnOlderProgramBeginsNothingBesideTheSealedRow(t *testing.T) {
	disk, _ := sealedDisk(t)
	for _, when := range []string{"sealed", "and opened once more"} {
		if _, _, err := journal.Open(disk); !errors.Is(err, journal.ErrTooNew) {
			t.Errorf("%s: an older program finds %v", when, err)
		}
		remove(t, disk, journal.Guard)
		must(t, unlock(t, open(t, disk), pin))
	}
}

// TestAnOpenRowOfAnotherIsSetAside: what an older program wrote beside the
// sealed row is neither taken in nor removed, and that is said.
func TestAnOpenRowOfAnotherIsSetAside(t *testing.T) {
	disk, id := sealedDisk(t)
	other := journaltest.New()
	newBirth(t, phone(t, other, 60))
	for _, damage := range []bool{false, true} {
		b := other.Bytes(segment)
		if damage {
			b = b[:len(b)-3]
		}
		disk.Put(segment, b)
		c := open(t, disk)
		if aboutOf(t, c).Aside {
			t.Error("locked, and it tells what lies beside")
		}
		must(t, unlock(t, c, pin))
		list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{})
		if len(list.Births) != 1 || list.Births[0].Birth != id || !aboutOf(t, c).Aside || disk.Bytes(segment) == nil {
			t.Errorf("cut %v: %d births, aside %v, its file has %d bytes", damage, len(list.Births), aboutOf(t, c).Aside, len(disk.Bytes(segment)))
		}
	}
}

// TestSealedRecordsThatAreGoneAreMissed: never an empty list, and nobody's open
// row in their place.
func TestSealedRecordsThatAreGoneAreMissed(t *testing.T) {
	gone, _ := sealedDisk(t)
	remove(t, gone, "sealed-")
	replaced := gone.Copy()
	other := journaltest.New()
	newBirth(t, phone(t, other, 60))
	replaced.Put(segment, other.Bytes(segment))
	all := gone.Copy()
	remove(t, all, "keys-")
	for name, disk := range map[string]*journaltest.Disk{"gone": gone, "replaced": replaced, "keys too": all} {
		_, err := companion.Open(host(disk))
		if f, is := err.(*companion.Fault); !is || f.Code != "keys_broken" {
			t.Errorf("%s: %v", name, err)
		}
	}
	emptied, _ := sealedDisk(t)
	emptied.Put("sealed-"+segment, make([]byte, 400))
	c := open(t, emptied)
	if f := unlock(t, c, pin); f == nil || f.Code != "keys_broken" {
		t.Errorf("zeros in their place: %v", f)
	}
}

// TestALastLineThatWasCutStaysSaid when the records are sealed, until something
// is written behind it and the program starts anew, as without a PIN.
func TestALastLineThatWasCutStaysSaid(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "80"})
	b := disk.Bytes(segment)
	disk = journaltest.New()
	disk.Put(segment, b[:len(b)-7])
	c = open(t, disk)
	if !show(t, c, id).LastCut {
		t.Fatal("nothing was cut")
	}
	must(t, setPIN(t, c, pin))
	for _, when := range []string{"sealed", "and started again"} {
		if !show(t, c, id).LastCut || !aboutOf(t, c).TornTail {
			t.Errorf("%s: nobody looked, and nothing is said of the cut line", when)
		}
		c = open(t, disk)
		must(t, unlock(t, c, pin))
	}
	save(t, c, "birth.looked_through", &companion.BirthRequest{Birth: id})
	c = open(t, disk)
	must(t, unlock(t, c, pin))
	if show(t, c, id).LastCut || aboutOf(t, c).TornTail || show(t, c, id).Damaged {
		t.Error("looked through, and it is said again")
	}
}

// TestLockedNobodyKnowsWhetherABirthIsOpen, so that no new version takes over
// in the middle of one.
func TestLockedNobodyKnowsWhetherABirthIsOpen(t *testing.T) {
	disk, _ := sealedDisk(t)
	c := open(t, disk)
	if a := aboutOf(t, c); a.Open != -1 {
		t.Errorf("locked: %+v", a)
	}
	must(t, unlock(t, c, pin))
	if a := aboutOf(t, c); a.Open != 1 {
		t.Errorf("opened: %+v", a)
	}
}
