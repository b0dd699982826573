package pages_test

import (
	"html"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fourchette/i18n/tables"
)

// TestEveryGuideTextIsShown: guidance that reaches no screen teaches nobody. In
// some situation each text of the guide stands on a screen that links lead to.
func TestEveryGuideTextIsShown(t *testing.T) {
	b, err := os.ReadFile(filepath.Join(built, "en.table"))
	if err != nil {
		t.Fatal(err)
	}
	table, err := tables.Load(b)
	if err != nil {
		t.Fatal(err)
	}
	book := tables.NewBook(table, table)
	shown := map[string]string{}
	asked := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(situations)) {
		p := newPhone(t, true)
		b := p.come(situations[name], shown)
		p.crawl(b, shown)
		p.everyWord(b, shown, asked)
	}
	all := strings.Join(slices.Collect(maps.Values(shown)), "\n")
	texts := 0
	for _, key := range table.Keys() {
		if !strings.HasPrefix(key, "guide.") || strings.HasSuffix(key, ".title") { // titles are for the trainer
			continue
		}
		texts++
		if text := plain(html.EscapeString(book.Text(key).S)); !strings.Contains(all, text) {
			t.Errorf("%s is on none of %d screens: %s", key, len(shown), text)
		}
	}
	if texts < 300 {
		t.Errorf("the table has %d texts of the guide", texts)
	}
}

// situations are what a birth can come to, each as what is answered in it: the
// path under the birth's and the form.
var situations = map[string][]string{
	"elsewhere, scars":       {"ask/arrived_from value=elsewhere", "ask/genital_cutting value=yes"},
	"refused":                with(safeAnswers, []string{"ask/consent_exam value=declined"}),
	"not settled":            with(safeAnswers, examined("torn", "torn", "unsure", "intact", "intact")),
	"grade 1, left":          with(safeAnswers, examined("torn", "intact", "intact", "intact", "intact"), []string{"ask/decision value=leave_open", "ask/repair_finished value=no"}, home),
	"not weighed":            {"dose/weight not_weighed=yes", "dose/before before=nobody_knows", "dose/adrenaline strength=1&adrenaline=no"},
	"too much":               {"dose/weight weight_kg=50", "dose/before before=nothing", "dose/adrenaline strength=1&adrenaline=no", "dose/given strength=1&adrenaline=no&ml=40"},
	"nothing torn":           with(safeAnswers, examined("intact", "intact", "intact", "intact", "intact"), home),
	"grade 1":                with(safeAnswers, examined("torn", "intact", "intact", "intact", "intact"), home),
	"grade 2, repaired":      with(safeAnswers, examined("torn", "torn", "intact", "intact", "intact"), repaired, home),
	"grade 2, stitch felt":   with(safeAnswers, examined("torn", "torn", "intact", "intact", "intact"), repaired, []string{"ask/rectal_after value=done", "ask/stitch_felt value=yes"}),
	"grade 2, tampon":        with(safeAnswers, examined("torn", "torn", "intact", "intact", "intact"), repaired, tampon, home),
	"cut, vacuum":            with(safeAnswers, []string{"examine/episiotomy value=yes", "ask/instrumental value=vacuum"}, repaired, home),
	"grade 3a, refer":        with(safeAnswers, examined("torn", "torn", "under_half", "intact", "intact"), refer),
	"grade 3b, stays":        with(safeAnswers, examined("torn", "torn", "half_or_more", "intact", "intact"), stays),
	"grade 3c, trained here": with(safeAnswers, examined("torn", "torn", "through", "torn", "intact"), trained, home),
	"grade 4, trained here":  with(safeAnswers, examined("torn", "torn", "through", "torn", "torn"), trained, home),
	"grade 4, stays":         with(safeAnswers, examined("torn", "torn", "through", "torn", "torn"), stays),
	"buttonhole, stays":      with(safeAnswers, examined("torn", "torn", "intact", "intact", "torn"), []string{"examine/second_look ", "grade "}, stays),
	"buttonhole, trained":    with(safeAnswers, examined("torn", "torn", "intact", "intact", "torn"), []string{"examine/second_look ", "grade "}, trained),
}

var (
	refer   = []string{"ask/trained_operator_here value=no", "ask/decision value=refer", "ask/allergy value=penicillin"}
	stays   = []string{"ask/trained_operator_here value=no", "ask/decision value=cannot_travel", "ask/travel_barrier value=no_transport", "ask/allergy value=none"}
	trained = with([]string{"ask/trained_operator_here value=yes"}, repaired)
	tampon  = []string{"ask/tampon value=left", "ask/tampon_number number=1", "ask/tampon_at value=now", "ask/tampon_why value=other", "ask/tampon_receiver text=night+shift"}
	home    = []string{"ask/allergy value=none", "ask/breastfeeding value=yes", "ask/urine_passed value=now", "ask/rectal_after value=done",
		"ask/stitch_felt value=no", "ask/final_firm value=yes", "ask/final_bleeding value=settled"}
)

func with(parts ...[]string) []string { return slices.Concat(parts...) }

var safeAnswers = []string{
	"ask/arrived_from value=here", "ask/uterus_firm value=yes", "ask/placenta_out value=yes", "ask/placenta_complete value=yes",
	"ask/bleeding_looked value=settled", "ask/loss_ml value=not_measured", "ask/pulse number=88", "ask/systolic number=118", "ask/instrumental value=none",
	"ask/genital_cutting value=no", "ask/consent_exam value=yes", "ask/position value=yes", "ask/light value=yes", "ask/pain_relief value=local",
}

// examined is an examination by which layers are torn.
func examined(skin, muscle, external, internal, mucosa string) []string {
	return []string{
		"examine/episiotomy value=no", "examine/perineal_skin value=" + skin, "examine/vaginal_mucosa value=" + skin,
		"examine/perineal_muscle value=" + muscle, "examine/rectal_exam value=done", "examine/external_sphincter value=" + external,
		"examine/internal_sphincter value=" + internal, "examine/anorectal_mucosa value=" + mucosa, "grade ",
	}
}

var repaired = []string{
	"ask/decision value=repair_here", "ask/consent_repair value=yes", "count/in swab=5&needle=2&tampon=0", "layout ",
	"dose/weight weight_kg=60", "dose/before before=nothing", "dose/adrenaline strength=1&adrenaline=no",
	"dose/given strength=1&adrenaline=no&ml=10", "ask/numb_felt value=no&confirmed=no", "ask/looked_again value=same",
	"repair/vaginal_mucosa done=yes", "repair/perineal_muscle done=yes", "repair/perineal_skin done=yes",
	"count/out swab=5&needle=2&tampon=0", "ask/allergy value=none", "ask/breastfeeding value=yes",
}

// come opens a birth and answers, and keeps the text of each reply. What an
// answer is refused for does not matter here.
func (p *phone) come(answers []string, shown map[string]string) string {
	p.t.Helper()
	b := p.opened()
	for _, a := range answers {
		path, form, _ := strings.Cut(a, " ")
		shown[a] += plain(p.post(b+"/"+path, form).HTML())
	}
	return b
}

var leads = regexp.MustCompile(`href="#([^"]+)"`)

// crawl follows every link from a birth's record and from the first screen, and
// keeps the text of each screen.
func (p *phone) crawl(b string, shown map[string]string) {
	p.t.Helper()
	seen := map[string]bool{}
	for next := []string{b, "/"}; len(next) > 0; next = next[1:] {
		path := html.UnescapeString(next[0])
		if seen[path] || len(seen) > 500 {
			continue
		}
		seen[path] = true
		s := p.get(path)
		shown[path] += plain(s.HTML())
		for _, l := range leads.FindAllStringSubmatch(s.HTML(), -1) {
			next = append(next, l[1])
		}
	}
}

var word = regexp.MustCompile(`name="value" value="([^"]+)"`)

// everyWord answers each question that nobody asked before with each word it
// offers, and keeps what is said to that.
func (p *phone) everyWord(b string, shown map[string]string, asked map[string]bool) {
	p.t.Helper()
	for path := range maps.Clone(shown) {
		question, is := strings.CutPrefix(path, b+"/ask/")
		if !is || asked[question] {
			continue
		}
		asked[question] = true
		for _, w := range word.FindAllStringSubmatch(p.get(path).HTML(), -1) {
			shown[path+" "+w[1]] += plain(p.post(path, "value="+w[1]).HTML()) + plain(p.get(path).HTML())
		}
	}
}
