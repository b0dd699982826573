package mobile

import (
	"fmt"
	"time"
)

// wall is the wall clock.
var wall = time.Now

// A stopwatch stands between Java's clock and the core: it asks the clock once
// for each call, outside the Core's lock, and holds the answer for as long as
// the call has its turn. A nil stopwatch stands still.
type stopwatch struct {
	clock Clock // nil: Go's own
	now   moment
	asked bool // the core wanted a time that there is not
}

// A moment is what a clock said.
type moment struct {
	at  time.Duration
	err error
}

// started is when Go's own running clock began.
var started = time.Now()

// read asks the clock.
func (s *stopwatch) read() moment {
	if s == nil {
		return moment{}
	}
	if s.clock == nil {
		return moment{at: time.Since(started)}
	}
	ms, err := s.clock.Running()
	if err != nil {
		err = fmt.Errorf("the phone's running clock failed: %w", err)
	}
	return moment{time.Duration(ms) * time.Millisecond, err}
}

// set is the time of the call that has its turn now. Calls take turns in
// another order than they asked the clock, so it never goes back.
func (s *stopwatch) set(m moment) {
	if s == nil {
		return
	}
	m.at = max(m.at, s.now.at)
	s.now, s.asked = m, false
}

// running is the core's running clock. Without a time it panics: the core
// catches that before it has written anything, and reads its records again.
func (s *stopwatch) running() time.Duration {
	if s.now.err != nil {
		s.asked = true
		panic(s.now.err)
	}
	return s.now.at
}

// failed is why the call that has its turn had no time, nil when it needed none.
func (s *stopwatch) failed() error {
	if s == nil || !s.asked {
		return nil
	}
	return s.now.err
}
