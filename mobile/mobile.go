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
// Files belong to Go: the Java side names a private folder and touches nothing
// in it. What Java hands in is its Clock.
//
// What stays: a name in this file keeps its meaning. Interface tells the
// Java side which set of topics it talks to.
package mobile

import (
	"bytes"
	"crypto/rand"
	"sync"

	"fourchette/core/companion"
	"fourchette/mobile/internal/folder"
)

// Interface is the version of the boundary this library speaks. The Java side
// compares it with the one it was written for, and goes no further when they
// differ.
func Interface() int32 { return companion.Interface }

// A Clock is the phone's running clock, in milliseconds: it counts from
// whenever it likes, through sleep, and no setting of the date moves it
// (SystemClock.elapsedRealtime on Android). It is asked on the thread of each
// call, before that call waits for its turn, so it may be asked from several
// threads at once and may itself call the Core.
//
// What it throws becomes the error "clock_failed" of the calls that need the
// time: those change nothing, and the next call asks again. Calls that need no
// time are answered.
type Clock interface {
	Running() (int64, error)
}

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
	time *stopwatch
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
// is the built-in content pack's bytes. Without a clock Go's own counts, which
// stops while the phone sleeps.
func Open(folder string, pack []byte, clock Clock) (core *Core, err error) {
	defer caught(&err)
	time := &stopwatch{clock: clock}
	return open(folder, time, companion.Host{
		Wall:    wall,
		Running: time.running,
		Random:  rand.Reader,
		Pack:    bytes.Clone(pack), // the bytes are Java's, and only lent
	})
}

// Call answers one request. The reply is always a msgpack map; when the
// request was refused or failed it holds the code under "error". Neither
// slice is kept.
func (c *Core) Call(topic string, request []byte) (reply []byte) {
	defer answered(topic, &reply)
	now := c.time.read()
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.core == nil {
		return fault(CodeClosed, topic, "")
	}
	c.time.set(now)
	reply = c.core.Call(topic, request)
	if err := c.time.failed(); err != nil {
		return fault(CodeClock, topic, err.Error())
	}
	return reply
}

// Close ends the core and gives up its folder. What a reply called saved is
// on the disk already. Closing again does nothing.
func (c *Core) Close() (err error) {
	defer caught(&err)
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.close()
}

// Derive makes the key that a PIN opens the records with, from the recipe that
// the topics lock.recipe and lock.try hand out. It takes about a second and some
// 20 MiB: call it on a thread that may wait.
func Derive(pin, recipe string) (key string, err error) {
	defer caught(&err)
	return companion.Derive(pin, recipe)
}

// The error codes that a Core adds to those of the topics.
const (
	CodeClosed = "closed"       // a call to a Core that is not open
	CodeClock  = "clock_failed" // the Clock threw; detail: what it said
)

// open opens the core with the host's clocks, randomness and pack.
func open(path string, time *stopwatch, host companion.Host) (*Core, error) {
	c := &Core{time: time}
	host.Interface = companion.Interface
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
	time.set(time.read())
	core, err := companion.Open(host)
	if err != nil {
		return nil, err
	}
	c.core = core
	return c, nil
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
