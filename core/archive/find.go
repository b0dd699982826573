package archive

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"

	"fourchette/core/arrange"
	"fourchette/core/journal"
)

// Listed is what a list needs of an item.
type Listed struct {
	Key string
	// Summary is the caller's. Nil: it could not be read, the item perhaps can.
	Summary []byte
	// GivenUp: the item's bytes could not be read when they had to be moved.
	GivenUp bool
}

// Find returns what is kept under a key, live items aside. Its errors are
// ErrNone, ErrDamaged with what an older copy still has, ErrTooNew and those of
// the disk. While something of the index cannot be read, a key that may have
// been there is ErrDamaged and not ErrNone.
func (a *Archive) Find(key string) (it Item, err error) {
	var damage error
	for i := len(a.dir.volumes) - 1; i >= 0; i-- {
		v := a.dir.volumes[i]
		e, found, err := a.seek(v, key)
		if err == nil && found {
			it, err = a.item(v, e)
		}
		switch {
		case err == nil && found:
			return it, damage
		case errors.Is(err, ErrDamaged):
			damage = cmp.Or(damage, err)
		case err != nil:
			return Item{}, err
		}
	}
	return Item{Key: key}, cmp.Or(damage, ErrNone)
}

// Lookup is Find for the line of a list.
func (a *Archive) Lookup(key string) (Listed, error) {
	var damage error
	for i := len(a.dir.volumes) - 1; i >= 0; i-- {
		e, found, err := a.seek(a.dir.volumes[i], key)
		switch {
		case err == nil && found:
			return e.listed(), damage
		case errors.Is(err, ErrDamaged):
			damage = cmp.Or(damage, err)
		case err != nil:
			return Listed{}, err
		}
	}
	return Listed{Key: key}, cmp.Or(damage, ErrNone)
}

// Before lists the items with the highest keys below one, the highest first,
// at most so many.
func (a *Archive) Before(key string, most int) ([]Listed, error) {
	newest := map[string]*entry{}
	for _, v := range a.dir.volumes { // a newer volume's line replaces an older one's
		list, err := a.before(v, key, most)
		if err != nil {
			return nil, err
		}
		for _, e := range list {
			newest[e.key] = e
		}
	}
	var all []*entry
	for _, e := range newest {
		all = append(all, e)
	}
	arrange.By(all, func(x, y *entry) int { return cmp.Compare(y.key, x.key) })
	var list []Listed
	for _, e := range all[:min(most, len(all))] {
		list = append(list, e.listed())
	}
	return list, nil
}

func (e *entry) listed() Listed { return Listed{e.key, e.summary, e.item.n == 0} }

// seek finds a key's line in a volume.
func (a *Archive) seek(v volume, key string) (e *entry, found bool, err error) {
	if key < v.first || key > v.last {
		return nil, false, nil
	}
	m := a.mended[v.number]
	if m == nil {
		err = a.in(v, func(s source) error {
			e, found, err = s.seek(v.root, key)
			return err
		})
		if err == nil && !found {
			err = v.some(v.missing)
			return nil, false, err
		}
		if !errors.Is(err, ErrDamaged) {
			return e, found, err
		}
		if m, err = a.mend(v); err != nil {
			return nil, false, err
		}
	}
	if at, found := findEntry(m.list, key); found {
		return m.list[at], true, nil
	}
	return nil, false, m.missing(v)
}

// depth bounds the pages above each other: a thousand million items need 5.
const depth = 10

func (s source) seek(page extent, key string) (*entry, bool, error) {
	for range depth {
		leaf, branch, err := s.page(page)
		if err != nil {
			return nil, false, err
		}
		if leaf != nil {
			at, found := findEntry(leaf, key)
			if !found {
				return nil, false, nil
			}
			return leaf[at], true, nil
		}
		at := under(branch, key)
		if at < 0 {
			return nil, false, nil
		}
		page = branch[at].page
	}
	return nil, false, s.damaged(page)
}

// page reads a page, which is a leaf or a branch.
func (s source) page(e extent) (leaf []*entry, branch []child, err error) {
	sh, err := s.sheet(e)
	if err != nil {
		return nil, nil, err
	}
	if b, ok := sh.content(leafSheet); ok {
		if leaf, ok = readLeaf(b); ok {
			return leaf, nil, nil
		}
	}
	if b, ok := sh.content(branchSheet); ok {
		if branch, ok = readBranch(b); ok {
			return nil, branch, nil
		}
	}
	return nil, nil, s.damaged(e)
}

// before lists a volume's lines below a key, at most so many.
func (a *Archive) before(v volume, key string, most int) (list []*entry, err error) {
	if key <= v.first {
		return nil, nil
	}
	m := a.mended[v.number]
	if m == nil {
		err := a.in(v, func(s source) error { return s.before(v.root, key, most, depth, &list) })
		if !errors.Is(err, ErrDamaged) {
			return list, err
		}
		if m, err = a.mend(v); err != nil {
			return nil, err
		}
	}
	at, _ := findEntry(m.list, key)
	return m.list[max(0, at-most):at], nil
}

func (s source) before(page extent, key string, most, left int, list *[]*entry) error {
	if left == 0 {
		return s.damaged(page)
	}
	leaf, branch, err := s.page(page)
	if err != nil {
		return err
	}
	at, _ := findEntry(leaf, key)
	for at--; at >= 0 && len(*list) < most; at-- {
		*list = append(*list, leaf[at])
	}
	for i := len(branch) - 1; i >= 0 && len(*list) < most; i-- {
		if branch[i].first >= key {
			continue
		}
		if err := s.before(branch[i].page, key, most, left-1, list); err != nil {
			return err
		}
	}
	return nil
}

// item reads the item of a line. An item that is not the line's is damage.
func (a *Archive) item(v volume, e *entry) (it Item, err error) {
	it.Key = e.key
	if e.item.n == 0 {
		return it, fmt.Errorf("%w: an item of %s was given up", ErrDamaged, v.name())
	}
	err = a.in(v, func(s source) error {
		sh, err := s.sheet(e.item)
		if err != nil {
			return err
		}
		if read, ok := sh.item(e.key); ok {
			it = read
			return nil
		}
		return s.damaged(e.item)
	})
	if errors.Is(err, ErrDamaged) {
		a.spoilt[v.number] = true
	}
	return it, err
}

// item is the item of this key that a sheet holds.
func (s *sheet) item(key string) (Item, bool) {
	b, ok := s.content(itemSheet)
	if !ok {
		return Item{}, false
	}
	it, ok := readItem(b)
	return it, ok && it.Key == key
}

// in opens a volume for the time of do.
func (a *Archive) in(v volume, do func(source) error) error {
	if a.lost[v.number] {
		return fmt.Errorf("%w: %s is not there", ErrDamaged, v.name())
	}
	return a.with(v.name(), func(f journal.File) error { return do(source{f, v.name(), a.sealer}) })
}

// mended is a volume's index, made anew from what can be read of the volume.
type mended struct{ list []*entry }

// missing says that a key may be among those that nothing is left of.
func (m *mended) missing(v volume) error {
	return v.some(v.missing + v.items - min(v.items, uint64(len(m.list))))
}

// some says that so many items of a volume are gone, nobody knows which.
func (v volume) some(missing uint64) error {
	if missing == 0 {
		return nil
	}
	return fmt.Errorf("%w: %d items of %s", ErrDamaged, missing, v.name())
}

// mend reads a volume through whose index is damaged. Items are found by
// themselves, their summaries where a leaf is left.
func (a *Archive) mend(v volume) (*mended, error) {
	m := &mended{}
	if !a.lost[v.number] {
		err := a.with(v.name(), func(f journal.File) error {
			var j joiner
			_, err := volumes.Frames(f, v.name(), v.number, func(at int64, seq uint64, sealed []byte) error {
				size := int64(len(sealed) + journal.FrameBytes)
				if plain, err := a.sealer.Open(v.name(), seq, bytes.Clone(sealed)); err == nil {
					if s := j.add(at, seq, size, plain); s != nil {
						m.take(s)
					}
				}
				return nil
			})
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	m.list = sorted(m.list)
	a.mended[v.number], a.spoilt[v.number] = m, true
	return m, nil
}

func (m *mended) take(s *sheet) {
	if b, ok := s.content(itemSheet); ok {
		if it, ok := readItem(b); ok {
			m.list = append(m.list, &entry{key: it.Key, item: s.where})
		}
	}
	if b, ok := s.content(leafSheet); ok {
		if leaf, ok := readLeaf(b); ok {
			m.list = append(m.list, leaf...)
		}
	}
}

// sorted sorts lines by key and leaves the last of each.
func sorted(list []*entry) []*entry {
	arrange.By(list, func(a, b *entry) int { return cmp.Compare(a.key, b.key) })
	kept := list[:0]
	for i, e := range list {
		if i+1 == len(list) || list[i+1].key != e.key {
			kept = append(kept, e)
		}
	}
	return kept
}
