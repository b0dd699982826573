package mobile

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/companion"
)

// A crowd is an application whose threads all use the Core that is open at the
// moment, while one of them closes it and opens it again. What a reply called
// saved is in the acknowledged set.
type crowd struct {
	t      *testing.T
	folder string
	pack   []byte

	mu    sync.Mutex
	core  *Core
	saved map[string]bool // event ids
}

func (c *crowd) current() *Core {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.core
}

// turn closes the core and opens it again. Meanwhile calls are answered
// "closed".
func (c *crowd) turn() {
	old := c.current()
	if err := old.Close(); err != nil {
		c.t.Error(err)
	}
	again, err := Open(c.folder, c.pack, nil)
	if err != nil {
		c.t.Error(err)
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.core = again
}

// write records one event, and remembers it when the reply says it is saved.
func (c *crowd) write(id string, n int) {
	reply := c.current().Call("birth.answer", companion.Encode(pulse(id, n)))
	var f companion.Fault
	if companion.DecodeReply(reply, &f) == nil && f.Code != "" {
		if f.Code != CodeClosed {
			c.t.Errorf("refused: %v", &f)
		}
		return
	}
	var saved companion.SavedReply
	if f := companion.DecodeReply(reply, &saved); f != nil {
		c.t.Errorf("%q: %v", reply, f)
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.saved[saved.Event] {
		c.t.Errorf("the event %s was given out twice", saved.Event)
	}
	c.saved[saved.Event] = true
}

func (c *crowd) read(id string) {
	reply := c.current().Call("birth.show", companion.Encode(&companion.BirthRequest{Birth: id}))
	if code := errorCode(c.t, reply); code != "" && code != CodeClosed {
		c.t.Errorf("refused: %s", code)
	}
}

// second tries to get in while the folder is held.
func (c *crowd) second() {
	other, err := Open(c.folder, c.pack, nil)
	switch {
	case err == nil: // it came between a close and an open
		c.t.Error("a second core got the folder")
		other.Close()
	case !strings.Contains(err.Error(), "open already"):
		c.t.Error(err)
	}
}

// Whatever threads do at the same time, each event that was called saved is
// there once after opening again, and no other event is. Run with -race.
func TestThreadsLoseNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		deeds := rapid.SliceOfN(rapid.SampledFrom([]string{"write", "write", "write", "read", "turn", "second"}), 8, 60).Draw(r, "deeds")
		threads := rapid.IntRange(2, 6).Draw(r, "threads")
		if err := together(t, deeds, threads); err != nil {
			r.Fatal(err)
		}
	})
}

func together(t *testing.T, deeds []string, threads int) error {
	c := &crowd{t: t, folder: t.TempDir(), pack: testPack(t), saved: map[string]bool{}}
	var err error
	if c.core, err = Open(c.folder, c.pack, nil); err != nil {
		return err
	}
	id := newBirth(t, c.core)
	var turning sync.RWMutex // the folder is free between a close and an open: nobody tries then
	var all sync.WaitGroup
	for thread := range threads {
		all.Go(func() {
			for i := thread; i < len(deeds); i += threads {
				switch deeds[i] {
				case "write":
					c.write(id, 60+i)
				case "read":
					c.read(id)
				case "turn":
					turning.Lock()
					c.turn()
					turning.Unlock()
				case "second":
					turning.RLock()
					c.second()
					turning.RUnlock()
				}
			}
		})
	}
	all.Wait()
	return errors.Join(c.current().Close(), c.holds(id))
}

// holds opens the folder once more and compares it with what was acknowledged.
func (c *crowd) holds(id string) error {
	core, err := Open(c.folder, c.pack, nil)
	if err != nil {
		return err
	}
	defer core.Close()
	var b companion.BirthReply
	reply := core.Call("birth.show", companion.Encode(&companion.BirthRequest{Birth: id}))
	if f := companion.DecodeReply(reply, &b); f != nil {
		return f
	}
	var events []string
	for _, line := range b.Log[1:] { // the first one opened the birth
		events = append(events, line.Event)
	}
	slices.Sort(events)
	if want := slices.Sorted(maps.Keys(c.saved)); !slices.Equal(events, want) {
		c.t.Errorf("acknowledged %q, in the record %q", want, events)
	}
	return nil
}
