//go:build js && wasm

package opfs

import (
	"errors"
	"fmt"
	"io"
	"syscall/js"

	"fourchette/core/journal"
	"fourchette/wasm/app/wait"
)

// file is one open file. The browser's handle throws where Go returns an error.
type file struct {
	disk   *Disk
	name   string
	handle js.Value // FileSystemSyncAccessHandle; null once closed
	failed bool     // the browser refused something: this handle is not used again
}

var _ journal.File = (*file)(nil)

// ReadAt reads as io.ReaderAt does: fewer bytes than asked for come with io.EOF.
func (f *file) ReadAt(p []byte, off int64) (n int, err error) {
	buffer := bytesOf(len(p))
	err = f.try("reading", func() { n = f.handle.Call("read", buffer, at(off)).Int() })
	if err != nil {
		return 0, err
	}
	js.CopyBytesToGo(p, buffer)
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// WriteAt writes all of p or says why not. A browser that runs out of room may
// throw, or write less than it was given.
func (f *file) WriteAt(p []byte, off int64) (n int, err error) {
	buffer := bytesOf(len(p))
	js.CopyBytesToJS(buffer, p)
	err = f.try("writing", func() { n = f.handle.Call("write", buffer, at(off)).Int() })
	if err == nil && n < len(p) {
		err = fmt.Errorf("writing the private file %s: %w", f.name, journal.ErrFull)
	}
	return n, err
}

func (f *file) Size() (size int64, err error) {
	err = f.try("measuring", func() { size = int64(f.handle.Call("getSize").Float()) })
	return size, err
}

func (f *file) Truncate(size int64) error {
	return f.try("cutting", func() { f.handle.Call("truncate", float64(size)) })
}

// Sync returns once the browser has handed everything to the disk.
func (f *file) Sync() error {
	return f.try("flushing", func() { f.handle.Call("flush") })
}

// Close gives the handle back to the disk, or closes it when it failed once. A
// second Close does nothing.
func (f *file) Close() error {
	handle := f.handle
	f.handle = js.Null()
	if handle.IsNull() || !f.failed && f.disk.rest(f.name, handle) {
		return nil
	}
	if err := wait.Try(func() { handle.Call("close") }); err != nil {
		return fmt.Errorf("closing the private file %s: %w", f.name, err)
	}
	return nil
}

var errClosed = errors.New("the file was closed")

func (f *file) try(doing string, step func()) error {
	if f.handle.IsNull() {
		return fmt.Errorf("%s the private file %s: %w", doing, f.name, errClosed)
	}
	err := wait.Try(step)
	if err == nil {
		return nil
	}
	f.failed = true
	if wait.Name(err) == "QuotaExceededError" {
		return fmt.Errorf("%s the private file %s: %w (%w)", doing, f.name, journal.ErrFull, err)
	}
	return fmt.Errorf("%s the private file %s: %w", doing, f.name, err)
}

func bytesOf(n int) js.Value { return js.Global().Get("Uint8Array").New(n) }

func at(off int64) map[string]any { return map[string]any{"at": float64(off)} }
