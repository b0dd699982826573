package pages_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/wasm/pages"
)

var update = flag.Bool("update", false, "write the golden pages anew; read the difference before you commit it")

const torn = "perineal_skin=torn&vaginal_mucosa=torn&perineal_muscle=torn&episiotomy=no&rectal_exam=done"

// screens are the golden pages: a name, and the path of a quick tool or of the
// birth that opened has made ("B" stands for its path).
var screens = []struct{ name, path string }{
	{"home", "/"},
	{"new", "/new"},
	{"record", "B"},
	{"record_close", "B/close"},
	{"stage_safe", "B/stage/safe"},
	{"stage_decide", "B/stage/decide"},
	{"ask_uterus_firm", "B/ask/uterus_firm"},
	{"ask_pulse", "B/ask/pulse"},
	{"ask_decision", "B/ask/decision"},
	{"ask_tampon", "B/ask/tampon"},
	{"ask_urine_passed", "B/ask/urine_passed"},
	{"needs", "B/needs"},
	{"layout", "B/layout"},
	{"count", "B/count"},
	{"count_in", "B/count/in"},
	{"count_out", "B/count/out"},
	{"numb", "B/numb"},
	{"repair", "B/repair"},
	{"repair_perineal_muscle", "B/repair/perineal_muscle"},
	{"after", "B/after"},
	{"advice", "B/advice"},
	{"visits", "B/visits"},
	{"handover", "B/handover"},
	{"refer", "B/refer"},
	{"register", "B/register"},
	{"reminder", "/reminder?deg=60"},
	{"examine", "B/examine"},
	{"question_episiotomy", "B/examine/episiotomy"},
	{"question_perineal_skin", "B/examine/perineal_skin"},
	{"question_rectal_exam", "B/examine/rectal_exam"},
	{"question_external_sphincter", "B/examine/external_sphincter"},
	{"grade_nothing_known", "/grade"},
	{"grade_3b", "/grade?" + torn + "&external_sphincter=half_or_more&internal_sphincter=intact&anorectal_mucosa=intact"},
	{"grade_unsure", "/grade?" + torn + "&external_sphincter=half_or_more&internal_sphincter=intact&anorectal_mucosa=unsure"},
	{"grade_buttonhole", "/grade?" + torn + "&external_sphincter=intact&internal_sphincter=intact&anorectal_mucosa=torn"},
	{"dose_weight", "/dose/weight"},
	{"dose_before", "/dose/before?weight_kg=60"},
	{"dose_strength", "/dose/strength?weight_kg=60&before=nothing"},
	{"dose_adrenaline", "/dose/adrenaline?weight_kg=60&before=nothing&strength=1"},
	{"dose_limit", "/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no"},
	{"dose_limit_not_weighed", "/dose/limit?not_weighed=yes&before=nothing&strength=0.5&adrenaline=yes"},
	{"dose_limit_nobody_knows", "/dose/limit?weight_kg=60&before=nobody_knows&strength=1&adrenaline=no"},
	{"dose_limit_over", "/dose/limit?weight_kg=60&before=listed&given=lidocaine:20:1:no&strength=1&adrenaline=no"},
	{"dose_given", "/dose/given?weight_kg=60&before=nothing&strength=1&adrenaline=no"},
	{"dose_earlier", "/dose/earlier?weight_kg=60&before=listed"},
	{"dose_draw", "/dose/draw?weight_kg=60&before=nothing&strength=1&adrenaline=no&syringe=10&ampoule=5"},
	{"dose_dilute", "/dose/dilute?stock=2&wanted=0.5&make=20"},
	{"emergency", "/emergency"},
	{"emergency_bleeding", "/emergency/bleeding"},
	{"emergency_bleeding_act", "/emergency/bleeding?lost_ml=600&pulse=115"},
	{"emergency_toxicity", "/emergency/toxicity?over=yes"},
	{"emergency_fits", "/emergency/fits"},
	{"emergency_fever", "/emergency/fever"},
	{"settings", "/settings"},
	{"about", "/about"},
	{"differ", "/differ"},
	{"dose_inject", "/dose/inject?weight_kg=60"},
	{"no_such_page", "/nowhere"},
}

// opened opens a birth and gives its path.
func (p *phone) opened() string {
	p.t.Helper()
	s := p.post("/new", "born=now&bed=3&another=yes")
	if !strings.HasPrefix(s.Path, "/b/") {
		p.t.Fatalf("a new birth leads to %s", s.Path)
	}
	return s.Path
}

func TestGoldenPages(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/examine/perineal_skin", "value=torn")
	p.post(b+"/grade", "")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=5")
	for _, s := range screens {
		path := s.path
		if rest, ok := strings.CutPrefix(path, "B"); ok {
			path = b + rest
		}
		golden(t, s.name, p.get(path))
	}
}

// golden compares a screen with its kept page, or keeps it anew.
func golden(t *testing.T, name string, screen pages.Screen) {
	t.Helper()
	// A line a tag, so that a difference can be read.
	got := strings.ReplaceAll(screen.HTML(), "><", ">\n<") + "\n"
	file := filepath.Join("..", "..", "testdata", "pages", name+".html")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Errorf("%v: make it with go test ./wasm/pages -run Golden -update, and read it", err)
	} else if string(want) != got {
		t.Errorf("%s is not %s any more: see the difference with -update and git diff", screen.Path, file)
	}
}

// TestEveryLanguage renders every screen in every language: none has a hole,
// a made-up language falls back nowhere, and figures are the same in all.
func TestEveryLanguage(t *testing.T) {
	english := newPhone(t, true)
	b := english.opened()
	for _, lang := range []string{"fr", "en-XA", "ar-XB"} {
		p := newPhone(t, true)
		p.lang = lang
		if p.opened() != b {
			t.Fatal("two phones with the same randomness open different births")
		}
		for _, s := range screens {
			path := strings.Replace(s.path, "B", b, 1)
			got, want := p.get(path), english.get(path)
			if got.Lang != lang || (got.Dir == "rtl") != (lang == "ar-XB") {
				t.Errorf("%s: %s, %s", path, got.Lang, got.Dir)
			}
			if strings.Contains(got.HTML(), `class="untranslated"`) {
				t.Errorf("%s in %s: a text falls back to English", path, lang)
			}
			if f, e := figures(got.HTML()), figures(want.HTML()); f != e {
				t.Errorf("%s in %s shows other figures:\n%s\n%s", path, lang, f, e)
			}
		}
	}
}

// figures are the contents of all number spans, in order.
func figures(html string) string {
	var all []string
	for _, part := range strings.Split(html, `class="num"`)[1:] {
		_, text, _ := strings.Cut(part, ">")
		text, _, _ = strings.Cut(text, "<")
		all = append(all, strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' || r == '.' {
				return r
			}
			return -1
		}, text))
	}
	return strings.Join(all, " ")
}

// TestNothingIsPreselected: a tap is always a choice that somebody made.
func TestNothingIsPreselected(t *testing.T) {
	p := newPhone(t, true)
	for _, s := range screens {
		path := strings.Replace(s.path, "B", p.opened(), 1)
		if html := p.get(path).HTML(); strings.Contains(html, " checked") || strings.Contains(html, " selected") {
			t.Errorf("%s comes with something chosen", path)
		}
	}
}

// TestClinicalScreensSaySo: rescue and "for practice" are on every clinical
// screen, and rescue asks for nothing.
func TestClinicalScreensSaySo(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, s := range screens {
		html := p.get(strings.Replace(s.path, "B", b, 1)).HTML()
		if !strings.Contains(html, `class="rescue"`) || !strings.Contains(html, `href="#/emergency`) {
			t.Errorf("%s: no way to the emergency pages", s.name)
		}
		clinical := strings.HasPrefix(s.name, "question") || strings.HasPrefix(s.name, "grade") || strings.HasPrefix(s.name, "dose") || strings.HasPrefix(s.name, "emergency")
		if clinical && !strings.Contains(html, `class="practice"`) {
			t.Errorf("%s does not say that it is for practice", s.name)
		}
	}
	html := p.get("/emergency").HTML()
	if main, _, _ := strings.Cut(html[strings.Index(html, "<main"):], "</main>"); strings.Contains(main, "<input") || strings.Contains(main, "<form") {
		t.Error("the emergency page asks for something first")
	}
}
