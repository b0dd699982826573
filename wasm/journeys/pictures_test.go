package journeys

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"

	"fourchette/wasm/browser"
)

var pictures = flag.Bool("pictures", false, "write the README's pictures anew; look at them before you commit them")

// TestPictures walks to the screens of the README on a phone-sized window and,
// with -pictures, keeps what is seen. Without the flag it still wants each
// screen to be there and each picture of the README to be a phone's.
func TestPictures(t *testing.T) {
	w := begin(t)
	w.Phone(360, 740)
	b := w.examined("3")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn")
	w.Turn(b + "/examine")
	w.picture("examine")
	w.Turn(b + "/examine/rectal_exam")
	w.answer(b, "rectal_exam", "done", "external_sphincter", "half_or_more", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.At(b + "/grade")
	w.picture("grade")
	w.Turn("/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no")
	w.picture("limit")
	w.Turn("/")
	w.picture("home")
}

// picture takes or checks one of the README's pictures.
func (w *way) picture(name string) {
	w.Helper()
	w.Until(`document.querySelector('h1')`)
	root, err := browser.Root()
	if err != nil {
		w.Fatalf("%v", err)
	}
	file := filepath.Join(root, "testdata", "pictures", name+".png")
	if *pictures {
		seen := browser.Call(w.Tab, page.CaptureScreenshot, page.CaptureScreenshotParams{Format: page.CaptureScreenshotFormatPng})
		if err := os.WriteFile(file, seen.Data, 0o644); err != nil {
			w.Fatalf("%v", err)
		}
	}
	content, err := os.ReadFile(file)
	if err != nil {
		w.Fatalf("%v: make it with go test ./wasm/journeys -run Pictures -pictures", err)
	}
	var size image.Config
	if size, err = png.DecodeConfig(bytes.NewReader(content)); err != nil || size.Height <= size.Width {
		w.Errorf("%s is no picture of a phone: %v, %v", file, size, err)
	}
}
