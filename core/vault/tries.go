package vault

import (
	"fmt"
	"time"

	"fourchette/core/journal"
)

// How long a try must wait. The first few cost nothing, for fingers slip in
// gloves; then each wrong one doubles the wait. The numbers are a choice: after
// a day of trying about a hundred PINs are tried, and whoever comes to a phone
// that a child played with waits a quarter of an hour at most.
const (
	freeTries   = 4
	firstWait   = 30 * time.Second
	longestWait = 15 * time.Minute

	// manyTries stands for a count that cannot be read: in doubt, the longest.
	manyTries = freeTries + 10
	mostTries = 1 << 20
)

// WaitError says that the PIN must not be tried yet.
type WaitError struct {
	Left time.Duration
	// Uncounted: not because of wrong tries, but because the count of them cannot
	// be stored.
	Uncounted bool
}

func (e *WaitError) Error() string {
	if e.Uncounted {
		return fmt.Sprintf("the tries cannot be counted on this storage; wait %s, or make room", e.Left)
	}
	return fmt.Sprintf("too many wrong tries; wait %s, or use the recovery code", e.Left)
}

// tries counts the tries since the PIN last opened. Waits are measured by the
// running clock alone. The wall clock is not asked: whoever holds the phone can
// set it. A running clock that begins anew, in a program started again, begins
// the wait anew too; one that stops in sleep makes it longer. In doubt, longer.
type tries struct {
	row   row
	wrong uint32
	since time.Duration // where on the running clock the wait begins
	was   time.Duration // since, before the last try
}

// wait is how long after the last wrong try the next may come.
func wait(wrong uint32) time.Duration {
	if wrong < freeTries {
		return 0
	}
	return min(firstWait<<min(wrong-freeTries, 10), longestWait)
}

// openTries reads the count. Damage counts as many tries; no count at all as
// none, for a thief who can remove files can also copy them, and need not ask.
func openTries(d journal.Disk, running time.Duration) (*tries, error) {
	t := &tries{row: row{series: tryFiles, disk: d}, since: running}
	list, err := t.row.scan()
	if err != nil {
		return nil, err
	}
	for _, f := range list {
		if f.is == newer {
			return nil, tooNew(t.row.name(f.number), f.version)
		}
	}
	for _, f := range list {
		if f.is == whole && len(f.body) == 4 {
			t.wrong = min(le.Uint32(f.body), mostTries)
			return t, nil
		}
	}
	// A first count that was cut let no try through.
	if !neverMade(list) {
		t.wrong = manyTries
	}
	return t, nil
}

// begin counts a try as wrong before it is made, so that ending the program in
// the middle of it wins nothing. Where the count cannot be stored, on a full
// disk, each try waits: else ending the program would win one.
func (t *tries) begin(running time.Duration) error {
	if left := t.left(wait(t.wrong), running); left > 0 {
		return &WaitError{Left: left}
	}
	next := min(t.wrong+1, mostTries)
	if t.store(next) != nil {
		if left := t.left(firstWait, running); left > 0 {
			return &WaitError{left, true}
		}
	}
	t.wrong, t.was, t.since = next, t.since, running
	return nil
}

// takeBack undoes the last try. If it cannot be stored the next start finds it
// counted.
func (t *tries) takeBack() {
	t.wrong, t.since = t.wrong-1, t.was
	_ = t.store(t.wrong)
}

// left is how much of this wait has not passed yet.
func (t *tries) left(pass, running time.Duration) time.Duration {
	if running < t.since {
		t.since = running // another clock, or one that was turned back
	}
	return pass - (running - t.since)
}

// failed lets the wait begin where the answer was given.
func (t *tries) failed(running time.Duration) { t.since = running }

// forget begins the count anew. If it cannot be stored the next start finds an
// older, higher one.
func (t *tries) forget() {
	if t.wrong > 0 {
		t.wrong = 0
		_ = t.store(0)
	}
}

func (t *tries) store(wrong uint32) error {
	n, err := t.row.write(le.AppendUint32(nil, wrong))
	if err != nil {
		return err
	}
	_ = t.row.keep(n)
	return nil
}
