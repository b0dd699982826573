package main

import (
	"encoding/binary"
	"path/filepath"

	"go.etcd.io/bbolt"

	"fourchette/core/birth"
)

// bolt keeps events in the order of births, and the recent births' ids.
type bolt struct{ db *bbolt.DB }

var events, live = []byte("events"), []byte("live")

func readyBolt(dir string) (func() (store, error), error) {
	return func() (store, error) {
		db, err := bbolt.Open(filepath.Join(dir, "records.db"), 0o600, nil)
		return bolt{db}, err
	}, nil
}

// boltKey is a birth, of its count, and an event of it.
func boltKey(id string, seq uint64) []byte {
	n := uint64(0)
	for _, c := range id[birth.DeviceLen+1:] {
		n = n*10 + uint64(c-'0')
	}
	b := binary.BigEndian.AppendUint64([]byte(id[:birth.DeviceLen]), n)
	return binary.BigEndian.AppendUint64(b, seq)
}

const ofBirth = birth.DeviceLen + 8

func (b bolt) append(e birth.Record) error {
	return b.db.Update(func(tx *bbolt.Tx) error {
		return tx.Bucket(events).Put(boltKey(e.Event.Birth, e.Event.Seq), e.Raw)
	})
}

func (b bolt) today() ([]birth.Birth, error) {
	var list []birth.Record
	err := b.db.View(func(tx *bbolt.Tx) error {
		return tx.Bucket(live).ForEach(func(id, _ []byte) (err error) {
			list, err = of(tx, id, list)
			return err
		})
	})
	return birth.Replay(list).Births, err
}

func (b bolt) one(id string) (birth.Birth, error) {
	var list []birth.Record
	err := b.db.View(func(tx *bbolt.Tx) (err error) {
		list, err = of(tx, boltKey(id, 0)[:ofBirth], nil)
		return err
	})
	if err != nil {
		return birth.Birth{}, err
	}
	return birth.Replay(list).Births[0], nil
}

// of adds the events of a birth.
func of(tx *bbolt.Tx, id []byte, list []birth.Record) ([]birth.Record, error) {
	c := tx.Bucket(events).Cursor()
	for k, raw := c.Seek(id); k != nil && string(k[:ofBirth]) == string(id); k, raw = c.Next() {
		r, err := birth.Decode(raw)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, nil
}

func (b bolt) close() error { return b.db.Close() }

// boltFiller fills in large transactions.
type boltFiller struct {
	db  *bbolt.DB
	tx  *bbolt.Tx
	n   int
	ids [][]byte
}

func fillBolt(dir string) (filler, error) {
	db, err := bbolt.Open(filepath.Join(dir, "records.db"), 0o600, &bbolt.Options{NoSync: true, NoFreelistSync: true})
	return &boltFiller{db: db}, err
}

func (f *boltFiller) add(b []birth.Record, _ bool) (err error) {
	if f.tx == nil {
		if f.tx, err = f.db.Begin(true); err != nil {
			return err
		}
	}
	bucket, err := f.tx.CreateBucketIfNotExists(events)
	if err != nil {
		return err
	}
	bucket.FillPercent = 0.95 // keys ascend
	for _, e := range b {
		if err := bucket.Put(boltKey(e.Event.Birth, e.Event.Seq), e.Raw); err != nil {
			return err
		}
	}
	f.n, f.ids = f.n+1, append(f.ids, boltKey(b[0].Event.Birth, 0)[:ofBirth])
	if f.n%1000 > 0 {
		return nil
	}
	tx := f.tx
	f.tx = nil
	return tx.Commit()
}

func (f *boltFiller) done() error {
	if f.tx != nil {
		if err := f.tx.Commit(); err != nil {
			return err
		}
	}
	err := f.db.Update(func(tx *bbolt.Tx) error {
		bucket, err := tx.CreateBucketIfNotExists(live)
		for _, id := range f.ids[len(f.ids)-recent:] {
			if err == nil {
				err = bucket.Put(id, []byte{1})
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	return f.db.Close()
}
