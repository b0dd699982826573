package mobile

import (
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"fourchette/core/companion"
)

// clockFunc is a phone's clock as a test wants it.
type clockFunc func() (int64, error)

func (f clockFunc) Running() (int64, error) { return f() }

func newBirth(t *testing.T, c *Core) string {
	t.Helper()
	return record(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "3", Another: true})
}

// record makes a call that records something and returns the birth.
func record(t *testing.T, c *Core, topic string, request any) string {
	t.Helper()
	reply := c.Call(topic, companion.Encode(request))
	var saved companion.SavedReply
	if f := companion.DecodeReply(reply, &saved); f != nil || saved.Birth == "" {
		t.Fatalf("%s: %q %v", topic, reply, f)
	}
	return saved.Birth
}

func pulse(id string, n int) *companion.AnswerRequest {
	return &companion.AnswerRequest{Birth: id, Question: "pulse", Number: &n}
}

// A clock that fails spoils the calls that need the time and nothing else:
// nothing is written, nothing is lost, and the next call works.
func TestAClockThatFails(t *testing.T) {
	fails := false
	folder := t.TempDir()
	c, err := Open(folder, testPack(t), clockFunc(func() (int64, error) {
		if fails {
			return 0, errors.New("no clock on this phone")
		}
		return 1000, nil
	}))
	if err != nil {
		t.Fatal(err)
	}
	id := newBirth(t, c)
	shown := func() string {
		return string(c.Call("birth.show", companion.Encode(&companion.BirthRequest{Birth: id})))
	}
	before := shown()
	for range 3 {
		fails = true
		reply := c.Call("birth.answer", companion.Encode(pulse(id, 88)))
		if errorCode(t, reply) != CodeClock || !strings.Contains(string(reply), "no clock on this phone") {
			t.Errorf("without a clock: %q", reply)
		}
		if code := errorCode(t, c.Call("anaesthetic.rescue", companion.Encode(&companion.RescueRequest{WeightKg: "60"}))); code != "" {
			t.Errorf("a rescue needs no time, and got %q", code)
		}
		fails = false
		if after := shown(); after != before {
			t.Errorf("after it failed\n%q, before\n%q", after, before)
		}
	}
	record(t, c, "birth.answer", pulse(id, 88))
	before = shown()
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	c = mustOpen(t, folder)
	if after := shown(); len(after) != len(before) || !strings.Contains(after, "pulse") {
		t.Errorf("opened again\n%q, before\n%q", after, before)
	}
}

// A clock that asks the Core something must not wait for its own call.
func TestAClockMayCallTheCore(t *testing.T) {
	var c *Core
	asking := false
	c, err := Open("", testPack(t), clockFunc(func() (int64, error) {
		if c != nil && !asking {
			asking = true
			c.Call("companion.about", nothing)
			asking = false
		}
		return 0, nil
	}))
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan bool)
	go func() {
		c.Call("companion.about", nothing)
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("the call waits for itself")
	}
}

// Calls ask the clock in one order and take their turns in another.
func TestTheClockNeverGoesBack(t *testing.T) {
	var ms atomic.Int64
	s := &stopwatch{clock: clockFunc(func() (int64, error) { return ms.Add(-1000), nil })}
	last := time.Duration(0)
	for range 5 {
		s.set(s.read())
		if s.running() < last {
			t.Errorf("%s after %s", s.running(), last)
		}
		last = s.running()
	}
	ms.Store(61_000)
	s.set(s.read())
	if s.running() != time.Minute || s.failed() != nil {
		t.Errorf("%s, %v", s.running(), s.failed())
	}
}
