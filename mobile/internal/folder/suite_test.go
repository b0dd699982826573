package folder

import (
	"testing"

	"fourchette/core/journal/journaltest"
)

// The folder is tried like every other host's disk.
func TestEveryDisksSuite(t *testing.T) {
	checks := journaltest.Checks()
	if len(checks) == 0 {
		t.Fatal("the suite is empty")
	}
	for _, c := range checks {
		t.Run(c.Name, func(t *testing.T) {
			if err := c.Run(mustOpen(t, t.TempDir())); err != nil {
				t.Error(err)
			}
		})
	}
}
