//go:build js && wasm

package main

import (
	"syscall/js"

	"fourchette/wasm/app/wait"
	"fourchette/wasm/pages"
)

// host is the global object fourchette, laid out by worker.js or linehost.mjs
// before the program starts:
//
//	site     what the build wrote: version, languages, tables, notice
//	pack     Uint8Array: the built-in pack
//	english  Uint8Array: the table of the source language
//	fetch    (name) => Promise<Uint8Array>: a file of this version
//	ready    (): the program takes messages now
//	refuse   (version): the program is of another version
//	fail     (text): the program cannot start
//	send     (message): an answer
//
// The program adds receive, (message): what worker.js gets from the page.
type host struct {
	js.Value
	files map[string][]byte // what was fetched, by name as served
}

func theHost() *host {
	return &host{Value: js.Global().Get("fourchette"), files: map[string][]byte{}}
}

func (h *host) site() js.Value { return h.Get("site") }

func (h *host) version() string { return h.site().Get("version").String() }

func (h *host) refuse(version string) { h.Call("refuse", version) }

func (h *host) fail(err error) { h.Call("fail", err.Error()) }

// receive begins to take messages.
func (h *host) receive() *inbox {
	box := newInbox()
	h.Set("receive", js.FuncOf(func(_ js.Value, args []js.Value) any {
		box.put(args[0])
		return nil
	}))
	h.Call("ready")
	return box
}

// languages lists the languages of this build, the source first.
func (h *host) languages() []pages.Language {
	list := h.site().Get("languages")
	languages := make([]pages.Language, list.Length())
	for i := range languages {
		l := list.Index(i)
		languages[i] = pages.Language{Tag: l.Get("lang").String(), Name: l.Get("name").String()}
	}
	return languages
}

// load fetches a file of this version unless it is here already. It waits, so
// it is called before a message is handled, never during. What cannot be
// fetched is simply not there; the next message tries again.
func (h *host) load(name js.Value) {
	if name.Type() != js.TypeString || h.files[name.String()] != nil {
		return
	}
	if content, err := wait.For(h.Call("fetch", name)); err == nil {
		h.files[name.String()] = bytesFrom(content)
	}
}

// loaded gives a fetched file, or nil.
func (h *host) loaded(name js.Value) []byte {
	if name.Type() != js.TypeString {
		return nil
	}
	return h.files[name.String()]
}

func bytesFrom(array js.Value) []byte {
	b := make([]byte, array.Length())
	js.CopyBytesToGo(b, array)
	return b
}

func bytesTo(b []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(array, b)
	return array
}
