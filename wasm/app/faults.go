//go:build js && wasm && faults

package main

import (
	"time"

	"fourchette/wasm/pages"
)

// provoked handles a message, unless its path asks for a fault. Only builds
// for tests have this file (go run ./wasm/serve -fault).
func provoked(m pages.Message, handle func(pages.Message) pages.Screen) pages.Screen {
	switch m.Path {
	case "/fault/panic":
		panic("provoked by a test")
	case "/fault/busy":
		for began := time.Now(); time.Since(began) < 14*time.Second; {
		}
	case "/fault/disk":
		return diskSuite(m)
	}
	return handle(m)
}
