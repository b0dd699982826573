//go:build js && wasm

package main

import "syscall/js"

// random is the browser's own source of randomness, which is all that a new
// device's id needs; crypto/rand would bring 40 kB of ciphers with it.
type random struct{}

// mostRandom is the most bytes that the browser gives at once.
const mostRandom = 65536

func (random) Read(p []byte) (int, error) {
	p = p[:min(len(p), mostRandom)]
	array := js.Global().Get("Uint8Array").New(len(p))
	js.Global().Get("crypto").Call("getRandomValues", array)
	return js.CopyBytesToGo(p, array), nil
}
