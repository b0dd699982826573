//go:build js && wasm

package main

import (
	"syscall/js"

	"fourchette/core/companion"
	"fourchette/wasm/app/wait"
	"fourchette/wasm/pages"
)

// host is the global object fourchette, laid out by worker.js or linehost.mjs
// before the program starts:
//
//	site     what the build wrote: version, languages, tables, notice
//	pack     Uint8Array: the built-in pack
//	english  Uint8Array: the table of the source language
//	deriving true: make one key and end
//	derive   (pin, recipe) => Promise<string>: the key, from a worker of its own
//	fetch    (name) => Promise<Uint8Array>: a file of this version
//	ready    (): the program takes messages now
//	refuse   (version): the program is of another version
//	fail     (text): the program cannot start
//	send     (message): an answer
//	hold     () => Promise<bool>: the lock of the records, and whether it came
//	ask      (): asks whoever has the lock for it; the message "take" follows
//	held     () => bool: the lock is here
//	letGo    (): gives the lock up
//	wanted   () => Promise<bool>: somebody waits for the lock
//	keeping  (now) => Promise<{promised, room, short}>: what the browser says of
//	         storage, and whether room was short when it was tried, now or lately
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

// derive makes the key that a PIN opens the records with, and ends the program.
func derive(h *host) {
	message := h.receive().take()
	key, err := companion.Derive(text(message, "pin"), text(message, "recipe"))
	if err != nil {
		h.fail(err)
		return
	}
	h.Call("send", map[string]any{"key": key})
}

// derived is the same from a worker of its own. It waits.
func (h *host) derived(pin, recipe string) (string, error) {
	key, err := wait.For(h.Call("derive", pin, recipe))
	if err != nil {
		return "", err
	}
	return key.String(), nil
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

// says asks the host something that it answers with yes or no. What cannot be
// asked is no.
func (h *host) says(name string) bool {
	answer := h.Call(name)
	if answer.InstanceOf(js.Global().Get("Promise")) {
		var err error
		if answer, err = wait.For(answer); err != nil {
			return false
		}
	}
	return answer.Truthy()
}

// keeping is what the browser says of what it keeps.
func (h *host) keeping(now bool) pages.Keeping {
	k, err := wait.For(h.Call("keeping", now))
	if err != nil || k.Get("unknown").Truthy() {
		return pages.Keeping{}
	}
	return pages.Keeping{Known: true, Promised: k.Get("promised").Truthy(), Room: int64(k.Get("room").Float()), Short: k.Get("short").Truthy()}
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
