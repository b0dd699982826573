// Package journeys walks through the whole app in a real browser, as a birth
// attendant would: tap by tap, each journey from its beginning, and in the end
// a look at what the record says. It holds tests only.
//
// Start with way_test.go, which says how a person walks, and exam_test.go, then
// bedside_test.go and path_test.go for a whole birth. The looks of every screen
// in every language are tried in audit_test.go, what is printed is read in
// paper_test.go, the pictures of the README are taken in pictures_test.go.
package journeys

import (
	"fmt"
	"os"
	"testing"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/site"
)

// The app and the browser that all journeys share.
var (
	app      *browser.Built
	chromium *browser.Browser
)

func TestMain(m *testing.M) {
	code := 1
	err := browser.Try(func(t browser.T) {
		out, err := os.MkdirTemp("", "journeys-")
		if err != nil {
			t.Fatalf("%v", err)
		}
		t.Cleanup(func() { os.RemoveAll(out) })
		if app, err = browser.Build(site.Options{Out: out, Pseudo: true}); err != nil {
			t.Fatalf("the app cannot be built: %v", err)
		}
		chromium = browser.Start(t)
		code = m.Run()
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}
