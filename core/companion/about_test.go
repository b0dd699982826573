package companion_test

import (
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestAboutCountsBirthsInProgress: a new version of the program waits while
// any is open, and while nobody can know.
func TestAboutCountsBirthsInProgress(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	says := func(want int) {
		t.Helper()
		r := ask[*companion.Nothing, companion.AboutReply](t, c, "companion.about", &companion.Nothing{})
		if r.Open != want {
			t.Errorf("%d births in progress, want %d", r.Open, want)
		}
	}
	says(0)
	first, second := newBirth(t, c), newBirth(t, c)
	says(2)
	closed(t, c, first)
	says(1)
	disk.Fault = &journaltest.Fault{Op: journaltest.Write, At: disk.Count(journaltest.Write) + 1}
	refused(t, c, "birth.find", &companion.FindRequest{Birth: second, Finding: "perineal_skin", Value: "torn"}, "disk_failed", "")
	disk.Fault = &journaltest.Fault{Op: journaltest.Open, At: disk.Count(journaltest.Open) + 1}
	says(-1)
	disk.Fault = nil
	says(1)
}
