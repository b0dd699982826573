package main

import (
	"database/sql"
	"path/filepath"

	_ "modernc.org/sqlite"

	"fourchette/core/birth"
)

// sqlite keeps events in the order of births and has an index of the births
// that are open or recent.
type sqlite struct{ db *sql.DB }

const schema = `
CREATE TABLE births (id TEXT PRIMARY KEY, opened INTEGER NOT NULL, live INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX live ON births (opened) WHERE live = 1;
CREATE TABLE events (birth INTEGER NOT NULL, seq INTEGER NOT NULL, payload BLOB NOT NULL, PRIMARY KEY (birth, seq)) WITHOUT ROWID;
`

func dial(dir, sync string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, "records.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous("+sync+")")
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

func readySQLite(dir string) (func() (store, error), error) {
	return func() (store, error) {
		db, err := dial(dir, "FULL")
		return sqlite{db}, err
	}, nil
}

func (s sqlite) append(e birth.Record) error {
	_, err := s.db.Exec("INSERT INTO events (birth, seq, payload) VALUES ((SELECT opened FROM births WHERE id = ?), ?, ?)", e.Event.Birth, e.Event.Seq, e.Raw)
	return err
}

func (s sqlite) today() ([]birth.Birth, error) {
	return s.births("SELECT payload FROM births JOIN events ON birth = opened WHERE live = 1")
}

func (s sqlite) one(id string) (birth.Birth, error) {
	list, err := s.births("SELECT payload FROM births JOIN events ON birth = opened WHERE id = ?", id)
	if err != nil {
		return birth.Birth{}, err
	}
	return list[0], nil
}

func (s sqlite) births(query string, args ...any) ([]birth.Birth, error) {
	rows, err := s.db.Query(query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []birth.Record
	for rows.Next() {
		var raw sql.RawBytes
		if err := rows.Scan(&raw); err != nil {
			return nil, err
		}
		r, err := birth.Decode(raw)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return birth.Replay(list).Births, rows.Err()
}

func (s sqlite) close() error { return s.db.Close() }

// sqliteFiller fills in large transactions, and then marks the recent births.
type sqliteFiller struct {
	db    *sql.DB
	tx    *sql.Tx
	event *sql.Stmt
	n     int
}

func fillSQLite(dir string) (filler, error) {
	db, err := dial(dir, "OFF")
	if err != nil {
		return nil, err
	}
	_, err = db.Exec(schema)
	return &sqliteFiller{db: db}, err
}

func (f *sqliteFiller) add(b []birth.Record, _ bool) (err error) {
	if f.tx == nil {
		if f.tx, err = f.db.Begin(); err != nil {
			return err
		}
		if f.event, err = f.tx.Prepare("INSERT INTO events (birth, seq, payload) VALUES (?, ?, ?)"); err != nil {
			return err
		}
	}
	f.n++
	if _, err := f.tx.Exec("INSERT INTO births (id, opened, live) VALUES (?, ?, 0)", b[0].Event.Birth, f.n); err != nil {
		return err
	}
	for _, e := range b {
		if _, err := f.event.Exec(f.n, e.Event.Seq, e.Raw); err != nil {
			return err
		}
	}
	if f.n%1000 > 0 {
		return nil
	}
	return f.commit()
}

func (f *sqliteFiller) commit() error {
	tx := f.tx
	f.tx = nil
	if tx == nil {
		return nil
	}
	return tx.Commit()
}

func (f *sqliteFiller) done() error {
	if err := f.commit(); err != nil {
		return err
	}
	if _, err := f.db.Exec("UPDATE births SET live = 1 WHERE opened > ?", f.n-recent); err != nil {
		return err
	}
	if _, err := f.db.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		return err
	}
	return f.db.Close()
}
