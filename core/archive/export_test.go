package archive

import "fourchette/core/journal"

// OpenSmall opens an archive whose volumes and pages are full after so many
// bytes.
func OpenSmall(d journal.Disk, s journal.Sealer, full int64, page int) (*Archive, Report, error) {
	return open(d, s, sizes{full, page})
}

// What the tests need to know of the format.
const (
	MaxSheet = maxSheet
	MaxParts = maxParts
)

// Pack and Unpack are those of a block.
func Pack(b []byte) []byte                     { return pack(nil, b) }
func Unpack(b []byte, size int) ([]byte, bool) { return unpack(b, size) }
func ReadItem(b []byte) (Item, bool)           { return readItem(b) }
func (it Item) Bytes() []byte                  { return it.append(nil) }

// ReadPages reads b as each kind of page and writes what it read.
func ReadPages(b []byte) (leaf, branch, directory []byte) {
	if list, ok := readLeaf(b); ok {
		for _, e := range list {
			leaf = appendEntry(leaf, e)
		}
	}
	if list, ok := readBranch(b); ok {
		for _, c := range list {
			branch = appendChild(branch, c)
		}
	}
	if d, ok := readDirectory(b); ok {
		directory = d.append(nil)
	}
	return leaf, branch, directory
}

// Sheet is the frame of one whole sheet, for forged files.
func Sheet(seq uint64, kind byte, length uint32, block []byte) []byte {
	b := append([]byte{kind, 0, 0}, le.AppendUint32(nil, length)...)
	return journal.AppendFrame(nil, seq, append(b, block...))
}

// The headers of the two kinds of files.
var (
	VolumeKind = volumes
	TableKind  = tables
)
