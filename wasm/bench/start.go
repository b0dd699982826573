package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
)

// starts is how often each app is started and measured; rehearsals before that
// let the browser keep compiled code, as on a phone that has the app for long.
const (
	starts     = 11
	rehearsals = 2
	startGoal  = "≤ 3×"
)

// answer is what a watched page tells of one answer that has been painted.
type answer struct {
	screen
	rehearsal bool // not to be counted
	Page      struct {
		Tapped  float64 `json:"tapped"`  // the last tap
		Sent    float64 `json:"sent"`    // the last message to the worker
		Came    float64 `json:"came"`    // the answer
		Frame   float64 `json:"frame"`   // the frame that shows it
		Painted float64 `json:"painted"` // when that frame was painted
	} `json:"page"` // by the page's clock, which begins with the navigation
	Bench struct {
		Since    float64            `json:"since"` // from the making of the worker to this answer
		Took     float64            `json:"took"`  // from the message to this answer
		Marks    map[string]float64 `json:"marks"` // what the worker had done by when
		Files    float64            `json:"files"` // therein, with private files
		Asked    string             `json:"asked"`
		Appended int                `json:"appended"` // bytes to private files
	} `json:"bench"`
}

// A screen is an answer as the page's own scripts see it.
type screen struct {
	Path  string `json:"path"`
	Title string `json:"title"`
	Lang  string `json:"lang"`
	Dir   string `json:"dir"`
	Theme string `json:"theme"`
	Bar   string `json:"bar"`
	Main  string `json:"main"`
	Foot  string `json:"foot"`
	Open  int    `json:"open"`
}

// An installed app is in a browser's profile, with a service worker that keeps
// it, and its server is gone.
type installed struct {
	name    string
	profile string
	url     string
	spans   []span
	marks   map[string][]float64
}

func coldStart(m *made) ([]row, error) {
	empty, err := emptyApp(m.path("start-empty"), m)
	if err != nil {
		return nil, err
	}
	app, err := withWorker(m, m.path("start-app"), func(text string) string { return floorFile("clock.js") + text })
	if err != nil {
		return nil, err
	}
	ours := &installed{name: "ours", profile: m.path("profile-app"), marks: map[string][]float64{}}
	theirs := &installed{name: "empty", profile: m.path("profile-empty"), marks: map[string][]float64{}}
	if err := ours.install(app, examine); err != nil {
		return nil, err
	}
	if err := theirs.install(empty, func(*browser.Tab) {}); err != nil {
		return nil, err
	}
	for i := range rehearsals + starts { // in turn, so that both meet the same weather
		for _, a := range []*installed{ours, theirs} {
			if err := a.start(i >= rehearsals); err != nil {
				return nil, err
			}
		}
	}
	ours.tell(m)
	theirs.tell(m)
	return []row{{name: "start.cold", unit: "ms", ours: ours.figure(), rival: "empty Go program", theirs: theirs.figure(), goal: startGoal}}, nil
}

// install visits the app once with its server, prepares, and cuts the server.
func (a *installed) install(b *browser.Built, prepare func(*browser.Tab)) error {
	return browser.Try(func(t browser.T) {
		s := browser.Serve(t, b)
		a.url = s.URL
		tab := browser.Start(t, "user-data-dir", a.profile).Open(t)
		tab.Do(chromedp.Navigate(a.url + "/"))
		tab.Until("document.querySelector('#screen h1')")
		tab.OfflineReady()
		prepare(tab)
		time.Sleep(time.Second) // the browser writes its profile in its own time
	})
}

// start opens the app in a browser that was just started.
func (a *installed) start(counts bool) error {
	var seen answer
	err := browser.Try(func(t browser.T) {
		tab := browser.Start(t, "user-data-dir", a.profile).Open(t)
		tab.Expect("ERR_CONNECTION_REFUSED") // the look for a newer version
		tab.Inject(floorFile("watch.js"))
		tab.Slow(throttle)
		time.Sleep(time.Second) // the browser's own start is not ours
		tab.Do(chromedp.Navigate(a.url + "/"))
		tab.Until("self.bench?.answers.length")
		seen = browser.Ask[answer](tab, "bench.answers[0]")
		if counts {
			slowed(t, tab)
		}
	})
	if err != nil {
		return fmt.Errorf("starting %s: %w", a.name, err)
	}
	s := span{whole: seen.Page.Painted, worker: seen.Bench.Since}
	if err := s.check(); err != nil {
		return fmt.Errorf("starting %s: %w", a.name, err)
	}
	if counts {
		a.spans = append(a.spans, s)
		for name, at := range seen.Bench.Marks {
			a.marks[name] = append(a.marks[name], at)
		}
	}
	return nil
}

func (a *installed) figure() float64 { return median(each(a.spans, span.onPhone)) }

// tell notes both parts, and how far the worker had come by when.
func (a *installed) tell(m *made) {
	m.note("start.cold, %s: page %.0f ms (throttled %d×) + %d × worker %.0f ms, medians of %d; all: %.0f",
		a.name, median(each(a.spans, span.page)), throttle, throttle, median(each(a.spans, func(s span) float64 { return s.worker })),
		len(a.spans), each(a.spans, span.onPhone))
	var text []string
	for _, name := range slices.SortedFunc(maps.Keys(a.marks), func(x, y string) int {
		return int(median(a.marks[x])*1000) - int(median(a.marks[y])*1000)
	}) {
		text = append(text, fmt.Sprintf("%s %.0f", name, median(a.marks[name])))
	}
	m.note("start.cold, %s: worker's clock, ms: %s", a.name, strings.Join(text, ", "))
}

// slowed makes sure that the page's thread was throttled: work of the page must
// take clearly longer than without. Another program's work makes any try
// slower, so the quickest stands for the page without throttling.
func slowed(t browser.T, tab *browser.Tab) {
	const tries = `Array.from({length: 9}, () => {
		const began = performance.now();
		let x = 1;
		for (let i = 0; i < 1e6; i++) x = (x * 16807) % 2147483647;
		return performance.now() - began + (x < 0);
	})`
	slow := median(browser.Ask[[]float64](tab, tries))
	tab.Slow(1)
	quick := slices.Min(browser.Ask[[]float64](tab, tries))
	if ratio := slow / quick; !(ratio > throttle/2) {
		t.Errorf("the page was only %.1f times slower than without throttling, not %d", ratio, throttle)
	}
}
