package archive_test

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/archive"
)

// By hand, from the description of the block format: a token's halves are the
// length of the plain bytes and that of the match less 4, 15 goes on in bytes;
// then the distance, little-endian.
func TestBlocksByHand(t *testing.T) {
	for _, c := range []struct {
		block []byte
		want  string
	}{
		{[]byte{0x30, 'a', 'b', 'c'}, "abc"},
		{[]byte{0x12, 'a', 1, 0, 0x50, 'v', 'w', 'x', 'y', 'z'}, "aaaaaaavwxyz"},
		{[]byte{0x3f, 'a', 'b', 'c', 3, 0, 1, 0x50, '1', '2', '3', '4', '5'}, "abcabcabcabcabcabcabcab12345"},
		{append([]byte{0xf0, 2}, "seventeen letters"...), "seventeen letters"},
	} {
		if got, ok := archive.Unpack(c.block, len(c.want)); !ok || string(got) != c.want {
			t.Errorf("%q: got %q, %v", c.want, got, ok)
		}
	}
	for _, bad := range [][]byte{
		nil, {0x10}, {0x30, 'a', 'b'}, {0x12, 'a', 0, 0, 0}, {0x12, 'a', 2, 0, 0}, {0x12, 'a', 1}, {0xf0, 255, 255}, {0x30, 'a', 'b', 'c', 'd'},
	} {
		if got, ok := archive.Unpack(bad, 7); ok {
			t.Errorf("%x was unpacked as %q", bad, got)
		}
	}
}

func TestWhatIsPackedIsUnpacked(t *testing.T) {
	words := [][]byte{[]byte("lamport"), []byte("birth"), {0}, bytes.Repeat([]byte{7}, 300), []byte("the same again and again")}
	rapid.Check(t, func(t *rapid.T) {
		var b []byte
		for range rapid.IntRange(0, 60).Draw(t, "pieces") {
			if rapid.Bool().Draw(t, "word") {
				b = append(b, rapid.SampledFrom(words).Draw(t, "which")...)
			} else {
				b = append(b, rapid.SliceOfN(rapid.Byte(), 0, 20).Draw(t, "bytes")...)
			}
		}
		p := archive.Pack(b)
		if got, ok := archive.Unpack(p, len(b)); !ok || !bytes.Equal(got, b) {
			t.Fatalf("%x came back as %x, %v", b, got, ok)
		}
		if len(p) > len(b)+len(b)/255+16 {
			t.Fatalf("%d bytes became %d", len(b), len(p))
		}
		for _, size := range []int{len(b) - 1, len(b) + 1, -1} {
			if _, ok := archive.Unpack(p, size); ok {
				t.Fatalf("%d bytes were taken for %d", len(b), size)
			}
		}
	})
}

// A long history of equal bytes stays within the window and the table.
func TestLongBlocks(t *testing.T) {
	b := bytes.Repeat([]byte("event after event, "), 30_000)
	for i := range b {
		if i%977 == 0 {
			b[i] = byte(i)
		}
	}
	p := archive.Pack(b)
	if got, ok := archive.Unpack(p, len(b)); !ok || !bytes.Equal(got, b) || len(p) > len(b)/20 {
		t.Errorf("%d bytes became %d, %v", len(b), len(p), ok)
	}
}
