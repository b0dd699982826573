package journeys

import (
	"fmt"
	"slices"
	"testing"

	"fourchette/wasm/browser"
)

// refused wants a message at the field: in sight, told to a screen reader,
// with the focus in the field; and everything that was typed still there.
func (w *way) refused(field, message string, kept ...string) {
	w.Helper()
	w.Until(fmt.Sprintf(`document.querySelector(%q)?.innerText.replace(/\s+/g, ' ').includes(%q)`, field+"-problem", message))
	const wrong = `((field) => {
		const f = document.querySelector(field), p = document.querySelector(field + '-problem'), r = p.getBoundingClientRect();
		return [
			[f.ariaInvalid === 'true', 'the field is not marked'],
			[f.getAttribute('aria-describedby').split(' ').includes(p.id), 'a screen reader does not hear why'],
			[p.getAttribute('role') === 'alert', 'the message is not announced'],
			[document.activeElement === f, 'the focus is at ' + document.activeElement.outerHTML.slice(0, 60)],
			[f.getBoundingClientRect().top >= 0 && f.getBoundingClientRect().bottom <= innerHeight, 'the field is out of sight'],
			[r.top >= 0 && r.top < innerHeight, 'the message is out of sight'],
		].filter(([fine]) => !fine).map(([, why]) => why);
	})`
	for _, why := range browser.Ask[[]string](w.Tab, fmt.Sprintf("%s(%q)", wrong, field)) {
		w.Errorf("%s refused: %s", field, why)
	}
	for i := 0; i+1 < len(kept); i += 2 {
		if got := w.Value(kept[i]); got != kept[i+1] {
			w.Errorf("%s holds %q after a refusal, wanted %q as it was typed", kept[i], got, kept[i+1])
		}
	}
}

// A trial is what is typed, and what the screen says to it.
type trial struct{ typed, says string }

const noNumber = "This is no number that can be used."

func TestBadInputAtANewBirth(t *testing.T) {
	w := begin(t)
	w.Tap("#new")
	w.At("/new")
	w.Type("#f-bed", "B 3")
	for _, x := range []trial{
		{"", "Choose the day and the hour."},
		{browser.Ask[string](w.Tab, `new Date(Date.now() + 7200e3 - new Date().getTimezoneOffset() * 60e3).toISOString().slice(0, 16)`), "This hour has not come yet."},
		{"2026-01-02T03:04", "more than six weeks ago"},
	} {
		w.Fill("#f-born_at", x.typed)
		w.send("At this hour")
		w.refused("#f-born_at", x.says, "#f-bed", "B 3", "#f-born_at", x.typed)
	}
	w.Type("#f-bed", "much longer than twelve letters")
	if got := w.Value("#f-bed"); got != "much longer " {
		t.Errorf("the bed's mark became %q: more than twelve letters cannot be typed", got)
	}
	w.TapWords("Nobody knows")
	w.Reads("bed much longer", "hour of birth not known")
	w.written(w.Path(), "Record opened")
}

func TestBadInputAtADose(t *testing.T) {
	w := begin(t)
	b := w.newBirth("")
	w.TapWords("Numb: how much")
	w.At(b + "/dose/weight")
	for _, x := range []trial{
		{"", "Write this first"}, {"6o", noNumber}, {"62.5.1", noNumber}, {"-62", noNumber}, {"1e2", noNumber}, {"6 2", noNumber},
		{"29.9", "Only 30 to 200 kg"}, {"620", "Only 30 to 200 kg"}, {"999999999999", ""},
	} {
		w.Type("#f-height_cm", "160")
		w.Type("#f-weight_kg", x.typed)
		w.send("Use this weight")
		w.refused("#f-weight_kg", x.says, "#f-weight_kg", x.typed, "#f-height_cm", "160")
	}
	w.Type("#f-weight_kg", "62,5") // a comma is a point to many
	for _, x := range []trial{{"tall", noNumber}, {"1.60", noNumber}, {"16", "Only 120 to 220 cm"}} {
		w.Type("#f-height_cm", x.typed)
		w.send("Use this weight")
		w.refused("#f-height_cm", x.says, "#f-weight_kg", "62,5", "#f-height_cm", x.typed)
	}
	w.Type("#f-height_cm", "")
	w.Type("#f-weight_kg", "38") // rare: asked again, large
	w.send("Use this weight")
	w.Reads("This weight is rare. Is it right?")
	w.wantFigureSoon("38 kg")
	w.TapWords("Enter it again")
	w.Reads("Weight today")
	w.Type("#f-weight_kg", "62,5")
	w.send("Use this weight")
	w.At(b + "/dose/before")
	w.TapWords("Yes: write it down")
	w.At(b + "/dose/earlier")
	w.badLabel()
	w.Until(`document.getElementById('screen').dataset.path.startsWith("` + b + `/dose/earlier")`)
	w.TapWords("That is all")
	w.label(b, "1 %", "With adrenaline")
	w.TapWords("Write what was injected")
	w.badMillilitres()
	w.Type("#f-ml", "4")
	w.send("Write it down")
	w.Reads("Given so far 60 mg")
	w.written(b, "Weight: 62.5 kg", "lidocaine 1 % · 2 mL · 20 mg · before", "lidocaine 1 % with adrenaline · 4 mL · 40 mg")
	if n := browser.Ask[int](w.Tab, `document.querySelectorAll('.log li').length`); n != 6 {
		t.Errorf("the record has %d lines, wanted 6: what was refused is not written\n%s", n, w.Looks())
	}
}

// badLabel leaves out each part of an earlier dose in turn, then gives it.
func (w *way) badLabel() {
	w.Helper()
	w.Type("#f-ml", "2")
	w.send("Write it down")
	w.Reads("Choose the strength on the label.")
	w.TapWords("1 % · 10 mg/mL")
	w.send("Write it down")
	w.Reads("Choose whether the label says adrenaline.")
	if got := w.Value("#f-ml"); got != "2" {
		w.Errorf("the millilitres are %q, wanted what was typed", got)
	}
	if !browser.Ask[bool](w.Tab, `document.querySelector('[name="given_strength"][value="1"]').checked`) {
		w.Errorf("the strength that was chosen is lost")
	}
	w.TapWords("Plain, no adrenaline")
	w.send("Write it down")
	w.Reads("Counted already lidocaine 1 % · 2 mL · 20 mg · before")
}

func (w *way) badMillilitres() {
	w.Helper()
	w.Reads("Millilitres injected")
	for _, x := range []trial{{"", noNumber}, {"ten", noNumber}, {"1,000", noNumber}, {"1,5,5", noNumber}, {"0", "how many millilitres went in"}, {"99999", "This amount cannot be."}} {
		w.Type("#f-ml", x.typed)
		w.send("Write it down")
		w.refused("#f-ml", x.says, "#f-ml", x.typed)
	}
}

func TestBadInputAtADilution(t *testing.T) {
	w := begin(t)
	w.goTo("/dose/dilute")
	good := []string{"#f-stock", "2", "#f-wanted", "0.5", "#f-make", "20"}
	for _, x := range []struct {
		field string
		trial
	}{
		{"#f-stock", trial{"two", noNumber}}, {"#f-stock", trial{"", noNumber}}, {"#f-stock", trial{"0.25", "cannot be made stronger"}},
		{"#f-wanted", trial{"half", noNumber}}, {"#f-make", trial{"lots", noNumber}}, {"#f-make", trial{"5000", "Write 0.1 to 1000 mL"}},
	} {
		typed := slices.Clone(good)
		typed[slices.Index(typed, x.field)+1] = x.typed
		for i := 0; i < len(typed); i += 2 {
			w.Type(typed[i], typed[i+1])
		}
		w.send("Work it out")
		w.Reads(x.says)
		if x.typed != "0.25" { // the fault of two fields together is said above them
			w.refused(x.field, x.says)
		}
		for i := 0; i < len(typed); i += 2 {
			if got := w.Value(typed[i]); got != typed[i+1] {
				t.Errorf("%s holds %q, wanted %q", typed[i], got, typed[i+1])
			}
		}
	}
}

func TestBadInputAtTheBleeding(t *testing.T) {
	w := begin(t)
	w.goTo("/emergency/bleeding")
	fields := []string{"#f-lost_ml", "#f-wet_g", "#f-dry_g", "#f-pulse", "#f-systolic", "#f-diastolic"}
	for _, x := range []struct {
		typed       []string // in the order of the fields
		field, says string
	}{
		{[]string{"much", "", "", "90", "110", ""}, "#f-lost_ml", noNumber},
		{[]string{"300", "", "", "fast", "110", ""}, "#f-pulse", noNumber},
		{[]string{"300", "", "", "900", "110", ""}, "#f-pulse", "This cannot be."},
		{[]string{"300", "", "", "90", "11o", ""}, "#f-systolic", noNumber},
		{[]string{"300", "", "", "90", "110", "low"}, "#f-diastolic", noNumber},
		{[]string{"300", "", "", "90", "90", "110"}, "", "The lower pressure is not under the upper one."},
		{[]string{"", "100", "200", "", "", ""}, "", "Wet weighs less than dry."},
		{[]string{"", "100", "", "", "", ""}, "#f-dry_g", "Two weights are needed"},
		{[]string{"", "heavy", "20", "", "", ""}, "#f-wet_g", noNumber},
	} {
		var kept []string
		for i, field := range fields {
			w.Type(field, x.typed[i])
			kept = append(kept, field, x.typed[i])
		}
		w.send("Show the alarm")
		w.Reads(x.says)
		if x.field != "" {
			w.refused(x.field, x.says, kept...)
		}
		for i, field := range fields {
			if got := w.Value(field); got != x.typed[i] {
				t.Errorf("%s holds %q, wanted %q", field, got, x.typed[i])
			}
		}
		w.ReadsNot("No alarm now")
	}
}
