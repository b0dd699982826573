package pages_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fourchette/core/course"
	"fourchette/core/supplies"
	"fourchette/core/tear"
	"fourchette/i18n/tables"
)

var (
	answerButton = regexp.MustCompile(`(?s)<button[^>]* name="value" value="([^"]*)"[^>]*>(.*?)</button>`)
	iconName     = regexp.MustCompile(`class="icon icon-([a-z_]+)"`)
)

// drawnAnswers are the drawings beside the answers of a page, by word; "" for
// an answer that has none.
func drawnAnswers(html string) map[string]string {
	all := map[string]string{}
	for _, m := range answerButton.FindAllStringSubmatch(html, -1) {
		all[m[1]] = ""
		if icon := iconName.FindStringSubmatch(m[2]); icon != nil {
			all[m[1]] = icon[1]
		}
	}
	return all
}

// doubt: a word that may go without a drawing, or share the one of doubt.
func doubt(word string) bool {
	return word == "unsure" || word == "unknown" || word == "not_measured"
}

// differ checks the drawings of one question, and reports whether it has any.
func differ(t *testing.T, path string, answers map[string]string) bool {
	t.Helper()
	bare, seen := false, map[string]string{}
	for word, icon := range answers {
		if icon == "" {
			bare = bare || !doubt(word)
			continue
		}
		if other := seen[icon]; other != "" {
			t.Errorf("%s: %s and %s are both drawn as %s", path, word, other, icon)
		}
		if doubt(word) != (icon == "unsure") {
			t.Errorf("%s: %s is drawn as %s", path, word, icon)
		}
		seen[icon] = word
	}
	if len(seen) == 1 || len(seen) > 0 && bare {
		t.Errorf("%s draws some answers and not others: %v", path, answers)
	}
	return len(seen) > 0
}

// TestAnswersDifferToTheEye: an attendant who reads little sees which answer is
// which. No two answers of a question are drawn alike, and a question draws each
// of its answers or none, because a picture beside one alone draws the thumb.
func TestAnswersDifferToTheEye(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.say(b, "tampon", "value=in") // "never put in" is offered only then
	var paths []string
	for _, q := range course.Questions() {
		paths = append(paths, b+"/ask/"+q.Key)
	}
	for _, q := range strings.Fields("episiotomy perineal_skin vaginal_mucosa perineal_muscle rectal_exam external_sphincter internal_sphincter anorectal_mucosa") {
		paths = append(paths, b+"/examine/"+q)
	}
	questions := 0
	for _, path := range paths {
		if differ(t, path, drawnAnswers(p.get(path).HTML())) {
			questions++
		}
	}
	if questions < 40 {
		t.Errorf("only %d questions draw their answers", questions)
	}
}

var (
	needed = regexp.MustCompile(`(?s)<dt>(.*?)</dt><dd>(.*?)</dd>`)
	tools  = []struct{ word, item string }{{"needle holder", "needle_holder"}, {"forceps", "forceps"}, {"scissors", "scissors"},
		{"swabs", "swab"}, {"artery clip", "artery_clip"}, {"clamp", "clamp"}, {"retractor", "retractor"}}
)

// TestWhatIsNeededShowsItself: here and not here are the thing and the thing
// crossed out, because a house beside a thread says nothing of the thread.
func TestWhatIsNeededShowsItself(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.found(b, "intact", "intact", "intact")
	asked, seen := 0, map[string]bool{}
	for _, m := range needed.FindAllStringSubmatch(p.get(b+"/needs").HTML(), -1) {
		thing, answers := iconName.FindStringSubmatch(m[1]), drawnAnswers(m[2])
		if len(answers) == 0 {
			continue
		}
		asked++
		if thing == nil || answers["yes"] != thing[1] || answers["no"] != "not_"+thing[1] || seen[thing[1]] {
			t.Errorf("%s: %v", plain(m[1]), answers)
			continue
		}
		seen[thing[1]] = true
	}
	if asked != 4 {
		t.Errorf("%d needs are asked about, wanted place, pain relief, instruments and thread", asked)
	}
}

// english is the built-in pack's texts.
func english(t *testing.T) *tables.Book {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(built, "en.table"))
	if err != nil {
		t.Fatal(err)
	}
	table, err := tables.Load(b)
	if err != nil {
		t.Fatal(err)
	}
	return tables.NewBook(table, table)
}

// TestWhatAGradeNeedsIsLaidOut: two lists of one thing, held together: what the
// needs of a grade name lies on its tray.
func TestWhatAGradeNeedsIsLaidOut(t *testing.T) {
	named, book := 0, english(t)
	for _, it := range guidance(t)["decide"] {
		grade, is := strings.CutSuffix(strings.TrimPrefix(it.Key, "grade_"), "_instruments")
		g := map[string]tear.Grade{"1": tear.First, "2": tear.Second, "3": tear.Third3a, "4": tear.Fourth}[grade]
		if !is || g == tear.None {
			continue
		}
		tray := supplies.LayOut(g, false)
		for _, thing := range tools {
			laid := slices.ContainsFunc(tray, func(i supplies.Item) bool { return i.Key == thing.item })
			if strings.Contains(strings.ToLower(book.Text("guide.decide."+it.Key).S), thing.word) {
				named++
				if !laid {
					t.Errorf("grade %s: %s is needed and not laid out", grade, thing.word)
				}
			}
		}
	}
	if named < 14 {
		t.Errorf("only %d instruments are named", named)
	}
}

// TestTheCutIsDrawnToTheSide: what the cut opened is not drawn as a tear down
// the middle, open or closed, and the drawing says that the side is hers to see.
func TestTheCutIsDrawnToTheSide(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.found(b, "intact", "intact", "intact")
	for _, c := range []struct {
		cut  string
		want int
	}{{"no", 0}, {"yes", 3}} {
		p.answers(b, "episiotomy", c.cut)
		html := p.get(b + "/examine").HTML()
		if got := strings.Count(html, ` torn cut"`); got != c.want {
			t.Errorf("cut %s: %d layers are drawn as cut, wanted %d", c.cut, got, c.want)
		}
		for _, says := range []string{"the cut drawn to her right", "Look which side hers is on"} {
			if strings.Contains(html, says) != (c.want > 0) {
				t.Errorf("cut %s: %q", c.cut, says)
			}
		}
	}
}

var picturedLine = regexp.MustCompile(`(?s)<li class="pictured"[^>]*>(.*?)</li>`)

// TestNoTwoLinesOfAdviceShareAPicture: what the mother takes home is told by
// its drawing, each danger sign by its own.
func TestNoTwoLinesOfAdviceShareAPicture(t *testing.T) {
	seen := map[string]string{}
	lines := map[string]bool{}
	for _, state := range []func(p *phone, b string){
		func(p *phone, b string) { p.say(b, "consent_exam", "value=declined") },
		func(p *phone, b string) { // stitched here by a trained operator
			p.found(b, "through", "torn", "torn")
			p.say(b, "trained_operator_here", "value=yes", "decision", "value=repair_here", "consent_repair", "value=yes")
			p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
			p.post(b+"/layout", "")
			p.numbed(b)
			p.stitched(b, "anorectal_mucosa")
		},
		func(p *phone, b string) { // a small tear, left to close by itself
			p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "intact", "perineal_muscle", "intact",
				"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
			p.post(b+"/grade", "")
			p.say(b, "decision", "value=leave_open")
		},
	} {
		p := newPhone(t, true)
		b := p.opened()
		p.safe(b)
		state(p, b)
		for _, m := range picturedLine.FindAllStringSubmatch(p.get(b+"/advice").HTML(), -1) {
			text, icon := plain(m[1]), iconName.FindStringSubmatch(m[1])
			lines[text] = true
			switch {
			case icon == nil:
				t.Errorf("%q has no picture", text)
			case seen[icon[1]] != "" && seen[icon[1]] != text:
				t.Errorf("%q and %q share the picture %s", text, seen[icon[1]], icon[1])
			default:
				seen[icon[1]] = text
			}
		}
	}
	if len(lines) < 39 {
		t.Errorf("only %d lines of advice and signs were seen", len(lines))
	}
}
