package repair_test

import (
	"strings"
	"testing"
	"time"

	. "fourchette/core/repair"
	"fourchette/core/tear"
)

// TestANeglectedTear: more than 12 hours (A Book for Midwives, 2010, chapter
// 19; from memory: WHO MCPC P-89 and P-90), or nobody knows.
func TestANeglectedTear(t *testing.T) {
	hours := func(h time.Duration) *time.Duration { return &h }
	for _, c := range []struct {
		c       Case
		allowed string
		because string
	}{
		{Case{Grade: tear.Second, Since: hours(3 * time.Hour)}, Here, "second_is_closed_here"},
		{Case{Grade: tear.Second, Since: hours(12 * time.Hour)}, Here, "second_is_closed_here"},
		{Case{Grade: tear.Second, Since: hours(12*time.Hour + 1)}, LeaveOpen, "second_is_closed_here older_than_12_hours neglected_left_open"},
		{Case{Grade: tear.First, Since: hours(27 * time.Hour)}, LeaveOpen, "first_may_be_left older_than_12_hours neglected_left_open"},
		{Case{Grade: tear.First, SinceUnknown: true}, LeaveOpen, "first_may_be_left hour_not_known_as_older neglected_left_open"},
		{Case{Grade: tear.None, Since: hours(27 * time.Hour)}, Nothing, "nothing_torn"},
		{Case{Grade: tear.Third3b, Since: hours(27 * time.Hour)}, TrainedOnly, "sphincter_needs_trained_operator no_trained_operator_here older_than_12_hours neglected_in_stages"},
		{Case{Grade: tear.Fourth, SinceUnknown: true, TrainedHere: true}, Here, "sphincter_needs_trained_operator trained_operator_here hour_not_known_as_older neglected_in_stages"},
		{Case{Grade: tear.Second, Buttonhole: true, Since: hours(13 * time.Hour)}, TrainedOnly, "buttonhole_needs_trained_operator no_trained_operator_here older_than_12_hours neglected_in_stages"},
	} {
		if p := For(c.c); p.Allowed != c.allowed || strings.Join(p.Because.Keys(), " ") != c.because {
			t.Errorf("%+v: %s because %q, want %s %q", c.c, p.Allowed, p.Because.Keys(), c.allowed, c.because)
		}
	}
}
