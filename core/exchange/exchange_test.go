package exchange_test

import (
	"bytes"
	"crypto/hkdf"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"golang.org/x/crypto/chacha20poly1305"
	"pgregory.net/rapid"

	"fourchette/core/exchange"
	"fourchette/core/vault"
)

const (
	code  = "46223 24382 44922 44047 46447 37639 04607 09404 12931 80875"
	other = "4622 3243 8244 9224 4047" // no code at all
)

func seeded(seed byte) io.Reader { return rand.NewChaCha8([32]byte{seed}) }

// fataler is a test, of this package's kind or of the property's.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// written is a file of entries.
func written(t fataler, seed byte, entries ...[]byte) []byte {
	t.Helper()
	w, file, err := exchange.NewWriter(seeded(seed), code)
	if err != nil {
		t.Fatalf("%v", err)
	}
	for _, e := range entries {
		piece, err := w.Add(e)
		if err != nil || len(piece) != 0 && len(piece) != exchange.BlockBytes {
			t.Fatalf("a piece of %d bytes, %v", len(piece), err)
		}
		file = append(file, piece...)
	}
	piece, err := w.End()
	if err != nil || w.Entries() != uint64(len(entries)) {
		t.Fatalf("%d entries, %v", w.Entries(), err)
	}
	return append(file, piece...)
}

// read reads a file in pieces of so many bytes.
func read(t fataler, file []byte, by int) (entries [][]byte, r exchange.Report, err error) {
	t.Helper()
	reader, err := exchange.NewReader(code)
	if err != nil {
		t.Fatalf("%v", err)
	}
	for at := 0; at < len(file) && err == nil; at += by {
		err = reader.Take(file[at:min(at+by, len(file))], func(list [][]byte) error {
			entries = append(entries, list...)
			return nil
		})
	}
	r, closing := reader.Close()
	if err == nil {
		err = closing
	}
	return entries, r, err
}

// story is some entries of all lengths, over three blocks.
func story() (entries [][]byte) {
	for n := range 1500 {
		entries = append(entries, bytes.Repeat(fmt.Appendf(nil, "<%d>", n), 1+n%40))
	}
	return entries
}

func same(a, b [][]byte) bool { return slices.EqualFunc(a, b, bytes.Equal) }

// partOf says whether a is b with some entries left out.
func partOf(a, b [][]byte) bool {
	for _, e := range b {
		if len(a) > 0 && bytes.Equal(a[0], e) {
			a = a[1:]
		}
	}
	return len(a) == 0
}

func TestWhatGoesInComesOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entry := rapid.Custom(func(t *rapid.T) []byte {
			length := rapid.SampledFrom([]int{1, 2, 150, 3000, exchange.MaxEntry}).Draw(t, "length")
			return bytes.Repeat([]byte{rapid.Byte().Draw(t, "of")}, length)
		})
		entries := rapid.SliceOfN(entry, 0, 12).Draw(t, "entries")
		file := written(t, 1, entries...)
		got, r, err := read(t, file, rapid.IntRange(1000, 100_000).Draw(t, "by"))
		if err != nil || !same(got, entries) || !r.Whole() || r.Spoilt || r.After != 0 || r.Entries != uint64(len(entries)) {
			t.Fatalf("%d of %d entries, %+v, %v", len(got), len(entries), r, err)
		}
		if len(file)%exchange.BlockBytes != exchange.HeadBytes {
			t.Fatalf("%d bytes", len(file))
		}
	})
}

func TestEntriesThatCannotBe(t *testing.T) {
	w, _, err := exchange.NewWriter(seeded(1), code)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range [][]byte{nil, make([]byte, exchange.MaxEntry+1)} {
		if _, err := w.Add(e); !errors.Is(err, exchange.ErrEntry) {
			t.Errorf("%d bytes: %v", len(e), err)
		}
	}
	var wrong *vault.CodeError
	if _, _, err := exchange.NewWriter(seeded(1), other); !errors.As(err, &wrong) {
		t.Errorf("no code: %v", err)
	}
	if _, err := exchange.NewReader(other); !errors.As(err, &wrong) {
		t.Errorf("no code: %v", err)
	}
	if _, _, err := exchange.NewWriter(bytes.NewReader(make([]byte, 100)), code); err == nil {
		t.Error("randomness of nothing but zeros was taken")
	}
}

// TestACutAtEveryByteIsTold: never a wrong entry, and never called whole.
func TestACutAtEveryByteIsTold(t *testing.T) {
	want := story()
	file := written(t, 1, want...)
	r, err := exchange.NewReader(code)
	if err != nil {
		t.Fatal(err)
	}
	var got [][]byte
	tried := 0
	for n := range len(file) {
		cut := *r // as if the file ended here
		report, err := cut.Close()
		early := n < exchange.HeadAt // perhaps less than one head
		switch {
		case err != nil && (!early || !errors.Is(err, exchange.ErrDamaged)):
			t.Fatalf("cut after %d bytes: %v", n, err)
		case report.Whole():
			t.Fatalf("cut after %d bytes, and whole: %+v", n, report)
		case err == nil && n > exchange.HeadBytes && (n-exchange.HeadBytes)%exchange.BlockBytes != 0 && report.Damaged != 1:
			t.Fatalf("cut after %d bytes: %+v", n, report)
		}
		tried++
		if err := r.Take(file[n:n+1], func(list [][]byte) error { got = append(got, list...); return nil }); err != nil {
			t.Fatal(err)
		}
		if !same(got, want[:len(got)]) {
			t.Fatal("an entry that was never written")
		}
	}
	if report, err := r.Close(); err != nil || !report.Whole() || !same(got, want) {
		t.Fatalf("%+v, %v", report, err)
	}
	t.Logf("%d cut points tried", tried)
}

// TestDamageIsTold at every byte of the heads, where it costs nothing, and every
// 199th of the rest, where it costs the entries of one block.
func TestDamageIsTold(t *testing.T) {
	one := story()[:10]
	file := written(t, 1, one...)
	tried := 0
	for at := range exchange.HeadBytes {
		if at%exchange.HeadAt >= vault.HeadLen && at%29 != 0 {
			continue
		}
		file[at] ^= 0x10
		got, r, err := read(t, file, len(file))
		file[at] ^= 0x10
		if tried++; err != nil || !r.Spoilt || !same(got, one) || !r.Whole() {
			t.Fatalf("byte %d of the heads: %+v, %v", at, r, err)
		}
	}
	want := story()
	file = written(t, 1, want...)
	for at := exchange.HeadBytes; at < len(file); at += 199 {
		file[at] ^= 0x10
		got, r, err := read(t, file, len(file))
		file[at] ^= 0x10
		tried++
		switch {
		case err != nil || r.Whole() || r.Damaged != 1 || !partOf(got, want):
			t.Fatalf("byte %d: %+v, %d entries, %v", at, r, len(got), err)
		case r.Ended && r.Lost != uint64(len(want)-len(got)):
			t.Fatalf("byte %d: %d lost, told %d", at, len(want)-len(got), r.Lost)
		}
	}
	t.Logf("%d damaged bytes tried", tried)
}

// TestBlocksKeepTheirPlace: moved, doubled, left out, taken from another file
// of the same code, or with something behind the end.
func TestBlocksKeepTheirPlace(t *testing.T) {
	want := story()
	file, foreign := written(t, 1, want...), written(t, 2, want...)
	block := func(file []byte, n int) []byte {
		return file[exchange.HeadBytes+(n-1)*exchange.BlockBytes:][:exchange.BlockBytes]
	}
	build := func(blocks ...[]byte) []byte {
		return append(file[:exchange.HeadBytes:exchange.HeadBytes], bytes.Join(blocks, nil)...)
	}
	if n := (len(file) - exchange.HeadBytes) / exchange.BlockBytes; n != 3 {
		t.Fatalf("%d blocks", n)
	}
	one, two, three := block(file, 1), block(file, 2), block(file, 3)
	zeros := make([]byte, exchange.BlockBytes)
	for name, c := range map[string]struct {
		file    []byte
		damaged uint64
		ended   bool
	}{
		"exchanged":    {build(two, one, three), 2, true},
		"doubled":      {build(one, one, two, three), 3, false},
		"left out":     {build(one, three), 1, false},
		"another's":    {build(one, block(foreign, 2), three), 1, true},
		"zeros":        {build(one, zeros, three), 1, true},
		"end in front": {build(three, one, two), 3, false},
	} {
		got, r, err := read(t, c.file, 5000)
		if err != nil || r.Damaged != c.damaged || r.Ended != c.ended || r.Whole() || !partOf(got, want) {
			t.Errorf("%s: %+v, %v", name, r, err)
		}
	}
	if got, r, err := read(t, build(one, two, three, zeros), 999); err != nil || !same(got, want) || !r.Whole() || r.After != exchange.BlockBytes {
		t.Errorf("something behind the end: %+v, %v", r, err)
	}
	mixed := append(slices.Clone(foreign[:exchange.HeadAt]), file[exchange.HeadAt:]...)
	if got, r, err := read(t, mixed, 999); err != nil || len(got) != 0 || r.Damaged != 3 {
		t.Errorf("another file's head: %+v, %v", r, err)
	}
}

// TestACountThatRunsBackwards is no block of this file's writer.
func TestACountThatRunsBackwards(t *testing.T) {
	head, s, err := vault.NewFile(seeded(1), code)
	if err != nil {
		t.Fatal(err)
	}
	file := make([]byte, exchange.HeadBytes)
	copy(file, head)
	for number, before := range []byte{0, 0, 5} {
		plain := make([]byte, exchange.PlainBytes)
		copy(plain, []byte{0, before, 0, 0, 0, 0, 0, 0, 0, 1, 0, 'a'})
		block, err := s.Seal("export", uint64(number+1), plain)
		if err != nil {
			t.Fatal(err)
		}
		file = append(file, block...)
	}
	if got, r, err := read(t, file, 9999); err != nil || len(got) != 2 || r.Damaged != 1 || r.Lost != 4 || r.Entries != 2 {
		t.Errorf("%q, %+v, %v", got, r, err)
	}
}

// TestFourAnswers: not ours, too new, damaged, and the wrong code.
func TestFourAnswers(t *testing.T) {
	file := written(t, 1, []byte("an entry"))
	newer := slices.Clone(file)
	for _, at := range []int{0, exchange.HeadAt} {
		newer[at+8] = 2
		binary.LittleEndian.PutUint32(newer[at+12:], checksum(newer[at:at+12]))
	}
	ours := slices.Clone(file)
	ours[20] ^= 1
	ours[exchange.HeadAt+20] ^= 1
	for name, c := range map[string]struct {
		file []byte
		want error
	}{
		"too new":           {newer, exchange.ErrTooNew},
		"too new, the head": {newer[:16], exchange.ErrTooNew},
		"damaged":           {ours, exchange.ErrDamaged},
		"nothing":           {nil, exchange.ErrDamaged},
		"zeros":             {make([]byte, 9000), exchange.ErrDamaged},
		"a picture":         {bytes.Repeat([]byte("\x89PNG"), 9000), exchange.ErrNotOurs},
		"a short text":      {[]byte("somebody else's"), exchange.ErrNotOurs},
		"a journal":         {append([]byte{0xf7, 'F', 'C', 'J', '\r', '\n', 0x1a, '\n', 1}, make([]byte, 9000)...), exchange.ErrDamaged},
	} {
		if got, _, err := read(t, c.file, 777); !errors.Is(err, c.want) || len(got) > 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	wrong, err := vault.NewCode(seeded(8))
	if err != nil {
		t.Fatal(err)
	}
	r, err := exchange.NewReader(wrong)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Take(file, nil); !errors.Is(err, exchange.ErrWrong) {
		t.Errorf("the wrong code: %v", err)
	}
	if err := r.Take(file, nil); !errors.Is(err, exchange.ErrWrong) {
		t.Errorf("and again: %v", err)
	}
}

// TestTheTakerMayStop: on a full disk, say.
func TestTheTakerMayStop(t *testing.T) {
	full := errors.New("full")
	r, _ := exchange.NewReader(code)
	if err := r.Take(written(t, 1, []byte("an entry")), func([][]byte) error { return full }); !errors.Is(err, full) {
		t.Errorf("%v", err)
	}
}

// TestTheHeapIsBounded: 64 MB go through one block on each side.
func TestTheHeapIsBounded(t *testing.T) {
	w, head, err := exchange.NewWriter(seeded(1), code)
	if err != nil {
		t.Fatal(err)
	}
	r, _ := exchange.NewReader(code)
	entry := bytes.Repeat([]byte("e"), 200)
	var n, most uint64
	count := func(list [][]byte) error { n += uint64(len(list)); return nil }
	if err := r.Take(head, count); err != nil {
		t.Fatal(err)
	}
	for i := range 320_000 {
		piece, err := w.Add(entry)
		if err == nil {
			err = r.Take(piece, count)
		}
		if err != nil {
			t.Fatal(err)
		}
		if i%80_000 == 0 {
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapAlloc)
		}
	}
	piece, _ := w.End()
	if err := r.Take(piece, count); err != nil || n != 320_000 || !r.Report().Whole() {
		t.Fatalf("%d entries, %+v, %v", n, r.Report(), err)
	}
	if most > 16<<20 {
		t.Errorf("%d bytes of heap", most)
	}
	t.Logf("at most %d kB of heap", most/1000)
}

// Once a version is released its file is never written again.
var update = flag.Bool("update", false, "write testdata/exports of the newest version anew")

const kept1 = "../../testdata/exports/v1/records"

func keptEntries() [][]byte {
	return [][]byte{[]byte("the first entry"), {0}, []byte(strings.Repeat("a longer one ", 500))}
}

func TestVersion1StaysReadable(t *testing.T) {
	if *update {
		if err := os.MkdirAll(filepath.Dir(kept1), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(kept1, written(t, 5, keptEntries()...), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	file, err := os.ReadFile(kept1)
	if err != nil {
		t.Fatal(err)
	}
	got, r, err := read(t, file, 4000)
	if err != nil || !r.Whole() || r.Spoilt || !same(got, keptEntries()) {
		t.Errorf("%q, %+v, %v", got, r, err)
	}
	if got := plainly(t, file); !same(got, keptEntries()) {
		t.Errorf("by the written format alone: %q", got)
	}
}

// plainly reads a file of one block by the package's and the vault's comments
// and with nothing of their code.
func plainly(t *testing.T, file []byte) (entries [][]byte) {
	t.Helper()
	le := binary.LittleEndian
	open := func(key, sealed, bound []byte) []byte {
		c, err := chacha20poly1305.NewX(key)
		if err != nil {
			t.Fatal(err)
		}
		plain, err := c.Open(nil, sealed[:24], sealed[24:], bound)
		if err != nil {
			t.Fatal(err)
		}
		return plain
	}
	mark, slot := file[28:44], file[44:120]
	if le.Uint16(slot) != 2 || le.Uint16(slot[2:]) != 72 || le.Uint32(file[120:]) != checksum(file[:120]) {
		t.Fatalf("slot %x", slot)
	}
	var digits []byte
	for _, group := range strings.Fields(code) {
		digits = append(digits, group[:4]...)
	}
	kek, err := hkdf.Key(sha256.New, digits, mark, "fourchette/vault/1/code", 32)
	if err != nil {
		t.Fatal(err)
	}
	data := open(kek, slot[4:], slices.Concat([]byte("fourchette/vault/1/slot\x00\x02\x00"), mark))
	key, err := hkdf.Expand(sha256.New, data, "fourchette/vault/1/seal/export", 32)
	if err != nil {
		t.Fatal(err)
	}
	block := file[8192:]
	if len(block) != 65536 || block[0] != 1 {
		t.Fatalf("%d bytes, form %d", len(block), block[0])
	}
	plain := open(key, block[1:], []byte("fourchette/vault/1/sealed\x00\x01\x00\x00\x00\x00\x00\x00\x00export"))
	if plain[0] != 1 || le.Uint64(plain[1:]) != 0 {
		t.Fatalf("begins %x", plain[:9])
	}
	for plain = plain[9:]; le.Uint16(plain) > 0; {
		n := int(le.Uint16(plain))
		entries = append(entries, plain[2:2+n])
		plain = plain[2+n:]
	}
	return entries
}
