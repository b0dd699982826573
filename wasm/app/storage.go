//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"

	"fourchette/core/companion"
	"fourchette/wasm/app/opfs"
	"fourchette/wasm/pages"
)

// Why no records are kept: keys under storage.* in the tables. Beside these
// stand the codes of a journal that the core refuses.
const (
	storageMissing   = "no_private_files" // this browser has none
	storageAddress   = "plain_address"    // none at this address: neither https nor localhost
	storageForbidden = "private_window"   // the browser is to keep nothing here
	storageFailed    = "disk_failed"      // the browser, or the disk, refused
)

// folder is where the records lie in the private files.
const folder = "fourchette"

// openRecords opens the records in the private files. The lock must be held;
// when they cannot be opened it is given up, because another tab, perhaps of a
// newer version, may do better.
func (a *app) openRecords() (err error) {
	if a.disk, err = opfs.Open(folder); err == nil {
		a.core, err = companion.Open(a.companionHost(a.disk))
	}
	if err != nil {
		a.closeDisk()
	}
	return err
}

// closeRecords closes them: what was acknowledged has been flushed before, so
// that nothing can be lost by it. Where the browser fails to close a file it
// keeps others out of it until this worker ends.
func (a *app) closeRecords() {
	a.core.Close()
	a.closeDisk()
}

func (a *app) closeDisk() {
	if a.disk != nil {
		a.disk.Close()
	}
	a.disk = nil
	a.host.Call("letGo")
}

// mayHold says whether records can be kept here at all.
func mayHold() error {
	if secure := js.Global().Get("isSecureContext"); secure.Type() == js.TypeBoolean && !secure.Bool() {
		return errAddress
	}
	if !opfs.Offered() {
		return opfs.ErrMissing
	}
	return nil
}

// take opens the records that this page asked for, or says that whoever has
// them does not answer.
func (a *app) take() {
	if a.storage != pages.Asking {
		return
	}
	err := opfs.ErrElsewhere
	if a.host.says("held") {
		err = a.openRecords()
	}
	if errors.Is(err, opfs.ErrElsewhere) {
		err = errNoAnswer
	}
	a.use(err)
}

// give closes the records for whoever asked for them, unless nobody waits any
// more: this page may have slept when it was asked.
func (a *app) give() {
	if !a.host.says("wanted") {
		return
	}
	a.closeRecords()
	a.use(errTaken)
}

var errAddress = errors.New("browsers keep private files only at an address that begins with https, or on localhost")

var (
	errNoAnswer = errors.New("the page that has the records does not answer")
	errTaken    = errors.New("another page asked for the records")
)

func whyNoRecords(err error) string {
	var fault *companion.Fault
	switch {
	case errors.Is(err, errNoAnswer):
		return pages.NoAnswer
	case errors.Is(err, errTaken):
		return pages.Taken
	case errors.Is(err, opfs.ErrForbidden):
		return storageForbidden
	case errors.Is(err, errAddress):
		return storageAddress
	case errors.Is(err, opfs.ErrMissing):
		return storageMissing
	case errors.Is(err, opfs.ErrElsewhere):
		return pages.OpenElsewhere
	case errors.As(err, &fault):
		return fault.Code
	}
	return storageFailed
}
