package pages_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fourchette/core/pack"
	"fourchette/wasm/shell/drawings"
)

// guidance is the built-in pack's guidance, by page.
func guidance(t *testing.T) map[string][]pack.Item {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(built, "builtin.pack"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := pack.Load(b)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string][]pack.Item{}
	for _, page := range p.Pages {
		all[page.Key] = page.Items
	}
	return all
}

// TestEveryDrawingNamedIsDrawn: a misspelt name would leave a hole beside the
// words.
func TestEveryDrawingNamedIsDrawn(t *testing.T) {
	drawn := 0
	for page, items := range guidance(t) {
		for _, it := range items {
			for _, name := range strings.Fields(it.Drawing) {
				drawn++
				if drawings.Named(name) == "" {
					t.Errorf("%s.%s: there is no drawing %q", page, it.Key, name)
				}
			}
		}
	}
	if drawn < 100 {
		t.Errorf("only %d drawings are named", drawn)
	}
}

// rescues are the pages of guidance for an emergency, and where each is shown.
var rescues = map[string]string{"heavy_bleeding": "bleeding", "toxicity": "toxicity", "fits": "fits", "fever_sepsis": "fever"}

// sameAct are the drawings that may come back on a page, because the act comes
// back: by page and drawing, the items that all do it.
var sameAct = map[string][]string{
	"heavy_bleeding rub_uterus":  {"massage", "find_tear"}, // the helper goes on
	"heavy_bleeding press_pad":   {"press", "refer"},       // and on the way
	"heavy_bleeding inject_vein": {"tranexamic", "tranexamic_hour_unknown"},
	"toxicity breathe_for_her":   {"airway", "resuscitate"},
	"toxicity chest_press":       {"resuscitate", "move"},
	"fits open_airway":           {"airway", "refer"},
}

// TestStepsOfARescueAreDrawn: each step and each call of a rescue can be found,
// and as far as a picture can say it done, from its drawing; no two are drawn
// alike, and a drawing that comes back is the same act.
func TestStepsOfARescueAreDrawn(t *testing.T) {
	pages := guidance(t)
	for page := range rescues {
		whole, parts := map[string]string{}, map[string][]string{}
		steps := 0
		for _, it := range pages[page] {
			switch {
			case it.Kind == "caution" && it.Drawing != "":
				t.Errorf("%s.%s: the triangle is the drawing of a caution", page, it.Key)
			case it.Kind != "step" && it.Kind != "call":
				continue
			case it.Drawing == "":
				t.Errorf("%s.%s is words only", page, it.Key)
			case whole[it.Drawing] != "":
				t.Errorf("%s: %s and %s are drawn alike", page, whole[it.Drawing], it.Key)
			}
			steps++
			whole[it.Drawing] = it.Key
			for _, name := range strings.Fields(it.Drawing) {
				parts[name] = append(parts[name], it.Key)
			}
		}
		if steps < 4 {
			t.Errorf("%s has only %d steps and calls", page, steps)
		}
		for name, items := range parts {
			if len(items) > 1 && !slices.Equal(items, sameAct[page+" "+name]) {
				t.Errorf("%s: %s draws %s", page, name, items)
			}
		}
	}
}

// TestAirwayBeforeBreath: who breathes for her through a closed airway fills the
// stomach.
func TestAirwayBeforeBreath(t *testing.T) {
	breathed := 0
	for page, items := range guidance(t) {
		var acts []string
		for _, it := range items {
			acts = append(acts, strings.Fields(it.Drawing)...)
		}
		open := slices.Index(acts, "open_airway")
		for _, act := range []string{"breathe_for_her", "oxygen_mask", "chest_press"} {
			if at := slices.Index(acts, act); at >= 0 {
				breathed++
				if open < 0 || open > at {
					t.Errorf("%s: %s stands before open_airway", page, act)
				}
			}
		}
	}
	if breathed < 6 {
		t.Errorf("only %d acts of breathing and pressing were seen", breathed)
	}
}

// saysNoMore is what each of these items is drawn as, where another drawing
// would bid her do what the words do not.
var saysNoMore = map[string]string{
	"fever_sepsis.left_inside":        "look_for_tampon", // not to put one in
	"toxicity.lipid_again":            "give_three",      // and never without end
	"heavy_bleeding.tranexamic_again": "give_twice",
	"heavy_bleeding.tranexamic_how":   timedInjection,
}

// timedInjection is tranexamic acid, wherever it stands: injected by the clock,
// never hung up as a drip.
const timedInjection = "inject_slowly"

func TestADrawingSaysNoMoreThanItsWords(t *testing.T) {
	seen := 0
	for page, items := range guidance(t) {
		for _, it := range items {
			if want := saysNoMore[page+"."+it.Key]; want != "" {
				seen++
				if it.Drawing != want {
					t.Errorf("%s.%s is drawn as %s, wanted %s", page, it.Key, it.Drawing, want)
				}
			}
		}
	}
	if seen != len(saysNoMore) {
		t.Errorf("%d of %d items were seen", seen, len(saysNoMore))
	}
	p := newPhone(t, true)
	if now := drawnAnswers(p.get(p.opened() + "/ask/tranexamic_given").HTML())["now"]; now != timedInjection {
		t.Errorf("tranexamic acid given now is drawn as %s", now)
	}
}

// TestTheDrawingStandsBeforeTheWords: on the page itself each step and call
// begins with its drawing, hidden from a screen reader, which has the words.
func TestTheDrawingStandsBeforeTheWords(t *testing.T) {
	p := newPhone(t, false)
	all := guidance(t)
	for page, path := range rescues {
		html := p.get("/emergency/" + path).HTML()
		for _, it := range all[page] {
			if it.Drawing == "" {
				continue
			}
			var want strings.Builder
			for _, name := range strings.Fields(it.Drawing) {
				want.WriteString(drawings.Named(name))
			}
			if !strings.Contains(html, ">"+want.String()+"<details class=\"sourced\">") || !strings.Contains(want.String(), `aria-hidden="true"`) {
				t.Errorf("%s.%s: its drawing does not stand before its words", page, it.Key)
			}
		}
	}
}
