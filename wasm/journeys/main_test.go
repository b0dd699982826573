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
	"flag"
	"fmt"
	"os"
	"runtime"
	"strconv"
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
	flag.Parse()
	sideBySide()
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

// sideBySide lets three journeys share two processors, unless the command says
// how many: a person waits longer between two taps than her phone works.
func sideBySide() {
	chosen := false
	flag.Visit(func(f *flag.Flag) { chosen = chosen || f.Name == "test.parallel" })
	if !chosen {
		flag.Set("test.parallel", strconv.Itoa(runtime.GOMAXPROCS(0)*3/2))
	}
}
