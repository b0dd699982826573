package archive

import "fmt"

// maxSummary keeps a page small.
const maxSummary = 16 << 10

// binder writes one volume: items with ascending keys, each leaf behind the
// items it names, the branches behind all.
type binder struct {
	w     *writer
	v     volume
	full  int // bytes of a page
	leaf  []byte
	first string // key in the leaf
	pages []child
}

func (a *Archive) bind() (*binder, error) {
	a.lastOf[volumePrefix]++
	v := volume{number: a.lastOf[volumePrefix]}
	w, err := begin(a.disk, a.sealer, volumes, v.name(), v.number)
	return &binder{w: w, v: v, full: a.page}, err
}

// bytes is the size so far.
func (b *binder) bytes() int64 { return b.w.at + int64(len(b.w.buffer)) }

// add writes an item, packed, and its line. Nothing packed is an item that was
// given up.
func (b *binder) add(key string, summary, packed []byte) (err error) {
	e := &entry{key: key, summary: summary}
	if len(packed) > 0 {
		if e.item, err = b.w.sheet(itemSheet, packed); err != nil {
			return err
		}
	}
	if b.v.items == 0 {
		b.v.first = key
	}
	if len(b.leaf) == 0 {
		b.first = key
	}
	b.leaf, b.v.items, b.v.last = appendEntry(b.leaf, e), b.v.items+1, key
	if len(b.leaf) < b.full {
		return nil
	}
	return b.turn()
}

// turn ends the leaf.
func (b *binder) turn() error {
	page, err := b.w.sheet(leafSheet, packed(b.leaf))
	b.pages, b.leaf = append(b.pages, child{b.first, page}), b.leaf[:0]
	return err
}

// bound ends the volume and syncs it.
func (b *binder) bound() (volume, error) {
	if len(b.leaf) > 0 {
		if err := b.turn(); err != nil {
			return volume{}, err
		}
	}
	for len(b.pages) > 1 {
		if err := b.climb(); err != nil {
			return volume{}, err
		}
	}
	b.v.root = b.pages[0].page
	if err := b.w.finish(); err != nil {
		return volume{}, err
	}
	b.v.size = b.w.at
	return b.v, nil
}

// climb writes the branches over the pages of one level.
func (b *binder) climb() error {
	var above []child
	for list := b.pages; len(list) > 0; {
		first, page := list[0].first, []byte(nil)
		for n := 0; len(list) > 0 && (n < 2 || len(page) < b.full); n++ {
			page, list = appendChild(page, list[0]), list[1:]
		}
		at, err := b.w.sheet(branchSheet, packed(page))
		if err != nil {
			return err
		}
		above = append(above, child{first, at})
	}
	b.pages = above
	return nil
}

// lines reads the whole index of a volume.
func (a *Archive) lines(v volume) (list []*entry, err error) {
	if m := a.mended[v.number]; m != nil {
		return m.list, m.missing(v)
	}
	err = a.in(v, func(s source) error { return s.lines(v.root, depth, &list) })
	if err == nil && uint64(len(list)) != v.items {
		err = fmt.Errorf("%w: %s lists %d items, not %d", ErrDamaged, v.name(), len(list), v.items)
	}
	return list, err
}

func (s source) lines(page extent, left int, list *[]*entry) error {
	if left == 0 {
		return s.damaged(page)
	}
	leaf, branch, err := s.page(page)
	if err != nil {
		return err
	}
	*list = append(*list, leaf...)
	for _, c := range branch {
		if err := s.lines(c.page, left-1, list); err != nil {
			return err
		}
	}
	return nil
}
