package archive

import (
	"fmt"
	"strconv"
	"strings"

	"fourchette/core/journal"
)

// The kinds of files.
var (
	volumes = journal.Kind{Magic: [8]byte{0xf7, 'F', 'C', 'A', '\r', '\n', 0x1a, '\n'}, Version: 1}
	tables  = journal.Kind{Magic: [8]byte{0xf7, 'F', 'C', 'D', '\r', '\n', 0x1a, '\n'}, Version: 1}
)

const (
	volumePrefix = "archive-"
	tablePrefix  = "contents-"
	maxCount     = 1 << 53
)

func fileName(prefix string, n uint64) string { return fmt.Sprintf("%s%08d", prefix, n) }

// fileNumber is the number in a name with this prefix; 0 for any other name.
func fileNumber(prefix, name string) uint64 {
	digits, found := strings.CutPrefix(name, prefix)
	n, err := strconv.ParseUint(digits, 10, 64)
	if !found || err != nil || n > maxCount || fileName(prefix, n) != name {
		return 0
	}
	return n
}

// volume is what the directory says of one.
type volume struct {
	number      uint64
	size        int64
	items       uint64
	missing     uint64 // items of which not even the key is left
	root        extent
	first, last string
}

func (v volume) name() string { return fileName(volumePrefix, v.number) }

// directory is the content of the one sheet that makes a commit.
type directory struct {
	commit  uint64 // number of the first of its two files
	start   journal.Start
	keep    []uint64
	note    []byte
	live    []string
	volumes []volume // the oldest first
}

func (d *directory) append(b []byte) []byte {
	b = appendNumber(b, d.commit)
	b = appendNumber(b, d.start.Segment)
	b = appendNumber(b, d.start.Sequence)
	b = appendNumber(b, uint64(len(d.keep)))
	for _, n := range d.keep {
		b = appendNumber(b, n)
	}
	b = appendBytes(b, d.note)
	b = appendNumber(b, uint64(len(d.live)))
	for _, key := range d.live {
		b = appendBytes(b, key)
	}
	b = appendNumber(b, uint64(len(d.volumes)))
	for _, v := range d.volumes {
		for _, n := range []uint64{v.number, uint64(v.size), v.items, v.missing, uint64(v.root.at), uint64(v.root.n)} {
			b = appendNumber(b, n)
		}
		b = appendBytes(b, v.first)
		b = appendBytes(b, v.last)
	}
	return b
}

func readDirectory(b []byte) (*directory, bool) {
	r := in{b: b}
	d := &directory{commit: r.number(), start: journal.Start{Segment: r.number(), Sequence: r.number()}}
	for range r.count() {
		d.keep = append(d.keep, r.number())
	}
	d.note = r.bytes()
	for range r.count() {
		d.live = append(d.live, r.key())
	}
	for range r.count() {
		v := volume{number: r.number(), size: r.offset(), items: r.number(), missing: r.number(), root: extent{r.offset(), r.offset()}}
		v.first, v.last = r.key(), r.key()
		d.volumes = append(d.volumes, v)
	}
	return d, r.done() && d.commit > 0 && d.start.Segment <= maxCount && d.start.Sequence <= maxCount
}

// IsFile reports whether a file of that name belongs to an archive.
func IsFile(name string) bool {
	return fileNumber(volumePrefix, name) > 0 || fileNumber(tablePrefix, name) > 0
}
