package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
)

// Ours and the rival take turns, so that both meet the same weather: in each
// round either examines this many births, of 9 taps each.
const (
	rounds = 3
	births = 8
)

// leastTaps is how many taps a 95th percentile is taken from.
const leastTaps = 200

const tapGoal = "≤ 60 ms"

// examination is one birth, tap by tap: it is opened, then each question is
// answered, and every answer leads to the next question, the last to the grade.
var examination = []string{
	"[name=born][value=now]",
	"[name=value][value=no]", // no episiotomy
	"[name=value][value=torn]",
	"[name=value][value=torn]",
	"[name=value][value=torn]",
	"[name=value][value=done]", // the rectal examination
	"[name=value][value=under_half]",
	"[name=value][value=intact]",
	"[name=value][value=intact]",
}

// deaf is how long a person at least reads a new screen before she taps in the
// same spot; sooner the shell takes it for a bounce.
const deaf = 700 * time.Millisecond

// examine carries out one examination.
func examine(tab *browser.Tab) {
	tab.Turn("/new")
	// A bed of its own: else the page asks whether it is the woman of before. The
	// least screens have no field for it.
	browser.Ask[bool](tab, `document.querySelectorAll('#f-bed').forEach((bed) => bed.value = String(Date.now() % 1e9)), true`)
	for i, selector := range examination {
		if i == 1 {
			tab.Turn(tab.Path() + "/examine/episiotomy")
		}
		before := tab.Path()
		time.Sleep(deaf)
		press(tab, "#screen "+selector)
		// Nothing is asked of the page while it works.
		time.Sleep(300 * time.Millisecond)
		tab.Until(fmt.Sprintf("document.getElementById('screen').dataset.path !== %q", before))
	}
}

func taps(m *made) ([]row, error) {
	clock := floorFile("clock.js")
	app, err := withWorker(m, m.path("tap-app"), func(text string) string { return clock + text })
	if err != nil {
		return nil, err
	}
	var ours, theirs, leasts []answer
	for round := range rounds {
		answers, err := examined(app)
		if err != nil {
			return nil, fmt.Errorf("the app: %w", err)
		}
		ours = append(ours, answers...)
		floor, err := replayed(m, fmt.Sprint("tap-floor-", round), answers)
		if err != nil {
			return nil, fmt.Errorf("the floor: %w", err)
		}
		theirs = append(theirs, floor...)
		if floor, err = replayed(m, fmt.Sprint("tap-least-", round), least(answers)); err != nil {
			return nil, fmt.Errorf("the least screens: %w", err)
		}
		leasts = append(leasts, floor...)
	}
	figure, err := p95(m, "ours", ours)
	if err != nil {
		return nil, err
	}
	floorFigure, err := p95(m, "floor", theirs)
	if err != nil {
		return nil, err
	}
	leastFigure, err := p95(m, "least screens", leasts)
	if err != nil {
		return nil, err
	}
	return []row{
		{name: "tap.p95", unit: "ms", ours: figure, rival: "plain JavaScript worker", theirs: floorFigure, goal: tapGoal},
		{name: "tap.p95.least", unit: "ms", ours: figure, rival: "that worker, one button a screen", theirs: leastFigure, goal: "-"},
	}, nil
}

func p95(m *made, name string, answers []answer) (float64, error) {
	spans, err := tapped(answers)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	tellTaps(m, name, spans, answers)
	return percentile(each(spans, span.onPhone), 95), nil
}

// examined carries out all examinations and gives every answer in order.
func examined(b *browser.Built) (answers []answer, err error) {
	err = browser.Try(func(t browser.T) {
		s := browser.Serve(t, b)
		tab := browser.Start(t).Open(t)
		tab.Inject(floorFile("watch.js"))
		tab.Load(s, "/")
		tab.OfflineReady()
		examine(tab) // so that code is compiled; not counted
		warm := browser.Ask[int](tab, "bench.answers.length")
		tab.Slow(throttle)
		for range births {
			examine(tab)
		}
		tab.Until(`bench.answers.at(-1).path.endsWith('/grade')`)
		answers = browser.Ask[[]answer](tab, "bench.answers")
		for i := range answers[:min(warm, len(answers))] {
			answers[i].rehearsal = true
		}
		slowed(t, tab)
		tab.Do(chromedp.Navigate("about:blank"))
	})
	return answers, err
}

// tapped gives the span of every tap that appended to a record.
func tapped(answers []answer) ([]span, error) {
	var spans []span
	for _, a := range answers {
		if !a.counts() {
			continue
		}
		if a.Bench.Appended == 0 {
			return nil, fmt.Errorf("%s wrote nothing", a.Bench.Asked)
		}
		s := span{whole: a.Page.Painted - a.Page.Tapped, worker: a.Bench.Took}
		if err := s.check(); err != nil {
			return nil, fmt.Errorf("%s: %w", a.Bench.Asked, err)
		}
		spans = append(spans, s)
	}
	if len(spans) < leastTaps {
		return nil, fmt.Errorf("%d taps were measured, %d are needed", len(spans), leastTaps)
	}
	return spans, nil
}

// replayed carries out all examinations with a worker that knows nothing.
func replayed(m *made, dir string, answers []answer) ([]answer, error) {
	plain, err := replaying(m, m.path(dir), answers)
	if err != nil {
		return nil, err
	}
	return examined(plain)
}

// least is the same answers with the smallest screens that lead on: a heading
// and the button that will be tapped next. What a tap costs with them is the
// browser's own, and no screen that says something can be quicker.
func least(answers []answer) []answer {
	small := slices.Clone(answers)
	posts := 0
	for i, a := range answers {
		if strings.HasPrefix(a.Bench.Asked, "post ") {
			posts++
		}
		button := strings.NewReplacer("[", " ", "]", "").Replace(examination[posts%len(examination)])
		small[i].Bar, small[i].Foot = "<header></header>", "<footer></footer>"
		small[i].Main = fmt.Sprintf(`<main class="page"><h1 tabindex="-1">%d</h1><form method="post" action="#%s"><button%s>On</button></form></main>`,
			i, nextPost(answers[i+1:]), button)
	}
	return small
}

// nextPost is the path of the first answer that was to a form.
func nextPost(answers []answer) string {
	for _, a := range answers {
		if path, is := strings.CutPrefix(a.Bench.Asked, "post "); is {
			return path
		}
	}
	return ""
}

// replaying is the app with a worker that knows nothing and gives the recorded
// answers.
func replaying(m *made, dir string, answers []answer) (*browser.Built, error) {
	type recorded struct {
		Asked    string `json:"asked"`
		Appended int    `json:"appended"`
		Reply    screen `json:"reply"`
	}
	var list []recorded
	for _, a := range answers {
		list = append(list, recorded{a.Bench.Asked, a.Bench.Appended, a.screen})
	}
	content, err := json.Marshal(map[string]any{"version": m.app.Version, "list": list})
	if err != nil {
		return nil, err
	}
	b, err := withWorker(m, dir, func(string) string {
		return floorFile("clock.js") + strings.ReplaceAll(floorFile("tap.js"), "{{answers.json}}", answersName)
	})
	if err != nil {
		return nil, err
	}
	return b, rewrite(b.Public+"/"+answersName, string(content))
}

const answersName = "answers.json"

// tellTaps notes both parts of the taps, and what they are made of.
func tellTaps(m *made, name string, spans []span, answers []answer) {
	page, worker := each(spans, span.page), each(spans, func(s span) float64 { return s.worker })
	for _, p := range []float64{50, 95, 100} {
		m.note("tap.p95, %s: %g %% of %d within %.1f ms; page alone %.1f ms (throttled %d×), worker alone %.1f ms (not yet times %d)",
			name, p, len(spans), percentile(each(spans, span.onPhone), p), percentile(page, p), throttle, percentile(worker, p), throttle)
	}
	for _, part := range []struct {
		what   string
		figure func(answer) float64
	}{
		{"page, lifted finger to message sent", func(a answer) float64 { return a.Page.Sent - a.Page.Tapped }},
		{"on the way to the worker and back", func(a answer) float64 { return a.Page.Came - a.Page.Sent - a.Bench.Took }},
		{"page, answer to its frame", func(a answer) float64 { return a.Page.Frame - a.Page.Came }},
		{"page, that frame painted", func(a answer) float64 { return a.Page.Painted - a.Page.Frame }},
		{"worker, private files", func(a answer) float64 { return a.Bench.Files }},
		{"worker, all else", func(a answer) float64 { return a.Bench.Took - a.Bench.Files }},
	} {
		var values []float64
		for _, a := range answers {
			if a.counts() {
				values = append(values, part.figure(a))
			}
		}
		m.note("tap.p95, %s: %s: half within %.1f ms, 95 %% within %.1f ms", name, part.what, median(values), percentile(values, 95))
	}
}

// counts tells whether the answer was to a tap that is measured.
func (a answer) counts() bool { return !a.rehearsal && strings.HasPrefix(a.Bench.Asked, "post ") }
