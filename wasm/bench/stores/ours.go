package main

import (
	"bytes"
	"crypto/rand"
	"errors"
	"time"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/records"
	"fourchette/core/vault"
)

// ours are the records as they will be: sealed with the vault's key. The key
// is derived from a PIN in a worker of its own; here it is simply there.
type ours struct{ *records.Records }

// kek stands for what a PIN derives to; a fresh copy, for it is wiped.
func kek() []byte { return bytes.Repeat([]byte{7}, 32) }

func unlock(d journal.Disk) (journal.Sealer, error) {
	v, _, err := vault.Open(d, rand.Reader, 0)
	if errors.Is(err, vault.ErrNone) {
		recipe, err := vault.NewRecipe(rand.Reader, vault.Usual)
		if err != nil {
			return nil, err
		}
		v, err = vault.Create(d, rand.Reader, 0, recipe, kek())
		if err != nil {
			return nil, err
		}
		return v.Sealer(vault.Journal), nil
	}
	if err != nil {
		return nil, err
	}
	if _, err := v.Try(time.Hour); err != nil {
		return nil, err
	}
	if err := v.Unlock(kek(), time.Hour); err != nil {
		return nil, err
	}
	return v.Sealer(vault.Journal), nil
}

func readyOurs(dir string) (func() (store, error), error) {
	d := folder{path: dir}
	s, err := unlock(d)
	return func() (store, error) { return opened(d, s) }, err
}

func opened(d folder, s journal.Sealer) (ours, error) {
	r, report, err := records.Open(d, s)
	if err == nil && (len(report.Journal.Damaged)+len(report.Archive.Spoilt)+report.Strays > 0 || report.Journal.Unconfirmed != nil) {
		err = errors.New("the records are damaged")
	}
	return ours{r}, err
}

func (o ours) append(e birth.Record) error        { return o.Append(e) }
func (o ours) today() ([]birth.Birth, error)      { return o.Live(), nil }
func (o ours) one(id string) (birth.Birth, error) { return o.Birth(id) }
func (o ours) close() error                       { return o.Close() }

// filling writes births as they come, tidies once in a while, and leaves the
// last day to the journal.
type filling struct {
	disk   folder
	sealer journal.Sealer
	births [][]birth.Record // that are not written yet
}

const (
	day      = 27
	tidyEach = 20 * day
)

func fillOurs(dir string) (filler, error) {
	d := folder{dir, true}
	s, err := unlock(d)
	return &filling{disk: d, sealer: s}, err
}

func (f *filling) add(b []birth.Record, _ bool) error {
	if f.births = append(f.births, b); len(f.births) < tidyEach+day {
		return nil
	}
	if err := f.write(tidyEach); err != nil {
		return err
	}
	return f.tidy()
}

// write appends to the journal alone: a clinic does not write a year at once.
func (f *filling) write(births int) error {
	a, _, err := archive.Open(f.disk, f.sealer)
	if err != nil {
		return err
	}
	j, _, err := journal.OpenFrom(f.disk, f.sealer, a.Start())
	if err != nil {
		return err
	}
	for _, b := range f.births[:births] {
		for _, e := range b {
			if err := j.Append(e.Raw); err != nil {
				return err
			}
		}
	}
	f.births = f.births[births:]
	return j.Close()
}

// tidy leaves the newest births where they are, as two days hence they will not
// have been closed for a while.
func (f *filling) tidy() error {
	o, err := opened(f.disk, f.sealer)
	for more := true; more && err == nil; {
		stay := map[string]bool{}
		live := o.Live()
		for _, b := range live[max(0, len(live)-recent+len(f.births)):] {
			stay[b.ID] = true
		}
		_, more, err = o.Tidy(func(b *birth.Birth) ([]byte, bool) { return summary(b), b.Closed && !stay[b.ID] })
	}
	if err != nil {
		return err
	}
	return o.Close()
}

// summary is what a list shows of a birth, in about as many bytes as it takes.
func summary(b *birth.Birth) []byte {
	return []byte(b.Bed + "|2|2|closed|2027-01-11T09:30:00Z|2027-01-11T10:02:00Z|day_3 2027-01-14|week_6 2027-02-22")
}

func (f *filling) done() error {
	if err := f.write(max(0, len(f.births)-day)); err != nil {
		return err
	}
	if err := f.tidy(); err != nil {
		return err
	}
	return f.write(len(f.births))
}
