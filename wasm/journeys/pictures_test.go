package journeys

import (
	"bytes"
	"flag"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"fourchette/wasm/browser"
)

var (
	pictures = flag.Bool("pictures", false, "write the README's pictures anew; look at them before you commit them")
	looks    = flag.String("looks", "", "a folder for a picture of every screen that the audit looks at")
)

// TestPictures walks to the screens of the README on a phone and, with
// -pictures, keeps what is seen. Without it, it wants each screen to be there
// and each picture to be one of a phone, and small.
func TestPictures(t *testing.T) {
	w := begin(t)
	w.Night(false)
	b := w.examined("3")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn")
	w.Turn(b + "/examine")
	w.picture("examine", "What was torn?")
	w.Turn(b + "/examine/rectal_exam")
	w.answer(b, "rectal_exam", "done", "external_sphincter", "half_or_more", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.At(b + "/grade")
	w.picture("grade", "Grade 3b")
	w.Turn("/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no")
	w.picture("limit", "18 mL")
	w.Turn("/emergency?birth=" + b[len("/b/"):])
	w.picture("emergency", "Heavy bleeding")
	w.Turn("/")
	w.picture("home", "1 birth in progress")
}

// picture takes or checks one of the README's pictures, of a screen that says
// something.
func (w *way) picture(name, says string) {
	w.Helper()
	w.Reads(says)
	root, err := browser.Root()
	if err != nil {
		w.Fatalf("%v", err)
	}
	file := filepath.Join(root, "testdata", "pictures", name+".png")
	if *pictures {
		// The two languages that only tests have are not in the app.
		browser.Ask[bool](w.Tab, `document.querySelectorAll('.languages [value$="-XA"], .languages [value$="-XB"]').forEach((e) => e.remove()), true`)
		keep(w, file, w.Picture())
	}
	content, err := os.ReadFile(file)
	if err != nil {
		w.Fatalf("%v: run make pictures", err)
	}
	size, err := png.DecodeConfig(bytes.NewReader(content))
	if err != nil || size.Width != 360 || size.Height != 740 {
		w.Errorf("%s is no picture of a phone: %v, %v", file, size, err)
	}
	if len(content) > 60_000 {
		w.Errorf("%s has %d bytes: a README is read over a thin line", file, len(content))
	}
}

// keepLooks keeps pictures of a whole screen for a person to look at, as she
// first sees it on a usual phone, in both lights.
func (w *way) keepLooks(path string) {
	w.Helper()
	if *looks == "" {
		return
	}
	lang := browser.Ask[string](w.Tab, "document.documentElement.lang")
	w.Phone(360, 740)
	w.TextSize(16)
	for _, light := range []string{"light", "dark"} {
		browser.Ask[bool](w.Tab, `document.querySelectorAll('details').forEach((d) => d.open = false), document.documentElement.dataset.theme = '`+light+`', true`)
		name := fmt.Sprintf("%s_%s_%s.png", lang, light, regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(path, "_"))
		keep(w, filepath.Join(*looks, name), w.Whole())
	}
}

func keep(t browser.T, file string, content []byte) {
	t.Helper()
	if err := os.WriteFile(file, content, 0o644); err != nil {
		t.Fatalf("%v", err)
	}
}
