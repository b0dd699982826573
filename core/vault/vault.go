package vault

import (
	"crypto/cipher"
	"errors"
	"fmt"
	"io"
	"time"

	"fourchette/core/journal"
)

// The answers a caller must tell apart.
var (
	// ErrNone: there is no key here yet, and never was one that was acknowledged.
	ErrNone = errors.New("no PIN was set on this storage")
	// ErrExists: there are key files already; a new key would shut the records of
	// the old one away for ever. Nothing was changed.
	ErrExists = errors.New("this storage has a key already")
	// ErrNotOurs: files with our names hold none of our bytes. Nothing was
	// changed; move them away.
	ErrNotOurs = errors.New("the key files on this storage were not written by this program")
	// ErrTooNew: written by a newer version. Nothing was changed; update.
	ErrTooNew = errors.New("the key files were written by a newer version of this program")
	// ErrDamaged: no copy of the key can be read. Nothing was changed. Only a copy
	// of the files made earlier can help; neither PIN nor code can.
	ErrDamaged = errors.New("the key files are damaged")
	// ErrWrong: this does not open the records. It is never told why.
	ErrWrong = errors.New("this does not open the records")
	// ErrLocked: unlock first.
	ErrLocked = errors.New("the records are locked")
	// ErrNoSlot: nothing of this kind was set that could open the records.
	ErrNoSlot = errors.New("the records cannot be opened this way: it was not set up")
	// ErrUnsettled: there is one copy of the key, and it may not outlive a power
	// cut. See [Vault.Settle].
	ErrUnsettled = errors.New("the key is not stored safely; make room on the storage and try again")
	// ErrNotAsked: Unlock without a Try before it, which counts.
	ErrNotAsked = errors.New("the PIN was not asked for")
)

// Report tells what Open found.
type Report struct {
	// Spoilt are key files that cannot be read, cut while being written or
	// damaged. Another copy was whole.
	Spoilt []string
	// Unsettled says why a second copy could not be written or an older file not
	// removed: the disk is full or fails. Nil when all is as it should be. The
	// vault opens and what was sealed can be read; where there is no second copy
	// nothing new is sealed, see [Vault.Settle].
	Unsettled error
}

// Vault is an open row of key files; whether it is locked is another question.
// It is for one goroutine, and for one writer on the disk at a time.
type Vault struct {
	random  io.Reader
	row     row
	keys    keys
	safe    bool // the keys will outlive a power cut
	tries   *tries
	asked   bool   // a try was counted and not answered yet
	data    []byte // the data key; nil while locked
	ciphers map[Purpose]cipher.AEAD
}

// Open finds the key files on a disk and reads them; the vault is locked then.
// Running is the running clock now, and must be the same clock at every call.
// The errors are ErrNone, ErrNotOurs, ErrTooNew, ErrDamaged and those of the
// disk; after one of them nothing on the disk has changed.
func Open(d journal.Disk, random io.Reader, running time.Duration) (*Vault, Report, error) {
	v := &Vault{random: random, row: row{series: keyFiles, disk: d}, ciphers: map[Purpose]cipher.AEAD{}}
	list, err := v.row.scan()
	if err != nil {
		return nil, Report{}, err
	}
	current, report, err := v.choose(list)
	if err != nil {
		return nil, Report{}, err
	}
	if v.tries, err = openTries(d, running); err != nil {
		return nil, Report{}, err
	}
	v.safe, report.Unsettled = v.row.settle(list, current)
	return v, report, nil
}

// choose takes the file that counts: the highest number that is whole.
func (v *Vault) choose(list []found) (current found, r Report, err error) {
	err = ErrDamaged
	theirs, ours := "", 0
	for i := range list {
		f := &list[i]
		name := v.row.name(f.number)
		if f.is == whole {
			k, bad := readKeys(f.body)
			switch {
			case bad != nil:
				f.is = spoilt
			case current.number == 0:
				v.keys, current, err = k, *f, nil
			}
		}
		switch f.is {
		case newer:
			return found{}, Report{}, tooNew(name, f.version)
		case foreign:
			theirs = name
			continue
		case spoilt, unwritten:
			r.Spoilt = append(r.Spoilt, name)
		}
		ours++
	}
	switch {
	case err == nil:
	case ours == 0 && theirs != "":
		err = fmt.Errorf("%w: %s", ErrNotOurs, theirs)
	case neverMade(list):
		err = ErrNone
	default:
		err = fmt.Errorf("%w: %q", ErrDamaged, r.Spoilt)
	}
	return current, r, err
}

// neverMade: a new key is acknowledged when it stands in two files. A row that
// holds no whole file and never went beyond the first was cut before that.
func neverMade(list []found) bool { return len(list) == 0 || list[0].number == 1 }

func tooNew(name string, v uint32) error {
	return fmt.Errorf("%w: %s has version %d, this program reads %d", ErrTooNew, name, v, version)
}

// Create makes a new random data key, wrapped by what a PIN derives to, and
// returns the vault unlocked. The recipe is one of [NewRecipe], kek what
// [Derive] made of it; kek is wiped. Check the PIN with [CheckPIN] before, and
// have it typed twice: a PIN mistyped here opens nothing. Its errors are
// ErrExists, ErrNotOurs, ErrTooNew, ErrRecipe and those of disk and randomness;
// after one of the disk a key may be there or not: Open tells.
func Create(d journal.Disk, random io.Reader, running time.Duration, recipe, kek []byte) (*Vault, error) {
	defer clear(kek)
	v := &Vault{random: random, row: row{series: keyFiles, disk: d}, ciphers: map[Purpose]cipher.AEAD{}}
	var err error
	if v.tries, err = openTries(d, running); err != nil {
		return nil, err
	}
	if err := v.begin(); err != nil {
		return nil, err
	}
	if v.data, err = draw(random, keyLen); err != nil {
		return nil, err
	}
	mark, err := expand(v.data, labelMark, markLen)
	if err != nil {
		return nil, err
	}
	v.keys.mark = [markLen]byte(mark)
	if err := v.set(PIN, recipe, kek); err != nil {
		v.Lock()
		return nil, err
	}
	v.tries.forget()
	return v, nil
}

// begin makes sure that there is no key yet, and removes what a Create that was
// cut left behind, so that the first file is number 1 again.
func (v *Vault) begin() error {
	list, err := v.row.scan()
	if err != nil {
		return err
	}
	switch _, _, err := v.choose(list); {
	case err == nil:
		return ErrExists
	case errors.Is(err, ErrDamaged):
		return fmt.Errorf("%w: %w", ErrExists, err)
	case !errors.Is(err, ErrNone):
		return err
	}
	if err := v.row.keep(); err != nil {
		return err
	}
	v.row.last = 0
	return nil
}

// Locked says whether the records are shut.
func (v *Vault) Locked() bool { return v.data == nil }

// Lock wipes the data key and lets go of every key derived from it.
func (v *Vault) Lock() {
	clear(v.data)
	v.data = nil
	clear(v.ciphers)
}

// Has says whether there is a slot of this kind.
func (v *Vault) Has(kind Kind) bool { return v.keys.find(kind) != nil }
