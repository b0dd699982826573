//go:build js && wasm

// Package opfs is the journal's disk in a browser: one folder of the origin
// private file system, read and written through synchronous access handles.
//
// Start with Open. It must be called, like every method, on a goroutine of the
// program's own inside a dedicated worker: opening a file waits for a promise.
//
// Only one tab may hold the folder. Tabs agree on that among themselves
// (wasm/shell/worker.js); a file named lock, held for as long as the disk is
// open, sees to it where they do not, as where one is of an older version. The
// browser lets go of it when the tab closes, whatever the tab was doing.
package opfs

import (
	"errors"
	"fmt"
	"strings"
	"syscall/js"
	"time"

	"fourchette/core/arrange"
	"fourchette/core/journal"
	"fourchette/wasm/app/wait"
)

// The answers to a folder that cannot be had, beside what the browser itself
// throws when it refuses.
var (
	// ErrMissing: this browser has no private files, or none at this address.
	ErrMissing = errors.New("this browser keeps no private files here")
	// ErrForbidden: the browser refuses, as in some private windows, or where it
	// is set to keep nothing for this address.
	ErrForbidden = errors.New("this browser keeps nothing at this address")
	// ErrElsewhere: another tab or window holds the records.
	ErrElsewhere = errors.New("the records are open in another tab or window")
)

const lockName = "lock"

// patience is how long another holder may take to let go. A page that is
// loaded again asks before the browser has ended the worker of the one before.
const patience = 2 * time.Second

// Disk is one folder of private files. It holds the folder until Close.
type Disk struct {
	folder js.Value            // FileSystemDirectoryHandle
	lock   js.Value            // FileSystemSyncAccessHandle
	idle   map[string]js.Value // handles of files that are closed, by name
}

var _ journal.Disk = (*Disk)(nil)

// Open takes hold of a folder at the top of the private files and makes it
// when it is not there. The error wraps ErrMissing or ErrElsewhere, or says
// what the browser refused.
func Open(name string) (*Disk, error) {
	storage, there := find("navigator", "storage")
	if !there || !Offered() {
		return nil, ErrMissing
	}
	root, err := wait.For(storage.Call("getDirectory"))
	if wait.Name(err) == "SecurityError" {
		return nil, ErrForbidden
	}
	if err != nil {
		return nil, fmt.Errorf("opening the private files: %w", err)
	}
	folder, err := wait.For(root.Call("getDirectoryHandle", name, create))
	if err != nil {
		return nil, fmt.Errorf("opening the folder %s of the private files: %w", name, err)
	}
	d := &Disk{folder: folder, idle: map[string]js.Value{}}
	d.lock, err = d.patientHandle(lockName)
	if err != nil {
		return nil, err
	}
	return d, nil
}

// Offered says whether this host has private files at all.
func Offered() bool {
	_, there := find("navigator", "storage", "getDirectory")
	return there
}

// find follows names from the global object; a browser may lack any of them.
func find(names ...string) (js.Value, bool) {
	v := js.Global()
	for _, name := range names {
		if v = v.Get(name); v.IsUndefined() || v.IsNull() {
			return v, false
		}
	}
	return v, true
}

var create = map[string]any{"create": true}

// patientHandle waits a while for a file that somebody else still holds.
func (d *Disk) patientHandle(name string) (js.Value, error) {
	for end := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		handle, err := d.handle(name)
		if wait.Name(err) != "NoModificationAllowedError" {
			return handle, err
		}
		if time.Now().After(end) {
			return js.Null(), ErrElsewhere
		}
	}
}

func (d *Disk) handle(name string) (js.Value, error) {
	file, err := wait.For(d.folder.Call("getFileHandle", name, create))
	if err != nil {
		return js.Null(), err
	}
	if file.Get("createSyncAccessHandle").IsUndefined() {
		return js.Null(), ErrMissing
	}
	return wait.For(file.Call("createSyncAccessHandle"))
}

// Close lets another tab have the folder.
func (d *Disk) Close() error {
	for name := range d.idle {
		d.drop(name)
	}
	return wait.Try(func() { d.lock.Call("close") })
}

// mostIdle bounds the handles kept of closed files.
const mostIdle = 4

// rest keeps the handle of a file that is closed, for it will soon be opened
// again: a journal's segment is scanned, confirmed, read and written in turn,
// and each opening waits twice for the browser. Nobody else may have the file
// meanwhile, as nobody else may have the folder.
func (d *Disk) rest(name string, handle js.Value) bool {
	if len(d.idle) >= mostIdle {
		return false
	}
	d.idle[name] = handle
	return true
}

// drop closes a handle that was kept. Nothing was written through it since its
// file was closed, so that nothing can be lost.
func (d *Disk) drop(name string) {
	handle, kept := d.idle[name]
	delete(d.idle, name)
	if kept {
		wait.Try(func() { handle.Call("close") })
	}
}

// Names lists the files, sorted.
func (d *Disk) Names() ([]string, error) {
	var names []string
	for keys := d.folder.Call("keys"); ; {
		next, err := wait.For(keys.Call("next"))
		if err != nil {
			return nil, fmt.Errorf("listing the private files: %w", err)
		}
		if next.Get("done").Bool() {
			arrange.By(names, strings.Compare)
			return names, nil
		}
		if name := next.Get("value").String(); name != lockName {
			names = append(names, name)
		}
	}
}

// Open opens a file and makes it when it is not there.
func (d *Disk) Open(name string) (journal.File, error) {
	handle, kept := d.idle[name]
	if !kept {
		var err error
		if handle, err = d.handle(name); err != nil {
			return nil, fmt.Errorf("opening the private file %s: %w", name, err)
		}
	}
	delete(d.idle, name)
	return &file{disk: d, name: name, handle: handle}, nil
}

// Remove removes a file. The browser refuses while the file is open.
func (d *Disk) Remove(name string) error {
	d.drop(name)
	if _, err := wait.For(d.folder.Call("removeEntry", name)); err != nil {
		return fmt.Errorf("removing the private file %s: %w", name, err)
	}
	return nil
}
