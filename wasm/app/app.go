//go:build js && wasm

package main

import (
	"errors"
	"net/url"
	"runtime"
	"strings"
	"syscall/js"
	"time"

	"fourchette/core/companion"
	"fourchette/wasm/pages"
)

// app is everything that the owning goroutine owns.
type app struct {
	host    *host
	core    *companion.Companion
	pages   *pages.App
	storage string // "" when records are kept, else why not
}

func open(h *host) (*app, error) {
	a := &app{host: h}
	english := h.site().Get("tables").Get(h.languages()[0].Tag)
	h.files[english.String()] = bytesFrom(h.Get("english"))
	var err error
	if a.core, a.storage, err = openCore(bytesFrom(h.Get("pack"))); err != nil {
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
		Zone:      func() int { return -js.Global().Get("Date").New().Call("getTimezoneOffset").Int() },
	})
	return a, err
}

// openCore opens the core with the records, or, where they cannot be had,
// without them and with the reason.
func openCore(pack []byte) (core *companion.Companion, storage string, err error) {
	began := time.Now()
	host := companion.Host{
		Interface: companion.Interface,
		Wall:      time.Now,
		Running:   func() time.Duration { return time.Since(began) },
		Random:    random{},
		Pack:      pack,
	}
	disk, err := openDisk()
	if err == nil {
		host.Disk = disk
		if core, err = companion.Open(host); err == nil {
			return core, "", nil
		}
		disk.Close() // another tab, perhaps of a newer version, may do better
	}
	storage = whyNoRecords(err)
	host.Disk = nil
	core, err = companion.Open(host)
	return core, storage, err
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
	} else {
		answer = a.tapped(pages.Message{
			Method: text(message, "method"),
			Path:   text(message, "path"),
			Form:   text(message, "form"),
			At:     text(message, "at"),
			Lang:   text(message, "lang"),
			Theme:  text(message, "theme"),
		})
	}
	answer["id"] = message.Get("id")
	a.host.Call("send", answer)
}

func (a *app) tapped(m pages.Message) map[string]any {
	a.needs(m)
	s := provoked(m, a.pages.Handle)
	return map[string]any{
		"path": s.Path, "title": s.Title, "lang": s.Lang, "dir": s.Dir, "theme": s.Theme,
		"bar": s.Bar, "main": s.Main, "foot": s.Foot, "open": a.open(s), "must": s.Must, "lockable": s.Lockable,
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

// needs loads, before a message is handled, the files that its answer may
// need: the words of the language it names, or turns to, and the licences.
func (a *app) needs(m pages.Message) {
	tables := a.host.site().Get("tables")
	form, _ := url.ParseQuery(m.Form) // what cannot be read names no language
	for _, lang := range []string{m.Lang, form.Get("lang")} {
		if lang != "" {
			a.host.load(tables.Get(lang))
		}
	}
	if strings.HasPrefix(m.Path, "/about") {
		a.host.load(a.host.site().Get("notice"))
	}
}

// open is the number of births in progress, or -1 where it cannot be known
// because another tab holds the records: a new version must wait then, too.
func (a *app) open(s pages.Screen) int {
	if a.storage == storageElsewhere {
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
