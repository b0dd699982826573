package main

import (
	"fmt"
	"time"

	"github.com/chromedp/cdproto/input"

	"fourchette/wasm/browser"
)

// held is how long a finger stays on the glass when it taps. A tap without it
// would be lifted while the page still draws that it was touched.
const held = 80 * time.Millisecond

// press taps in the middle of the first element that a selector finds. A tap
// is measured from the moment when the finger is lifted.
func press(tab *browser.Tab, selector string) {
	type spot struct{ X, Y float64 }
	at := browser.Ask[spot](tab, fmt.Sprintf(`((e) => {
		e.scrollIntoView({block: 'center', behavior: 'instant'});
		const r = e.getBoundingClientRect();
		return {X: r.x + r.width / 2, Y: r.y + r.height / 2};
	})(document.querySelector(%q))`, selector))
	time.Sleep(held) // the scroll is painted
	touch(tab, input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: at.X, Y: at.Y})
	time.Sleep(held)
	touch(tab, input.DispatchTouchEventTypeTouchEnd)
}

func touch(tab *browser.Tab, kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
	if points == nil {
		points = []*input.TouchPoint{}
	}
	browser.Call(tab, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
}
