package records_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/records"
)

// Once a version is released its folder is never written again: it stands for
// the phones that hold such files. So only the newest one can be.
var update = flag.Bool("update", false, "write testdata/archive of the newest version anew")

const kept1 = "../../testdata/archive/v1"

// keep writes what this version leaves after the history of the crash tests:
// births in the archive, live ones, and entries in the journal.
func keep(t *testing.T, d *journaltest.Disk) {
	must(t, os.MkdirAll(kept1, 0o755))
	names, err := d.Names()
	must(t, err)
	for _, name := range names {
		must(t, os.WriteFile(filepath.Join(kept1, name), d.Bytes(name), 0o644))
	}
}

func TestVersion1StaysReadable(t *testing.T) {
	written := journaltest.New()
	c := start(t, written)
	history(c)
	if *update {
		keep(t, written)
	}
	entries, err := os.ReadDir(kept1)
	if err != nil || len(entries) != 4 {
		t.Fatalf("%d files in %s: %v", len(entries), kept1, err)
	}
	d := journaltest.New()
	for _, entry := range entries {
		b, err := os.ReadFile(filepath.Join(kept1, entry.Name()))
		must(t, err)
		d.Put(entry.Name(), b)
		if !bytes.Equal(b, written.Bytes(entry.Name())) {
			t.Errorf("%s: this version writes other bytes", entry.Name())
		}
	}
	r, report, err := records.Open(d, journal.Plain{})
	must(t, err)
	if !reflect.DeepEqual(report, records.Report{Journal: journal.Report{Segments: 1, Frames: 1}}) {
		t.Errorf("%+v", report)
	}
	old := &clinic{t: t, d: d, r: r, saved: c.saved}
	old.holds("version 1")
	if r.Archived() != 2 || len(r.Live()) != 2 || r.Writer().Device != device || r.NextBirth(device) != device+"-6" {
		t.Errorf("%d moved, %d live, %+v", r.Archived(), len(r.Live()), r.Writer())
	}
	b, err := r.Birth(device + "-1")
	must(t, err)
	kinds := []string{birth.KindOpened, birth.KindFinding, birth.KindClosed, birth.KindFinding}
	for i, kind := range kinds {
		if len(b.Log) != len(kinds) || b.Log[i].Event.Kind != kind {
			t.Fatalf("%s", brief(b))
		}
	}
	if b.Findings.PerinealSkin != "intact" || b.Bed != "2" || !b.Closed || b.Damaged {
		t.Errorf("%+v", b)
	}
	must(t, old.tidy())
	old.holds("version 1, tidied by this one")
}
