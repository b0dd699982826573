package drawings

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func styleSheet(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile("../style.css")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// block returns what stands between the braces that follow start.
func block(t *testing.T, css, start string) string {
	t.Helper()
	_, rest, ok := strings.Cut(css, start+" {")
	if !ok {
		t.Fatalf("style.css has no block %q", start)
	}
	body, _, _ := strings.Cut(rest, "}")
	return body
}

var colour = regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`)

func colours(t *testing.T, body string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, m := range colour.FindAllStringSubmatch(body, -1) {
		all[m[1]] = m[2]
	}
	if len(all) < 12 {
		t.Fatalf("only %d colours in %q", len(all), body)
	}
	return all
}

// luminance and contrast as WCAG 2.2 defines them (relative luminance,
// contrast ratio).
func luminance(hex string) float64 {
	n, _ := strconv.ParseUint(hex[1:], 16, 32)
	part := func(shift uint) float64 {
		c := float64(n>>shift&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// The pairs that style.css puts together: text needs 7:1, a shape 3:1.
var textPairs = []string{
	"ink on paper", "ink on raised", "ink on accent-wash", "ink on alarm-wash",
	"quiet on paper", "quiet on raised", "accent on paper", "accent on raised",
	"on-accent on accent", "alarm on paper", "alarm on raised", "on-alarm on alarm", "paper on ink",
}

var shapePairs = []string{
	"line on paper", "line on raised", "accent on paper", "accent on raised", "accent on accent-wash",
	"accent on flesh", "alarm on alarm-wash", "alarm on paper", "ink on flesh", "ink on paper", "line on flesh",
}

func TestContrast(t *testing.T) {
	if c := contrast("#000000", "#ffffff"); math.Abs(c-21) > 0.001 { // WCAG 2.2: black on white is 21:1
		t.Fatalf("black on white gives %.3f", c)
	}
	css := styleSheet(t)
	for theme, start := range map[string]string{"light": "\n:root", "dark": `html[data-theme="dark"]`} {
		all := colours(t, block(t, css, start))
		check := func(pairs []string, least float64) {
			for _, pair := range pairs {
				front, back, _ := strings.Cut(pair, " on ")
				if all[front] == "" || all[back] == "" {
					t.Fatalf("%s: no such colours: %s", theme, pair)
				}
				if c := contrast(all[front], all[back]); c < least {
					t.Errorf("%s: %s is %.2f:1, needs %.0f:1", theme, pair, c, least)
				}
			}
		}
		check(textPairs, 7)
		check(shapePairs, 3)
	}
}

func TestBothDarksAreOne(t *testing.T) {
	css := styleSheet(t)
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	chosen := squeeze(block(t, css, `html[data-theme="dark"]`))
	system := squeeze(block(t, css, `html:not([data-theme="light"])`))
	if chosen != system {
		t.Errorf("dark by choice and dark by system differ:\n%s\n%s", chosen, system)
	}
}

// What the pages' class names promise each other; a class that vanished here
// leaves a screen undressed without a word.
func TestEveryClassIsDressed(t *testing.T) {
	css := styleSheet(t)
	for _, class := range strings.Fields(`bar bar-birth bar-since bar-place rescue practice drawing answers answer
		is-torn is-intact is-unsure is-open is-chosen is-alarm next more state state-torn state-intact state-unsure
		state-open dose unit beside facts because ask caution problem field hint source births birth birth-number
		birth-bed birth-since birth-stand tools tool alarm alarm-unknown alarm-none alarm-watch alarm-act
		alarm-crisis steps log grade-badge range untranslated quiet row`) {
		if !regexp.MustCompile(`\.` + class + `[^a-z-]`).MatchString(css) {
			t.Errorf("style.css does not dress .%s", class)
		}
	}
}

func TestStyleSheetLoadsNothing(t *testing.T) {
	css := styleSheet(t)
	for _, bad := range []string{"url(", "@import", "@font-face", "animation:", "blink"} {
		if strings.Contains(strings.ReplaceAll(css, "animation: none", ""), bad) {
			t.Errorf("style.css holds %q", bad)
		}
	}
	small := regexp.MustCompile(`font-size: (0\.[0-9]+|1(\.0[0-9]*)?)rem`)
	for _, line := range strings.Split(css, "\n") {
		if small.MatchString(line) && !strings.Contains(line, "font-size: 1rem;") {
			t.Errorf("text under 18 px: %s", line)
		}
	}
}
