//go:build js && wasm

package main

import "syscall/js"

// inbox keeps messages in order between JavaScript, which must never wait, and
// the goroutine that owns the state.
type inbox struct {
	waiting []js.Value
	filled  chan struct{} // holds one token while anything may be waiting
}

func newInbox() *inbox { return &inbox{filled: make(chan struct{}, 1)} }

// put is called in a callback: it neither waits nor works. A WASM program has
// one thread, so that put and take never run at the same time.
func (b *inbox) put(message js.Value) {
	b.waiting = append(b.waiting, message)
	select {
	case b.filled <- struct{}{}:
	default:
	}
}

// take waits for a message and gives the oldest.
func (b *inbox) take() js.Value {
	for len(b.waiting) == 0 {
		<-b.filled
	}
	message := b.waiting[0]
	b.waiting = b.waiting[1:]
	return message
}
