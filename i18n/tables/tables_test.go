package tables

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// english and french are a small source and a translation with one gap.
func english() *Compiled {
	return &Compiled{Lang: "en", Dir: "ltr", Name: "English", Entries: []Entry{
		{"births", []string{"{n} birth at {bed}", "{n} births at {bed}"}},
		{"dose", []string{"{ml} mL of {limit} mL"}},
		{"only_here", []string{"Only here"}},
		{"swabs", []string{"{n} swab", "{n} swabs"}},
	}}
}

func french() *Compiled {
	return &Compiled{Lang: "fr", Dir: "ltr", Name: "français", Draft: true, Entries: []Entry{
		{"births", []string{"{n} accouchement, {bed}", "{n} d’accouchements, {bed}", "{n} accouchements, {bed}"}},
		{"dose", []string{"{ml} mL sur {limit} mL"}},
	}}
}

func load(t *testing.T, c *Compiled) *Table {
	t.Helper()
	b, err := Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	table, err := Load(b)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func TestBook(t *testing.T) {
	en, fr := load(t, english()), load(t, french())
	cases := []struct {
		name string
		book *Book
		got  func(*Book) Text
		want Text
	}{
		{"translated", NewBook(en, fr), func(b *Book) Text { return b.Text("dose", "ml", "18", "limit", "20") },
			Text{"18 mL sur 20 mL", "fr", false}},
		{"falls back and says so", NewBook(en, fr), func(b *Book) Text { return b.Text("only_here") },
			Text{"Only here", "en", true}},
		{"the source itself is not a fallback", NewBook(en, nil), func(b *Book) Text { return b.Text("only_here") },
			Text{"Only here", "en", false}},
		{"missing everywhere", NewBook(en, fr), func(b *Book) Text { return b.Text("nowhere") },
			Text{"⟦nowhere⟧", "en", true}},
		{"a placeholder without a value stays in sight", NewBook(en, fr), func(b *Book) Text { return b.Text("dose", "ml", "18") },
			Text{"18 mL sur {limit} mL", "fr", true}},
		{"a value is not filled again", NewBook(en, nil), func(b *Book) Text { return b.Text("dose", "ml", "{limit}", "limit", "1") },
			Text{"{limit} mL of 1 mL", "en", false}},
		{"a plural without a number has no answer", NewBook(en, nil), func(b *Book) Text { return b.Text("swabs") },
			Text{"⟦swabs⟧", "en", true}},
		{"English nought is plural", NewBook(en, nil), func(b *Book) Text { return b.Count("births", 0, "bed", "A") },
			Text{"0 births at A", "en", false}},
		{"French nought is singular", NewBook(en, fr), func(b *Book) Text { return b.Count("births", 0, "bed", "A") },
			Text{"0 accouchement, A", "fr", false}},
		{"French millions", NewBook(en, fr), func(b *Book) Text { return b.Count("births", 1000000, "bed", "A") },
			Text{"1000000 d’accouchements, A", "fr", false}},
		{"a count that falls back uses the source's rule", NewBook(en, fr), func(b *Book) Text { return b.Count("swabs", 0) },
			Text{"0 swabs", "en", true}},
		{"a text of one form takes any number", NewBook(en, nil), func(b *Book) Text { return b.Count("only_here", 3) },
			Text{"Only here", "en", false}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := c.got(c.book); got != c.want {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
		})
	}
}

func TestTableTellsItsLanguage(t *testing.T) {
	fr := load(t, french())
	if fr.Lang != "fr" || fr.Dir != "ltr" || fr.Name != "français" || !fr.Draft {
		t.Errorf("got %q %q %q draft %v", fr.Lang, fr.Dir, fr.Name, fr.Draft)
	}
	if want := []string{"births", "dose"}; !slices.Equal(fr.Keys(), want) {
		t.Errorf("keys %q, want %q", fr.Keys(), want)
	}
	book := NewBook(load(t, english()), fr)
	if book.Table() != fr || !book.Has("only_here") || book.Has("nowhere") {
		t.Error("the book does not know its language or its keys")
	}
}

func TestLoadRefuses(t *testing.T) {
	good, err := Encode(english())
	if err != nil {
		t.Fatal(err)
	}
	newer := append([]byte(nil), good...)
	newer[len(magic)] = version + 1
	unwritten := append([]byte(nil), good...)
	unwritten[len(magic)] = 0
	cases := []struct {
		name string
		file []byte
		want error
	}{
		{"nothing", nil, ErrNotOurs},
		{"another file", []byte("PK\x03\x04 and more bytes than the magic takes"), ErrNotOurs},
		{"magic alone", []byte(magic), ErrNotOurs},
		{"version never written", unwritten, ErrNotOurs},
		{"newer", newer, ErrTooNew},
		{"cut", good[:len(good)-1], ErrDamaged},
		{"bytes after the end", append(append([]byte(nil), good...), 0), ErrDamaged},
		{"too large", append(append([]byte(nil), good...), make([]byte, maxSize)...), ErrDamaged},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if table, err := Load(c.file); !errors.Is(err, c.want) || table != nil {
				t.Errorf("got table %v and error %v, want %v", table, err, c.want)
			}
		})
	}
}

func TestEncodeAndLoadHoldTheSameRules(t *testing.T) {
	cases := []struct {
		name  string
		spoil func(*Compiled)
		says  string
	}{
		{"language without a rule", func(c *Compiled) { c.Lang = "xx" }, "plural rule"},
		{"direction", func(c *Compiled) { c.Dir = "" }, "direction"},
		{"no name", func(c *Compiled) { c.Name = "" }, "name"},
		{"out of order", func(c *Compiled) { c.Entries[0].Key = "z" }, "out of order"},
		{"twice", func(c *Compiled) { c.Entries[1].Key = "births" }, "twice"},
		{"too many forms", func(c *Compiled) { c.Entries[1].Forms = []string{"a", "b", "c"} }, "3 forms"},
		{"no form", func(c *Compiled) { c.Entries[1].Forms = nil }, "0 forms"},
		{"empty form", func(c *Compiled) { c.Entries[1].Forms = []string{""} }, "empty"},
		{"not UTF-8", func(c *Compiled) { c.Entries[1].Forms = []string{"\xff"} }, "UTF-8"},
		{"stray brace", func(c *Compiled) { c.Entries[1].Forms = []string{"{Mg}"} }, "brace"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			table := english()
			c.spoil(table)
			if b, err := Encode(table); err == nil || b != nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("Encode: got %d bytes and error %v, want an error about %q", len(b), err, c.says)
			}
			raw, err := table.MarshalMsg(append([]byte(magic), version))
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Load(raw); !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("Load: got error %v, want ErrDamaged about %q", err, c.says)
			}
		})
	}
}

func TestHoles(t *testing.T) {
	good := map[string][]string{
		"":                   nil,
		"no hole":            nil,
		"{n}":                {"n"},
		"{n} of {limit_mg}.": {"n", "limit_mg"},
		"{a1}{a1}":           {"a1", "a1"},
	}
	for text, want := range good {
		if got, err := Holes(text); err != nil || !slices.Equal(got, want) {
			t.Errorf("Holes(%q) = %q, %v; want %q", text, got, err, want)
		}
	}
	for _, text := range []string{"{", "}", "{}", "{1}", "{A}", "{a b}", "{a", "{a{b}}", "a}"} {
		if got, err := Holes(text); !errors.Is(err, ErrBrace) || got != nil {
			t.Errorf("Holes(%q) = %q, %v; want ErrBrace", text, got, err)
		}
	}
}

// Whatever Load accepts encodes back to bytes that load to the same table;
// whatever it refuses gives no table.
func FuzzLoad(f *testing.F) {
	for _, c := range []*Compiled{english(), french(), {Lang: "ar", Dir: "rtl", Name: "العربية"}} {
		b, err := Encode(c)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Add([]byte(magic))
	f.Fuzz(func(t *testing.T, b []byte) {
		table, err := Load(b)
		if err != nil {
			if table != nil {
				t.Fatal("a refused file gave a table")
			}
			return
		}
		c := &Compiled{Lang: table.Lang, Dir: table.Dir, Name: table.Name, Draft: table.Draft, Entries: table.entries}
		again, err := Encode(c)
		if err != nil {
			t.Fatalf("what was accepted does not encode: %v", err)
		}
		twin, err := Load(again)
		if err != nil || !slices.Equal(twin.Keys(), table.Keys()) {
			t.Fatalf("what was encoded does not load: %v", err)
		}
		for _, key := range table.Keys() {
			for _, n := range []int{0, 1, 2, 3, 11, 100, 1000000, -1} {
				if table.form(key, n) == "" {
					t.Fatalf("key %q has no form for %d", key, n)
				}
			}
		}
	})
}

// Text with its placeholders filled by themselves is the text again.
func FuzzHoles(f *testing.F) {
	for _, s := range []string{"", "{n} of {limit_mg}", "{", "}{", "{a1} é {b}"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		holes, err := Holes(text)
		var pairs []string
		for _, h := range holes {
			pairs = append(pairs, h, "{"+h+"}")
		}
		filled, whole := fill(text, pairs)
		if filled != text || whole != (err == nil) {
			t.Fatalf("fill(%q) = %q, whole %v, Holes error %v", text, filled, whole, err)
		}
	})
}
