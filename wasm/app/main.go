//go:build js && wasm

// Command app is the Go program in the browser: it answers the taps that the
// shell sends through a worker.
//
// One goroutine, the one of main, owns the whole state; a callback from
// JavaScript only puts a message in the inbox. The worker lays out what the
// program needs as the global object fourchette, drawn in host.go. The same
// program answers raw topics under Node.js (node/linehost.mjs), without a disk.
//
// A panic that nothing caught ends the program. The worker then tells the
// shell, which offers to start again; what the journal holds was flushed
// before it was called saved.
package main

import "runtime/debug"

// version is set by the build, the same for the page, the worker and this
// program.
var version = "development"

// spare is how much of the memory in use may be used again before Go looks for
// what is no longer needed, in per cent. One look takes as long as some taps,
// and all that is in use are a few megabytes.
const spare = 400

func main() {
	debug.SetGCPercent(spare)
	h := theHost()
	if h.version() != version {
		h.refuse(version)
		return
	}
	if h.Get("deriving").Truthy() {
		derive(h)
		return
	}
	a, err := open(h)
	if err != nil {
		h.fail(err)
		return
	}
	for box := h.receive(); ; {
		a.answer(box.take())
	}
}
