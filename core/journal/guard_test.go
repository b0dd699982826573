package journal_test

import (
	"errors"
	"testing"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
)

// TestTheGuardKeepsProgramsAway, beside a journal and alone, also once it was
// cut while being written and put again.
func TestTheGuardKeepsProgramsAway(t *testing.T) {
	for name, d := range map[string]*journaltest.Disk{"alone": journaltest.New(), "beside": written(t, 2)} {
		if is, err := journal.Guarded(d); is || err != nil {
			t.Errorf("%s: %v %v", name, is, err)
		}
		d.Put(journal.Guard, []byte{0xf7, 'F'})
		for range 2 {
			if err := journal.PutGuard(d); err != nil {
				t.Fatal(err)
			}
		}
		if is, err := journal.Guarded(d); !is || err != nil {
			t.Errorf("%s: %v %v", name, is, err)
		}
		if _, _, err := journal.Open(d); !errors.Is(err, journal.ErrTooNew) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
