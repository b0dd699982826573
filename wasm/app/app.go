//go:build js && wasm

package main

import (
	"errors"
	"runtime"
	"strings"
	"syscall/js"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal"
	"fourchette/wasm/app/opfs"
	"fourchette/wasm/pages"
	"fourchette/wasm/pages/urlform"
)

// app is everything that the owning goroutine owns.
type app struct {
	host    *host
	pack    []byte
	began   time.Time
	disk    *opfs.Disk // nil where no records are kept
	core    *companion.Companion
	pages   *pages.App
	storage string        // "" when records are kept, else why not
	keeping pages.Keeping // as it was asked last
}

func open(h *host) (*app, error) {
	a := &app{host: h, pack: bytesFrom(h.Get("pack")), began: time.Now()}
	english := h.site().Get("tables").Get(h.languages()[0].Tag)
	h.files[english.String()] = bytesFrom(h.Get("english"))
	err := a.openCore()
	if err != nil {
		return nil, err
	}
	a.pages, err = pages.New(pages.Host{
		Core:      a.core,
		Storage:   a.storage,
		Version:   version,
		Derive:    h.derived,
		Languages: h.languages(),
		Table:     a.table,
		Notice:    func() string { return string(h.loaded(h.site().Get("notice"))) },
		Now:       time.Now,
		Ask:       a.ask,
		Keeping:   func() pages.Keeping { return a.keeping },
		Zone:      func() int { return -js.Global().Get("Date").New().Call("getTimezoneOffset").Int() },
	})
	return a, err
}

// openCore opens the core with the records, or, where they cannot be had,
// without them and with the reason.
func (a *app) openCore() error {
	why := mayHold()
	if why == nil && !a.host.says("hold") {
		why = opfs.ErrElsewhere
	}
	if why == nil {
		why = a.openRecords()
	}
	return a.settle(why)
}

// use shows what became of the records to the pages.
func (a *app) use(why error) {
	if err := a.settle(why); err != nil {
		panic(err) // it opened before
	}
	a.pages.Records(a.core, a.storage)
}

// settle keeps why there are no records; the core then goes on without them.
func (a *app) settle(why error) (err error) {
	if why == nil {
		a.storage = ""
		return nil
	}
	a.storage = whyNoRecords(why)
	a.core, err = companion.Open(a.companionHost(nil))
	return err
}

// ask asks whoever has the records for them.
func (a *app) ask() {
	if a.storage == pages.Asking {
		return
	}
	a.storage = pages.Asking
	a.pages.Records(a.core, a.storage)
	a.host.Call("ask")
}

func (a *app) companionHost(disk journal.Disk) companion.Host {
	return companion.Host{
		Interface: companion.Interface,
		Disk:      disk,
		Wall:      time.Now,
		Running:   func() time.Duration { return time.Since(a.began) },
		Random:    random{},
		Pack:      a.pack,
	}
}

// table gives a language table that needs has loaded. It never waits.
func (a *app) table(tag string) ([]byte, error) {
	if b := a.host.loaded(a.host.site().Get("tables").Get(tag)); b != nil {
		return b, nil
	}
	return nil, errors.New("the words of " + tag + " could not be loaded")
}

// answer answers one message from the page: a raw topic, or a tap.
func (a *app) answer(message js.Value) {
	var answer map[string]any
	if topic := text(message, "topic"); topic != "" {
		answer = a.call(topic, bytesFrom(message.Get("request")), message.Get("times"))
	} else if message.Get("save").Type() == js.TypeString || message.Get("load").Type() == js.TypeString {
		answer = a.copies(message)
	} else {
		answer = a.tapped(pages.Message{
			Method: text(message, "method"),
			Path:   text(message, "path"),
			Form:   text(message, "form"),
			At:     text(message, "at"),
			Lang:   text(message, "lang"),
			Theme:  text(message, "theme"),
			Mark:   text(message, "mark"),
		})
	}
	answer["id"] = message.Get("id")
	a.host.Call("send", answer)
}

func (a *app) tapped(m pages.Message) map[string]any {
	switch m.Method {
	case "take":
		a.take()
	case "give":
		a.give()
	}
	a.needs(m)
	s := provoked(m, a.pages.Handle)
	return map[string]any{
		"path": s.Path, "title": s.Title, "lang": s.Lang, "dir": s.Dir, "theme": s.Theme,
		"bar": s.Bar, "main": s.Main, "foot": s.Foot, "open": a.open(s), "must": s.Must, "lockable": s.Lockable,
		"storage": a.storage, "mark": s.Mark, "holds": s.Holds,
	}
}

// call answers a raw topic. With a number of times it says what one call costs
// instead, as the mean of that many.
func (a *app) call(topic string, request []byte, times js.Value) map[string]any {
	if times.Type() != js.TypeNumber {
		return map[string]any{"reply": bytesTo(a.core.Call(topic, request))}
	}
	n := times.Int()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := time.Now()
	for range n {
		a.core.Call(topic, request)
	}
	took := time.Since(began)
	runtime.ReadMemStats(&after)
	return map[string]any{
		"nanoseconds": float64(took.Nanoseconds()) / float64(n),
		"allocations": float64(after.Mallocs-before.Mallocs) / float64(n),
	}
}

// needs finds out, before a message is handled, what its answer may need: the
// words of the language it names, or turns to, the licences, and what the
// browser says of storage.
func (a *app) needs(m pages.Message) {
	tables := a.host.site().Get("tables")
	form := urlform.Parse(m.Form) // what cannot be read names no language
	for _, lang := range []string{m.Lang, form.Get("lang")} {
		if lang != "" {
			a.host.load(tables.Get(lang))
		}
	}
	if strings.HasPrefix(m.Path, "/about") {
		a.host.load(a.host.site().Get("notice"))
	}
	if m.Path == "/" || m.Path == "/settings" {
		a.keeping = a.host.keeping(m.Path == "/settings")
	}
}

// open is the number of births in progress, or -1 where it cannot be known
// because another tab holds the records: a new version must wait then, too.
func (a *app) open(s pages.Screen) int {
	if pages.Elsewhere(a.storage) {
		return -1
	}
	return s.Open
}

func text(message js.Value, key string) string {
	if v := message.Get(key); v.Type() == js.TypeString {
		return v.String()
	}
	return ""
}
