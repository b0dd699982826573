//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"

	"fourchette/core/companion"
	"fourchette/wasm/app/opfs"
)

// Why no records are kept: keys under storage.* in the tables. Beside these
// stand the codes of a journal that the core refuses.
const (
	storageMissing   = "no_private_files" // this browser has none
	storageAddress   = "plain_address"    // none at this address: neither https nor localhost
	storageElsewhere = "open_elsewhere"   // another tab or window holds the records
	storageFailed    = "disk_failed"      // the browser, or the disk, refused
)

// folder is where the records lie in the private files.
const folder = "fourchette"

func openDisk() (*opfs.Disk, error) {
	if secure := js.Global().Get("isSecureContext"); secure.Type() == js.TypeBoolean && !secure.Bool() {
		return nil, errAddress
	}
	return opfs.Open(folder)
}

var errAddress = errors.New("browsers keep private files only at an address that begins with https, or on localhost")

func whyNoRecords(err error) string {
	var fault *companion.Fault
	switch {
	case errors.Is(err, errAddress):
		return storageAddress
	case errors.Is(err, opfs.ErrMissing):
		return storageMissing
	case errors.Is(err, opfs.ErrElsewhere):
		return storageElsewhere
	case errors.As(err, &fault):
		return fault.Code
	}
	return storageFailed
}
