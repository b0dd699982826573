package browser

import (
	"slices"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// A watch keeps the faults of one tab and its workers: what was thrown, what
// the console was told as an error, and what the browser itself reports, such
// as a file that is missing or something that a policy stopped.
type watch struct {
	sync.Mutex
	faults   []string
	expected []string
}

func (w *watch) hear(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Text
		if x := e.ExceptionDetails.Exception; x != nil {
			text += " " + x.Description
		}
		w.add(text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeAssert {
			w.add(said(e.Args))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			w.add(string(e.Entry.Source) + ": " + e.Entry.Text + " " + e.Entry.URL)
		}
	}
}

// said is what the console was told, in one line.
func said(args []*runtime.RemoteObject) string {
	var parts []string
	for _, a := range args {
		text := a.Description
		if text == "" {
			text = strings.Trim(string(a.Value), `"`)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, " ")
}

func (w *watch) add(fault string) {
	w.Lock()
	defer w.Unlock()
	w.faults = append(w.faults, fault)
}

// unexpected gives the faults that nobody expected, and forgets them.
func (w *watch) unexpected() []string {
	w.Lock()
	defer w.Unlock()
	found := slices.DeleteFunc(w.faults, func(fault string) bool {
		return slices.ContainsFunc(w.expected, func(part string) bool { return strings.Contains(fault, part) })
	})
	w.faults = nil
	return found
}

// Expect lets faults pass whose text contains one of the parts.
func (b *Tab) Expect(parts ...string) {
	b.seen.Lock()
	defer b.seen.Unlock()
	b.seen.expected = append(b.seen.expected, parts...)
}

// calm fails the test over every fault that was not expected.
func (b *Tab) calm() {
	b.Helper()
	if b.ctx.Err() == nil {
		chromedp.Do(b.ctx) // what was sent before has been heard when this returns
	}
	for _, fault := range b.seen.unexpected() {
		b.Errorf("the browser reports: %s", fault)
	}
}
