// Package mobile is the core as an Android application sees it: the package
// that gobind binds. This file is the whole contract; start with Open.
//
// Nothing is computed here. A call is a topic and a msgpack request in, a
// msgpack reply out, so a new topic needs no new binding. gobind passes
// strings, bytes, int32 and error, and silently leaves out what it cannot
// pass: the build (mobile/jvm) fails when it did. Of a Go error only the text
// crosses, so a refusal is data in the reply, and a Go error means that the
// core could not be opened or closed at all.
//
// What stays: a name in this file keeps its meaning. Interface tells the
// Java side which set of topics it talks to.
package mobile

import (
	"crypto/rand"
	"sync"
	"time"

	"fourchette/core/companion"
	"fourchette/mobile/internal/folder"
)

// Interface is the version of the boundary this library speaks. The Java side
// compares it with the one it was written for, and goes no further when they
// differ.
func Interface() int32 { return companion.Interface }

// A Core answers topics from one private folder. Its methods may be called
// from any thread; calls wait for one another. A Core must be closed: the
// garbage collector does not do it.
//
// A Core that was not made by Open answers every call with the error
// "closed".
type Core struct {
	mu   sync.Mutex
	core answerer     // nil: closed, or never opened
	disk *folder.Disk // nil: quick tools only
}

// answerer is what a Core needs from the core; the seam for tests.
type answerer interface {
	Call(topic string, request []byte) []byte
	Close() error
}

var _ answerer = (*companion.Companion)(nil)

// Open opens the core with the records in folder, which is made when it is
// missing and belongs to this Core until Close; a second Core on it is
// refused. An empty folder means quick tools only: nothing is kept. The pack
// is the built-in content pack's bytes.
func Open(folder string, pack []byte) (core *Core, err error) {
	defer caught(&err)
	return open(folder, pack)
}

// Call answers one request. The reply is always a msgpack map; when the
// request was refused or failed it holds the code under "error". Neither
// slice is kept.
func (c *Core) Call(topic string, request []byte) (reply []byte) {
	defer answered(topic, &reply)
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.core == nil {
		return fault(CodeClosed, topic, "")
	}
	return c.core.Call(topic, request)
}

// Close ends the core and gives up its folder. What a reply called saved is
// on the disk already. Closing again does nothing.
func (c *Core) Close() (err error) {
	defer caught(&err)
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.close()
}

// CodeClosed is the error code of a call to a Core that is not open.
const CodeClosed = "closed"

func open(path string, pack []byte) (*Core, error) {
	c := &Core{}
	host := companion.Host{
		Interface: companion.Interface,
		Wall:      time.Now,
		Running:   runningSince(time.Now()),
		Random:    rand.Reader,
		Pack:      append([]byte(nil), pack...), // the bytes are Java's, and only lent
	}
	if path != "" {
		d, err := folder.Open(path)
		if err != nil {
			return nil, err
		}
		c.disk, host.Disk = d, d
	}
	defer func() {
		if c.core == nil { // refused, or a panic is on its way out
			c.disk.Close()
		}
	}()
	core, err := companion.Open(host)
	if err != nil {
		return nil, err
	}
	c.core = core
	return c, nil
}

// runningSince is the running clock: it counts from start and no setting of
// the wall clock moves it. It stops while the phone sleeps.
func runningSince(start time.Time) func() time.Duration {
	return func() time.Duration { return time.Since(start) }
}

func (c *Core) close() error {
	if c.core == nil {
		return nil
	}
	core := c.core
	c.core = nil
	defer c.disk.Close() // only read from and locked: its Close has nothing to lose
	return core.Close()
}
