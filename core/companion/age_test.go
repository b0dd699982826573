package companion_test

import (
	"slices"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestATearOlderThanTwelveHours: no record offers to stitch it, whether its
// hour was told, has gone by since or is not known; what was stitched in time
// does not grow old.
func TestATearOlderThanTwelveHours(t *testing.T) {
	for _, x := range []struct {
		born   string
		at     time.Time
		waits  time.Duration
		stitch bool
		old    bool
	}{
		{"now", time.Time{}, 0, false, false},
		{"now", time.Time{}, 13 * time.Hour, false, true},
		{"now", time.Time{}, 13 * time.Hour, true, false},
		{"at", noon.Add(-12 * time.Hour), 0, false, false},
		{"at", noon.Add(-27 * time.Hour), 0, false, true},
		{"not_known", time.Time{}, 0, false, true},
	} {
		h := host(journaltest.New())
		var running time.Duration
		h.Running = func() time.Duration { return running }
		c, err := companion.Open(h)
		if err != nil {
			t.Fatal(err)
		}
		q := &companion.OpenRequest{Born: x.born}
		if x.born == "at" {
			q.BornAt = x.at.Format(time.RFC3339)
		}
		id := ask[*companion.OpenRequest, companion.SavedReply](t, c, "birth.open", q).Birth
		found(t, c, id, secondDegree...)
		if x.stitch {
			layerDone(t, c, id, "vaginal_mucosa")
		}
		running = x.waits
		plan := ask[*companion.BirthRequest, companion.RepairReply](t, c, "birth.repair", &companion.BirthRequest{Birth: id})
		w := walk(t, c, id)
		if old := plan.Allowed == "leave_open"; old != x.old || slices.Contains(w.Warnings, "tear_too_old") != x.old || slices.Contains(w.Ways, "old_tear") != x.old {
			t.Errorf("%+v: %s because %q, warnings %q", x, plan.Allowed, plan.Because, w.Warnings)
		}
	}
}
