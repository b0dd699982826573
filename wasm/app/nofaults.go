//go:build js && wasm && !faults

package main

import "fourchette/wasm/pages"

// provoked handles a message. Builds for tests have another one.
func provoked(m pages.Message, handle func(pages.Message) pages.Screen) pages.Screen {
	return handle(m)
}
