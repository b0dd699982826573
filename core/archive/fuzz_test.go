package archive_test

import (
	"bytes"
	"errors"
	"reflect"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// FuzzUnpack: no block makes more of itself than it was said to hold, and what
// it holds can be packed again.
func FuzzUnpack(f *testing.F) {
	f.Add(archive.Pack([]byte("the same and the same and the same")), uint16(34))
	f.Add([]byte{0x12, 'a', 1, 0, 0x50, 'v', 'w', 'x', 'y', 'z'}, uint16(12))
	f.Add([]byte{0x1f, 'a', 1, 0, 255, 255, 255, 0, 0x00}, uint16(800))
	f.Fuzz(func(t *testing.T, block []byte, size uint16) {
		got, ok := archive.Unpack(block, int(size))
		if !ok {
			if got != nil {
				t.Fatal("refused, and yet something came")
			}
			return
		}
		if again, ok := archive.Unpack(archive.Pack(got), len(got)); len(got) != int(size) || !ok || !bytes.Equal(again, got) {
			t.Fatalf("%d bytes, again %v", len(got), ok)
		}
	})
}

// FuzzContents: what is read of any content is written as something that reads
// the same.
func FuzzContents(f *testing.F) {
	f.Add(item(3, 1).Bytes())
	f.Add([]byte{0, 0, 0})
	f.Add([]byte{1, 'k', 40, 9, 3, 's', 'u', 'm'})
	f.Fuzz(func(t *testing.T, b []byte) {
		if it, ok := archive.ReadItem(b); ok {
			if again, ok := archive.ReadItem(it.Bytes()); !ok || !reflect.DeepEqual(again, it) {
				t.Fatalf("%+v, again %+v", it, again)
			}
		}
		leaf, branch, directory := archive.ReadPages(b)
		if again, _, _ := archive.ReadPages(leaf); !bytes.Equal(again, leaf) {
			t.Fatalf("leaf %x, again %x", leaf, again)
		}
		if _, again, _ := archive.ReadPages(branch); !bytes.Equal(again, branch) {
			t.Fatalf("branch %x, again %x", branch, again)
		}
		if _, _, again := archive.ReadPages(directory); !bytes.Equal(again, directory) {
			t.Fatalf("directory %x, again %x", directory, again)
		}
	})
}

// FuzzOpen opens an archive whose files hold any bytes.
func FuzzOpen(f *testing.F) {
	d := journaltest.New()
	a, _, err := archive.OpenSmall(d, journal.Plain{}, fullVolume, fullPage)
	must(f, err)
	must(f, a.Commit(archive.Change{Start: journal.Start{Segment: 2, Sequence: 9}, Live: []archive.Item{item(90, 0)}, Move: several(1, 6)}))
	volume, table := d.Bytes("archive-00000001"), d.Bytes("contents-00000002")
	f.Add(volume, table)
	f.Add(volume[:200], table)
	f.Add(volume, table[:100])
	f.Add([]byte("another's"), []byte("another's"))
	f.Add(volume, append(bytes.Clone(table), table[journal.HeaderBytes:]...))
	f.Fuzz(goesOn)
}

// FuzzForged opens an archive whose frames are whole and whose sheets hold any
// content: what a checksum or a seal would hide from the parsers.
func FuzzForged(f *testing.F) {
	held := item(1, 0).Bytes()
	frame := func(b []byte) byte { return byte(journal.FrameBytes + 7 + len(archive.Pack(b))) }
	leaf := append([]byte("\x07key0001"), 36, frame(held), 3, 's', 'u', 'm')
	branch := append([]byte("\x07key0001"), 36+frame(held), frame(leaf))
	one := []byte{1, 2, 9, 0, 1, 'n', 1, 7}
	one = append(append(one, "key0001"...), 1, 1, 120, 1, 0)
	ends := "\x07key0001\x07key0001"
	f.Add(held, leaf, branch, append(append(bytes.Clone(one), 36+frame(held), frame(leaf)), ends...))
	f.Add(held, leaf, branch, append(append(bytes.Clone(one), 36+frame(held)+frame(leaf), frame(branch)), ends...))
	f.Add([]byte{}, []byte{0, 0, 0, 0}, []byte{0, 36, 1}, []byte{1, 0, 0, 0, 0, 0, 1, 1, 255, 1, 1, 0, 36, 60, 0, 1, 'z'})
	f.Fuzz(func(t *testing.T, held, leaf, branch, directory []byte) {
		volume := archive.VolumeKind.AppendHeader(nil, 1, 1)
		for i, content := range [][]byte{held, leaf, branch} {
			volume = append(volume, archive.Sheet(uint64(i+1), byte(i+1), uint32(len(content)), archive.Pack(content))...)
		}
		table := archive.TableKind.AppendHeader(nil, 2, 1)
		for i, content := range [][]byte{held, directory} {
			table = append(table, archive.Sheet(uint64(i+1), []byte{1, 4}[i], uint32(len(content)), archive.Pack(content))...)
		}
		goesOn(t, volume, table)
	})
}

// goesOn opens, finds and lists, which changes nothing; a commit after it
// stands.
func goesOn(t *testing.T, volume, table []byte) {
	d := journaltest.New()
	d.Put("archive-00000001", volume)
	d.Put("contents-00000002", table)
	a, _, err := archive.OpenSmall(d, journal.Plain{}, fullVolume, fullPage)
	if err != nil {
		if a != nil || !errors.Is(err, archive.ErrDamaged) && !errors.Is(err, journal.ErrNotOurs) && !errors.Is(err, journal.ErrTooNew) {
			t.Fatal(err)
		}
		return
	}
	for _, key := range []string{keyOf(1), keyOf(4), "", "z"} {
		if _, err := a.Find(key); err != nil && !errors.Is(err, archive.ErrNone) && !errors.Is(err, archive.ErrDamaged) && !errors.Is(err, journal.ErrTooNew) {
			t.Fatal(err)
		}
	}
	if _, err := a.Before("z", 5); err != nil && !errors.Is(err, journal.ErrTooNew) {
		t.Fatal(err)
	}
	if d.Count(journaltest.Write)+d.Count(journaltest.Truncate)+d.Count(journaltest.Remove) > 0 {
		t.Fatal("reading changed something")
	}
	err = a.Commit(archive.Change{Start: journal.Start{Segment: 3, Sequence: 9}, Live: a.Live(), Move: several(50, 52)})
	if errors.Is(err, journal.ErrTooNew) || errors.Is(err, archive.ErrTooLarge) {
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	a, _, err = archive.OpenSmall(d, journal.Plain{}, fullVolume, fullPage)
	if err != nil {
		t.Fatal(err)
	}
	for n := 50; n <= 52; n++ {
		if it, err := a.Find(keyOf(n)); err != nil || !reflect.DeepEqual(it, item(n, 0)) {
			t.Fatalf("%+v, %v", it, err)
		}
	}
}
