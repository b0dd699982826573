// Package companion is the one boundary between the core and its hosts: a
// topic and a msgpack request in, a msgpack reply out, errors as data.
//
// Start with Open and Call. A host hands in its disk, clocks, randomness and
// the built-in pack; without a disk the quick tools and the emergency pages
// work and records do not. testdata/vectors/README.md is the topics' spec.
//
// What stays: Interface names this set of topics. A topic keeps its name and
// the meaning of its keys; it may take and answer more. The replies are equal
// byte for byte on every host.
package companion

import (
	"errors"
	"io"
	"reflect"
	"runtime/debug"
	"time"

	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/pack"
)

// Interface is the version of this boundary. A host compiled against another
// one is refused: the two halves of a program must not be mixed.
const Interface = 1

// A Host is what the core needs from where it runs. It is handed in once.
type Host struct {
	Interface int                  // the version the host was written for
	Disk      journal.Disk         // nil: no records, quick tools only
	Wall      func() time.Time     // the wall clock: it measures, and may be wrong
	Running   func() time.Duration // the running clock: it may stop in sleep and begins anew at each start
	Random    io.Reader            // for the device's id; must not repeat on another device
	Pack      []byte               // the built-in pack
}

// A Companion answers topics. It belongs to one goroutine: the host sees to
// it that one call ends before the next begins.
type Companion struct {
	host    Host
	pack    pack.Pack
	journal *journal.Journal // nil without a disk
	report  journal.Report
	doubts  doubts
	state   birth.State
	writer  birth.Writer
	run     string // this run of the program, so that running clocks compare
	broken  bool   // the state may be behind the journal: read it again
	lock    lock
	exchanges
	// unmarked: the next entry is the first under this device's id, and a mark
	// that says so goes before it.
	unmarked bool
	// aside: beside the sealed row there is an open one that is not what was
	// sealed. It is left as it is and not read.
	aside bool
	// unsealed says why the records could not be sealed although a PIN was set:
	// they are open, and go on being kept.
	unsealed error
}

// Open reads the pack and the journal. It fails with a *Fault: an interface
// of another version, a pack that cannot be read or is too new, or a disk whose
// journal or keys are not ours, too new, or cannot be opened. Damaged frames do not fail it: what
// can be read is there, and the topic companion.about counts them.
func Open(host Host) (*Companion, error) {
	if host.Interface != Interface {
		return nil, &Fault{Code: "interface_differs"}
	}
	if len(host.Pack) == 0 {
		return nil, &Fault{Code: FaultPackMissing}
	}
	p, err := pack.Load(host.Pack)
	if errors.Is(err, pack.ErrTooNew) {
		return nil, &Fault{Code: "pack_too_new", Detail: err.Error()}
	}
	if err != nil {
		return nil, &Fault{Code: "pack_unreadable", Detail: err.Error()}
	}
	c := &Companion{host: host, pack: p}
	if host.Disk == nil {
		return c, nil
	}
	if err := c.openLock(); err != nil {
		return nil, err
	}
	if err := c.read(); err != nil {
		return nil, err
	}
	return c, nil
}

// Close closes the journal. Nothing is pending: every append was flushed.
func (c *Companion) Close() error {
	if c.journal == nil {
		return nil
	}
	return c.journal.Close()
}

// Call answers one request of one topic. It never panics: a fault of the
// program is caught, answered as "internal", and the state is read from the
// journal again before the next call.
func (c *Companion) Call(topic string, request []byte) (answer []byte) {
	defer func() {
		if p := recover(); p != nil {
			c.broken = true
			answer = Encode(&Fault{Code: FaultInternal, Field: topic, Detail: panicText(p)})
		}
	}()
	t, known := topics[topic]
	if !known {
		return Encode(&Fault{Code: FaultTopicUnknown, Field: topic})
	}
	if len(request) > MaxRequest {
		return Encode(&Fault{Code: FaultTooLarge, Field: topic})
	}
	if c.lock.shut() && keepsRecords(topic) {
		return Encode(&Fault{Code: FaultLocked})
	}
	if c.broken {
		// A disk that fails keeps nobody from a rescue, a grade or a dose.
		if err := c.reopen(); err != nil && keepsRecords(topic) {
			return Encode(asFault(err))
		}
	}
	r, err := t(c, request)
	if err != nil {
		return Encode(asFault(err))
	}
	return Encode(r)
}

// A topicFunc decodes its request and answers it.
type topicFunc func(c *Companion, request []byte) (reply, error)

// topic joins the strict decoder and the answer into a topicFunc. P points to a
// shape of wire.go: made for pointers it is compiled once, not for each shape.
func topic[P any](answer func(*Companion, P) (reply, error)) topicFunc {
	return func(c *Companion, request []byte) (reply, error) {
		r := reflect.New(reflect.TypeFor[P]().Elem()).Interface()
		if f := Decode(request, r); f != nil {
			return nil, f
		}
		return answer(c, r.(P))
	}
}

// panicText keeps what was said and where, short enough for a log line.
func panicText(p any) string {
	said := "panic"
	switch v := p.(type) {
	case error:
		said = v.Error()
	case string:
		said = v
	}
	const most = 2000
	stack := debug.Stack()
	return said + "\n" + string(stack[:min(len(stack), most)])
}
