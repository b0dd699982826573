package archive

import "sort"

// extent is where the frames of one sheet stand in a file.
type extent struct{ at, n int64 }

// entry is a line of a leaf: where the item of a key stands. An extent of no
// bytes: its bytes could not be read and had to be given up.
type entry struct {
	key     string
	item    extent
	summary []byte
}

// child is a line of a branch: the first key of a page below it.
type child struct {
	first string
	page  extent
}

func appendEntry(b []byte, e *entry) []byte {
	b = appendBytes(b, e.key)
	b = appendNumber(b, uint64(e.item.at))
	b = appendNumber(b, uint64(e.item.n))
	return appendBytes(b, e.summary)
}

func appendChild(b []byte, c child) []byte {
	b = appendBytes(b, c.first)
	b = appendNumber(b, uint64(c.page.at))
	return appendNumber(b, uint64(c.page.n))
}

// readLeaf reads a leaf's lines; false unless their keys ascend.
func readLeaf(b []byte) (list []*entry, ok bool) {
	for r := (in{b: b}); len(r.b) > 0; {
		e := &entry{key: r.key(), item: extent{r.offset(), r.offset()}, summary: r.bytes()}
		if r.bad || len(list) > 0 && e.key <= list[len(list)-1].key {
			return nil, false
		}
		list = append(list, e)
	}
	return list, len(list) > 0
}

func readBranch(b []byte) (list []child, ok bool) {
	for r := (in{b: b}); len(r.b) > 0; {
		c := child{first: r.key(), page: extent{r.offset(), r.offset()}}
		if r.bad || len(list) > 0 && c.first <= list[len(list)-1].first {
			return nil, false
		}
		list = append(list, c)
	}
	return list, len(list) > 0
}

// findEntry is the place of a key among ascending ones, or where it would be.
func findEntry(list []*entry, key string) (int, bool) {
	at := sort.Search(len(list), func(i int) bool { return list[i].key >= key })
	return at, at < len(list) && list[at].key == key
}

// under is the place of the child that a key is under; -1 where it is before
// all of them.
func under(list []child, key string) int {
	return sort.Search(len(list), func(i int) bool { return list[i].first > key }) - 1
}
