package companion_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"hash/crc32"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/exchange"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/pack"
	"fourchette/core/records"
	"fourchette/core/vault"
)

// Once a version is released its folder is never written again: it stands for
// the phones that hold such files. So only the newest one can be.
var update = flag.Bool("update", false, "write testdata/sealed and testdata/packs of the newest version anew")

const testdata = "../../testdata/"

// A format is a kind of file that phones hold, of every version ever released.
// What such files say in full is read in the format's own package; here this
// program opens them.
type format struct {
	// holds is what is in the kept files of each version. A folder without a
	// line, and a line without a folder, fail.
	holds map[string]string
	// reads opens the files and says in short what is in them.
	reads func(t *testing.T, d *journaltest.Disk) string
	// opens is the fault with which files are refused, "" when they are taken.
	opens func(t *testing.T, d *journaltest.Disk) string
	// newer is that fault for a file of the next version.
	newer func(name string) string
}

// formats are the folders of testdata that hold files of phones.
var formats = map[string]format{
	"journals": {
		holds: map[string]string{"v1": "1 births, 20 lines", "v2": "1 births, 16 lines", "v3": "1 births, 8 lines", "v4": "0 births, 0 lines"},
		reads: func(t *testing.T, d *journaltest.Disk) string { return inShort(t, open(t, d)) },
		opens: refusal, newer: always("journal_too_new"),
	},
	"sealed": {
		holds: map[string]string{"v1": "1 births, 20 lines"},
		reads: func(t *testing.T, d *journaltest.Disk) string {
			c := open(t, d)
			must(t, unlock(t, c, pin))
			return inShort(t, c)
		},
		opens: refusal, newer: func(name string) string {
			if strings.HasPrefix(name, "sealed-journal-") {
				return "journal_too_new"
			}
			return "keys_too_new"
		},
	},
	"vault": {
		holds: map[string]string{"v1": "63 bytes in 3 entries"},
		reads: openVault,
		opens: refusal, newer: func(name string) string {
			if journal.IsSegment(name) { // a row that no phone has beside a key: looked at by nobody
				return ""
			}
			return "keys_too_new"
		},
	},
	"archive": {
		holds: map[string]string{"v1": "2 archived, 2 live"},
		reads: func(t *testing.T, d *journaltest.Disk) string {
			r, report, err := records.Open(d, journal.Plain{})
			if err != nil || report.Journal.Frames == 0 {
				t.Fatalf("%+v, %v", report, err)
			}
			return fmt.Sprint(r.Archived(), " archived, ", len(r.Live()), " live")
		},
		opens: func(_ *testing.T, d *journaltest.Disk) string {
			r, _, err := records.Open(d, journal.Plain{})
			if err == nil {
				_, err = r.Birth(archivedBirth)
			}
			return map[bool]string{true: "too new"}[errors.Is(err, journal.ErrTooNew)]
		},
		newer: func(name string) string {
			// The last directory speaks for the copy before it and for the volumes,
			// whose own heads are not read: a newer program writes a newer one.
			if name == "contents-00000007" || name == "archive-00000005" {
				return ""
			}
			return "too new"
		},
	},
	"exports": {
		holds: map[string]string{"v1": "3 entries, whole"},
		reads: func(t *testing.T, d *journaltest.Disk) string {
			r, err := exchange.NewReader(exportCode)
			if err == nil {
				err = r.Take(d.Bytes("records"), func([][]byte) error { return nil })
			}
			if err == nil {
				_, err = r.Close()
			}
			if err != nil || !r.Report().Whole() {
				t.Fatalf("%+v, %v", r.Report(), err)
			}
			return fmt.Sprint(r.Report().Entries, " entries, whole")
		},
		opens: takenIn, newer: always("export_too_new"),
	},
	"packs": {
		holds: map[string]string{"v1": "builtin, with pages"},
		reads: func(t *testing.T, d *journaltest.Disk) string {
			p, err := pack.Load(d.Bytes("builtin.pack"))
			if err != nil || len(p.Pages) == 0 {
				t.Fatalf("%d pages, %v", len(p.Pages), err)
			}
			return p.ID + ", with pages"
		},
		opens: func(_ *testing.T, d *journaltest.Disk) string {
			h := host(nil)
			h.Pack = d.Bytes("builtin.pack")
			_, err := companion.Open(h)
			return faultOf(err)
		},
		newer: always("pack_too_new"),
	},
}

// noFormats are the other folders of testdata.
var noFormats = []string{"pages", "pictures", "vectors"}

func always(fault string) func(string) string { return func(string) string { return fault } }

// faultOf is the fault's, "" without one.
func faultOf(err error) string {
	var f *companion.Fault
	if err != nil && !errors.As(err, &f) {
		return err.Error()
	}
	if f == nil {
		return ""
	}
	return f.Code
}

// refusal opens the program on the disk.
func refusal(_ *testing.T, d *journaltest.Disk) string {
	_, err := companion.Open(host(d))
	return faultOf(err)
}

// takenIn hands the file in, as a phone takes in another one's records.
func takenIn(t *testing.T, d *journaltest.Disk) string {
	c := open(t, journaltest.New())
	ask[*companion.CodeRequest, companion.ImportReply](t, c, "records.import_begin", &companion.CodeRequest{Code: exportCode})
	at := int64(0)
	for piece := range slices.Chunk(d.Bytes("records"), 32<<10) {
		var r companion.ImportReply
		if f := c.Ask("records.import_next", &companion.PieceRequest{At: at, Piece: piece}, &r); f != nil {
			return f.Code
		}
		at += int64(len(piece))
	}
	return ""
}

// What opens the kept files of version 1: see the tests of the packages that
// wrote them.
const (
	exportCode    = "46223 24382 44922 44047 46447 37639 04607 09404 12931 80875"
	vaultPIN      = "281946"
	archivedBirth = "aebagbaf-1"
)

func openVault(t *testing.T, d *journaltest.Disk) string {
	v, _, err := vault.Open(d, &counting{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	recipe, err := v.Try(0)
	if err != nil {
		t.Fatal(err)
	}
	key, err := vault.Derive(vaultPIN, recipe)
	if err == nil {
		err = v.Unlock(key, 0)
	}
	if err != nil {
		t.Fatal(err)
	}
	j, r, err := journal.OpenSealed(d, v.Sealer(vault.Journal))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	err = j.Each(func(_ uint64, payload []byte) error { n += len(payload); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprint(n, " bytes in ", r.Frames, " entries")
}

// inShort says what the program tells of its records. Nothing in them may be
// damaged, missing or unknown to it.
func inShort(t *testing.T, c *companion.Companion) string {
	t.Helper()
	a := ask[*companion.Nothing, companion.AboutReply](t, c, "companion.about", &companion.Nothing{})
	if a.Damaged > 0 || a.Missing > 0 || a.TornTail || a.Locked {
		t.Errorf("%+v", a)
	}
	lines := 0
	list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}).Births
	for _, b := range list {
		r := show(t, c, b.Birth)
		lines += len(r.Log)
		if r.Damaged || r.Newer > 0 {
			t.Errorf("%s: damaged %v, %d lines that are not understood", b.Number, r.Damaged, r.Newer)
		}
	}
	return fmt.Sprint(len(list), " births, ", lines, " lines")
}

// kept puts the files of a version on a disk.
func kept(t *testing.T, folder string) *journaltest.Disk {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) == 0 {
		t.Fatalf("no files in %s: %v", folder, err)
	}
	d := journaltest.New()
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		d.Put(e.Name(), b)
	}
	return d
}

// content is what a disk holds.
func content(t *testing.T, d *journaltest.Disk) map[string]string {
	t.Helper()
	names, err := d.Names()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, name := range names {
		all[name] = string(d.Bytes(name))
	}
	return all
}

func folders(t *testing.T, path string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

// TestEveryReleasedFileOpens: with this program, and it alters none of them. It
// fails when testdata holds a format or a version that the table does not.
func TestEveryReleasedFileOpens(t *testing.T) {
	if *update {
		keepSealed(t)
		keepPack(t)
	}
	want := append(slices.Collect(maps.Keys(formats)), noFormats...)
	if got := folders(t, testdata); !slices.Equal(got, slices.Sorted(slices.Values(want))) {
		t.Errorf("testdata has %q, this table %q", got, want)
	}
	opened := 0
	for name, f := range formats {
		versions := folders(t, testdata+name)
		if !slices.Equal(versions, slices.Sorted(maps.Keys(f.holds))) {
			t.Errorf("%s: testdata has %q", name, versions)
		}
		for _, v := range versions {
			d := kept(t, testdata+name+"/"+v)
			before := content(t, d)
			if got := f.reads(t, d); got != f.holds[v] {
				t.Errorf("%s %s: %s, want %s", name, v, got, f.holds[v])
			}
			for file, b := range before {
				if string(d.Bytes(file)) != b && !strings.HasPrefix(file, "tries-") { // a try is counted
					t.Errorf("%s %s: opening altered %s", name, v, file)
				}
			}
			opened += len(before)
		}
	}
	t.Logf("%d files of %d formats were opened", opened, len(formats))
}

// TestANewerFileIsRefused: each file of each kept version, as the next version
// of its format would begin. The fault is its own, and no byte is altered.
func TestANewerFileIsRefused(t *testing.T) {
	refused := 0
	for name, f := range formats {
		for v := range f.holds {
			whole := kept(t, testdata+name+"/"+v)
			for file := range content(t, whole) {
				d := whole.Copy()
				d.Put(file, next(t, name, d.Bytes(file)))
				before := content(t, d)
				if got := f.opens(t, d); got != f.newer(file) {
					t.Errorf("%s %s, newer %s: %q, want %q", name, v, file, got, f.newer(file))
				}
				if !maps.Equal(content(t, d), before) {
					t.Errorf("%s %s, newer %s: the files were altered", name, v, file)
				}
				refused++
			}
			if got := f.opens(t, whole); got != "" {
				t.Errorf("%s %s: as it is: %q", name, v, got)
			}
		}
	}
	t.Logf("%d files were tried", refused)
}

// next is a file of the version after its own. Where a format says which bytes
// stay in every version, these are: magic, version, CRC-32C of both.
func next(t *testing.T, name string, b []byte) []byte {
	t.Helper()
	b = bytes.Clone(b)
	if name == "packs" {
		key := []byte("\xa6schema")
		if at := bytes.Index(b, key) + len(key); at == 1+len(key) && b[at] == pack.Schema {
			b[at]++
			return b
		}
		t.Fatal("a pack does not begin with its schema")
	}
	heads := []int{0}
	if name == "exports" {
		heads = []int{0, 4096}
	}
	for _, at := range heads {
		h := b[at:]
		binary.LittleEndian.PutUint32(h[8:], binary.LittleEndian.Uint32(h[8:])+1)
		binary.LittleEndian.PutUint32(h[12:], crc32.Checksum(h[:12], crc32.MakeTable(crc32.Castagnoli)))
	}
	return b
}

// TestEveryPackWithEveryJournal: whichever edition of the guidance a phone has,
// it reads the records of every version, and tells the same of them.
func TestEveryPackWithEveryJournal(t *testing.T) {
	tried := 0
	for _, p := range folders(t, testdata+"packs") {
		for _, j := range folders(t, testdata+"journals") {
			h := host(kept(t, testdata+"journals/"+j))
			h.Pack = kept(t, testdata+"packs/"+p).Bytes("builtin.pack")
			c, err := companion.Open(h)
			if err != nil {
				t.Fatalf("pack %s, journal %s: %v", p, j, err)
			}
			if got, want := inShort(t, c), formats["journals"].holds[j]; got != want {
				t.Errorf("pack %s, journal %s: %s, want %s", p, j, got, want)
			}
			tried++
		}
	}
	if tried == 0 {
		t.Error("nothing was tried")
	}
}

// TestAnEntrySealedInANewerForm is found when the records are unlocked.
func TestAnEntrySealedInANewerForm(t *testing.T) {
	d := kept(t, testdata+"sealed/v1")
	j, _, err := journal.OpenSealed(sealedFiles{d}, newerForm{})
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(j.Append([]byte("anything")), j.Close()); err != nil {
		t.Fatal(err)
	}
	sealed := func(name, _ string) bool { return !strings.HasPrefix(name, "sealed-journal-") }
	before := content(t, d)
	maps.DeleteFunc(before, sealed)
	c := open(t, d)
	if f := unlock(t, c, pin); f == nil || f.Code != "journal_too_new" {
		t.Errorf("%v", f)
	}
	after := content(t, d)
	maps.DeleteFunc(after, sealed)
	if !maps.Equal(after, before) {
		t.Error("the records were altered")
	}
}

// newerForm seals as a later version might: the form is the first byte.
type newerForm struct{ journal.Plain }

func (newerForm) Seal(_ string, _ uint64, plain []byte) ([]byte, error) {
	return append([]byte{2}, plain...), nil
}

// sealedFiles is the row of sealed segments.
type sealedFiles struct{ *journaltest.Disk }

func (d sealedFiles) Names() ([]string, error) {
	all, err := d.Disk.Names()
	var own []string
	for _, name := range all {
		if rest, is := strings.CutPrefix(name, "sealed-"); is {
			own = append(own, rest)
		}
	}
	return own, err
}

func (d sealedFiles) Open(name string) (journal.File, error) { return d.Disk.Open("sealed-" + name) }

// keepSealed writes what this version leaves of the story of journals/v1 when a
// PIN is set.
func keepSealed(t *testing.T) {
	d := kept(t, testdata+"journals/v1")
	h := host(d)
	h.Random = rand.NewChaCha8([32]byte{1})
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	must(t, setPIN(t, c, pin))
	store(t, testdata+"sealed/v1", content(t, d))
}

// keepPack writes the guidance that this version is built with.
func keepPack(t *testing.T) {
	built, err := filepath.Glob("../../wasm/.site/public/builtin.*.pack")
	if err != nil || len(built) != 1 {
		t.Fatalf("build the site first: %q, %v", built, err)
	}
	b, err := os.ReadFile(built[0])
	if err != nil {
		t.Fatal(err)
	}
	store(t, testdata+"packs/v1", map[string]string{"builtin.pack": string(b)})
}

func store(t *testing.T, folder string, files map[string]string) {
	t.Helper()
	err := os.MkdirAll(folder, 0o755)
	for name, b := range files {
		err = errors.Join(err, os.WriteFile(filepath.Join(folder, name), []byte(b), 0o644))
	}
	if err != nil {
		t.Fatal(err)
	}
}
