package course

import "time"

// Moment is what the clocks of one device said. Wall is in milliseconds since
// 1970 and may be set back or forth; Running only moves forward, in
// milliseconds, stops in sleep, and means something only within one Run.
type Moment struct {
	Device        string
	Wall, Running int64
	Run           string
}

// span is how long ago something was: between short and long.
type span struct {
	long, short time.Duration
	// odd: the wall clock alone would say less than has passed.
	odd bool
}

// slack is how much less the wall clock may say before it is doubted: it is
// put right by seconds now and then (ours, no source).
const slack = time.Minute

// since adds up what passed from one event to the next of the same device. Of
// two clocks the longer time counts; no step is less than nought.
func (f Facts) since(place int) span {
	from := f.Moments[place]
	wall := ms(f.Now.Wall - from.Wall)
	s := span{}
	last := from
	for _, m := range append(f.Moments[place+1:len(f.Moments):len(f.Moments)], f.Now) {
		if m.Device == from.Device {
			long, short := step(last, m)
			s.long, s.short, last = s.long+long, s.short+short, m
		}
	}
	if f.Now.Device != from.Device { // another device's clocks: theirs from there to here
		s.long, s.short = max(s.long, wall), max(0, min(s.short, wall))
	}
	s.odd = s.long-wall > slack
	return s
}

func step(a, b Moment) (long, short time.Duration) {
	wall := max(0, ms(b.Wall-a.Wall))
	if a.Run != b.Run || a.Run == "" {
		return wall, wall
	}
	running := max(0, ms(b.Running-a.Running))
	return max(wall, running), min(wall, running)
}

// mostSpan keeps sums from overflowing, whatever a clock says.
const mostSpan = 20 * 365 * 24 * time.Hour

func ms(n int64) time.Duration {
	return time.Duration(max(-mostSpan.Milliseconds(), min(n, mostSpan.Milliseconds()))) * time.Millisecond
}

// sinceHour is how long ago an hour was that somebody told at a place.
func (f Facts) sinceHour(place int, hour int64) span {
	before := max(0, ms(f.Moments[place].Wall-hour))
	s := f.since(place)
	s.long, s.short = s.long+before, s.short+before
	return s
}

func (w walk) oddClock() bool { return w.Opened >= 0 && w.since(w.Opened).odd }
