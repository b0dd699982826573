package plural

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"sort"
	"strconv"
	"testing"
)

// The samples of CLDR 48 that tell the languages apart: nought, the millions of
// the Romance languages, the hundreds of Arabic, and numbers written with decimals.
func TestSamples(t *testing.T) {
	cases := []struct{ lang, number, want string }{
		{"en", "0", "other"}, {"en", "1", "one"}, {"en", "1.0", "other"},
		{"fr", "0", "one"}, {"fr", "1.5", "one"}, {"fr", "2", "other"}, {"fr", "1000000", "many"},
		{"pt", "0", "one"}, {"pt-PT", "0", "other"}, {"pt-PT", "1", "one"}, {"pt-BR", "0", "one"},
		{"es", "0", "other"}, {"es", "1.0", "one"}, {"es", "1000000", "many"},
		{"hi", "0", "one"}, {"hi", "0.5", "one"}, {"hi", "1.5", "other"},
		{"ar", "0", "zero"}, {"ar", "2", "two"}, {"ar", "11", "many"}, {"ar", "100", "other"}, {"ar", "103", "few"},
		{"ar-EG", "3", "few"}, {"yo", "1", "other"}, {"ln", "0", "one"}, {"mg", "2", "other"},
		{"ha", "1.0", "one"}, {"sw", "1.0", "other"},
	}
	for _, c := range cases {
		rule, ok := For(c.lang)
		if !ok {
			t.Fatalf("no rule for %s", c.lang)
		}
		got, ok := rule.Decimal(c.number)
		if !ok || got.String() != c.want {
			t.Errorf("%s %s: got %s, want %s", c.lang, c.number, got, c.want)
		}
	}
}

func TestUnknownLanguageIsNotGuessed(t *testing.T) {
	for _, tag := range []string{"", "xx", "english", "-", "e", "xx-en"} {
		if _, ok := For(tag); ok {
			t.Errorf("%q has a rule", tag)
		}
	}
}

func TestDecimalRefuses(t *testing.T) {
	rule, _ := For("en")
	for _, s := range []string{"", ".", "1.", ".5", "1,5", "-1", "1.2.3", "1e6", "٣", "1234567890123456789"} {
		if c, ok := rule.Decimal(s); ok || c != Other {
			t.Errorf("%q gave %s", s, c)
		}
	}
}

func TestCountIgnoresTheSign(t *testing.T) {
	rule, _ := For("ar")
	for _, n := range []int{0, 1, 2, 3, 11, 100} {
		if rule.Count(n) != rule.Count(-n) {
			t.Errorf("%d and %d differ", n, -n)
		}
	}
	if got := rule.Count(math.MinInt32); got != Many {
		t.Errorf("the smallest number of 32 bits ends in 48: got %s, want many", got)
	}
}

// makePlural is the independent implementation of CLDR 48: it prints, for each
// language, its categories and the category of each number asked about.
const makePlural = `
const cardinals = require('make-plural/cardinals');
const categories = require('make-plural/pluralCategories');
const asked = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const pick = (from, tag) => (from.default || from)[tag.replace('-', '_')];
console.log(JSON.stringify(asked.languages.map(tag => ({
	tag,
	categories: pick(categories, tag).cardinal,
	numbers: asked.numbers.map(n => pick(cardinals, tag)(n)),
}))));`

type judged struct {
	Tag        string   `json:"tag"`
	Categories []string `json:"categories"`
	Numbers    []string `json:"numbers"`
}

func TestAgainstAnotherImplementation(t *testing.T) {
	numbers := numbersToCompare()
	answers := askMakePlural(t, numbers)
	if len(answers) != len(rules) {
		t.Fatalf("%d languages answered, %d have a rule", len(answers), len(rules))
	}
	for _, a := range answers {
		rule, ok := For(a.Tag)
		if !ok || len(a.Numbers) != len(numbers) {
			t.Fatalf("%s: rule %v, %d of %d numbers answered", a.Tag, ok, len(a.Numbers), len(numbers))
		}
		if got := categoryNames(rule); !slices.Equal(got, sorted(a.Categories)) {
			t.Errorf("%s: categories %v, want %v", a.Tag, got, a.Categories)
		}
		for i, number := range numbers {
			if got, ok := rule.Decimal(number); !ok || got.String() != a.Numbers[i] {
				t.Errorf("%s %s: got %s, want %s", a.Tag, number, got, a.Numbers[i])
			}
		}
	}
}

// numbersToCompare are whole numbers past every modulus in the rules, and each
// small one again with decimals that are nought or not.
func numbersToCompare() []string {
	var numbers []string
	for n := 0; n <= 1300; n++ {
		numbers = append(numbers, strconv.Itoa(n))
	}
	for _, n := range []int{9999, 10003, 100000, 999999, 1000000, 1000001, 1500000, 2000000, 10000000, 1000000000} {
		numbers = append(numbers, strconv.Itoa(n))
	}
	for n := 0; n <= 120; n++ {
		for _, decimals := range []string{"0", "00", "1", "5", "50", "01", "10"} {
			numbers = append(numbers, fmt.Sprintf("%d.%s", n, decimals))
		}
	}
	return append(numbers, "1000000.0", "1000000.5")
}

func askMakePlural(t *testing.T, numbers []string) []judged {
	t.Helper()
	asked, err := json.Marshal(map[string][]string{"languages": Languages(), "numbers": numbers})
	if err != nil {
		t.Fatal(err)
	}
	node := exec.Command("node", "-e", makePlural)
	node.Dir = "../../wasm"
	node.Stdin = bytes.NewReader(asked)
	var complaint bytes.Buffer
	node.Stderr = &complaint
	out, err := node.Output()
	if err != nil {
		t.Fatalf("node could not run make-plural, run `npm ci` in wasm/ first: %v\n%s", err, complaint.String())
	}
	var answers []judged
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatalf("make-plural answered %q: %v", out, err)
	}
	return answers
}

func categoryNames(r Rule) []string {
	var names []string
	for _, c := range r.Categories() {
		names = append(names, c.String())
	}
	return sorted(names)
}

func sorted(names []string) []string {
	names = slices.Clone(names)
	sort.Strings(names)
	return names
}
