package main

import (
	"errors"
	"io"
	"strings"
	"unicode"

	"fourchette/i18n/plural"
	"fourchette/i18n/tables"
)

// pseudo is the command pseudo: it writes two languages that nobody speaks, for
// tests of screens only. en-XA is English with accents, four tenths longer, in
// brackets, so that cut or untranslated text stands out; ar-XB is right to left
// in Arabic letters. Figures, units and placeholders stay as they are.
func pseudo(at places, say io.Writer) error {
	if at.out == "" {
		return errors.New("say where to write: packer pseudo -out DIR")
	}
	src, err := readSource(at)
	if err != nil {
		return err
	}
	return writeTables(at.out, []*tables.Compiled{
		src.pseudo("en-XA", "ltr", "[Èñĝļîšĥ]", accented),
		src.pseudo("ar-XB", "rtl", "عربية", mirrored),
	}, say)
}

func (s *source) pseudo(lang, dir, name string, change func(string) string) *tables.Compiled {
	rule, _ := plural.For(lang)
	c := &tables.Compiled{Lang: lang, Dir: dir, Name: name, Draft: true}
	for _, u := range s.units {
		forms := []string{change(u.english)}
		if u.plural != "" {
			forms = pluralPseudo(u, rule.Categories(), change)
		}
		c.Entries = append(c.Entries, tables.Entry{Key: u.key, Forms: typesetAll(lang, dir, forms)})
	}
	return sortEntries(c)
}

// pluralPseudo gives the English form for one to the category one and the other
// English form to every other category.
func pluralPseudo(u unit, categories []plural.Category, change func(string) string) []string {
	var forms []string
	for _, category := range categories {
		if category == plural.One {
			forms = append(forms, change(u.english))
		} else {
			forms = append(forms, change(u.plural))
		}
	}
	return forms
}

const (
	latin   = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
	accents = "àƀçðéƒĝĥîĵķļɱñöþǫŕšţûṽŵẋýžÀƁÇÐÉƑĜĤÎĴĶĻṀÑÖÞǪŔŠŢÛṼŴẊÝŽ"
	arabics = "ابجدهفغحيجكلمنوبقرستوفوكيزابجدهفغحيجكلمنوبقرستوفوكيز"
)

func accented(text string) string {
	changed := mapLetters(text, accents)
	letters := 0
	for _, r := range text {
		if unicode.IsLetter(r) {
			letters++
		}
	}
	pad := strings.Repeat("ẋ", 4)
	filler := ""
	for n := (letters*4 + 9) / 10; n > 0; n -= 5 {
		filler += " " + pad[:len("ẋ")*min(n, 4)]
	}
	return "[" + changed + filler + "]"
}

func mirrored(text string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ',':
			return '،'
		case '?':
			return '؟'
		case ';':
			return '؛'
		}
		return r
	}, mapLetters(text, arabics))
}

// mapLetters puts the letters of another alphabet for the Latin ones, save in
// placeholders and in the unit behind a figure or a placeholder.
func mapLetters(text, alphabet string) string {
	from, to := []rune(latin), []rune(alphabet)
	swap := map[rune]rune{}
	for i, r := range from {
		swap[r] = to[i]
	}
	r := []rune(text)
	for i := 0; i < len(r); i++ {
		switch {
		case r[i] == '{':
			for i < len(r) && r[i] != '}' {
				i++
			}
			i += keep(r[min(i+1, len(r)):])
		case unicode.Is(unicode.Nd, r[i]):
			if i+1 == len(r) || !unicode.Is(unicode.Nd, r[i+1]) {
				i += keep(r[i+1:])
			}
		case swap[r[i]] != 0:
			r[i] = swap[r[i]]
		}
	}
	return string(r)
}

// keep gives the length of the unit, and the space before it, that a text begins with.
func keep(r []rune) int {
	if unitAt(r, symbols) == "" {
		return 0
	}
	n := 1
	for n < len(r) && (unicode.IsLetter(r[n]) || strings.ContainsRune("/%°", r[n])) {
		n++
	}
	return n
}
