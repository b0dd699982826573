package pack

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/tinylib/msgp/msgp"
)

func sample() Pack {
	return Pack{
		Schema: 1, ID: "example", Version: "1",
		Choices: Choices{AnaestheticSource: "lowest", Agents: []string{"lidocaine"}, Mixing: "strictest"},
		Pages: []Page{
			{Key: "bleeding", Items: []Item{
				{Kind: Step, Key: "call", Source: "common practice, no source", Read: "FOUND", Link: "referral", Drawing: "uterus"},
				{Kind: Note, Key: "why"},
			}},
			{Key: "empty"},
		},
	}
}

func stored(t testing.TB, p Pack) []byte {
	t.Helper()
	b, err := p.Store()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestStoredIsLoadedAgain(t *testing.T) {
	b := stored(t, sample())
	p, err := Load(b)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Pages) != 2 || p.Pages[0].Items[0].Link != "referral" || p.Choices.Agents[0] != "lidocaine" {
		t.Errorf("loaded %+v", p)
	}
	if !bytes.Equal(stored(t, p), b) {
		t.Error("stored again, the bytes differ")
	}
}

func TestEmptyListsHaveOneForm(t *testing.T) {
	p := sample()
	p.Choices.Agents, p.Pages = nil, nil
	with := stored(t, p)
	p.Choices.Agents, p.Pages = []string{}, []Page{}
	if !bytes.Equal(with, stored(t, p)) {
		t.Error("no list and an empty list are written differently")
	}
	if _, err := Load(with); err != nil {
		t.Error(err)
	}
}

func TestCutAnywhereIsRefused(t *testing.T) {
	b := stored(t, sample())
	for n := range b {
		if p, err := Load(b[:n]); !errors.Is(err, ErrMalformed) || p.ID != "" {
			t.Fatalf("cut at %d: %+v, %v", n, p, err)
		}
	}
	if _, err := Load(append(bytes.Clone(b), 0xc0)); !errors.Is(err, ErrMalformed) {
		t.Errorf("a byte after the end: %v", err)
	}
}

func TestAlteredAnywhereIsRefusedOrCanonical(t *testing.T) {
	b := stored(t, sample())
	for i := range b {
		for _, x := range []byte{0x01, 0x20, 0x80, 0xff} {
			c := bytes.Clone(b)
			c[i] ^= x
			p, err := Load(c)
			if err == nil && !bytes.Equal(stored(t, p), c) {
				t.Fatalf("byte %d: accepted but written otherwise", i)
			}
			if err != nil && (p.ID != "" || p.Pages != nil) {
				t.Fatalf("byte %d: refused but something was handed out", i)
			}
		}
	}
}

func TestNewerIsNotDamaged(t *testing.T) {
	newer := msgp.AppendMapHeader(nil, 2)
	newer = msgp.AppendString(newer, "schema")
	newer = msgp.AppendUint64(newer, 2)
	newer = msgp.AppendString(newer, "pages")
	newer = msgp.AppendString(newer, "no longer a list")
	if _, err := Load(newer); !errors.Is(err, ErrTooNew) || errors.Is(err, ErrMalformed) {
		t.Errorf("a newer pack: %v", err)
	}
}

func TestUnknownAndRepeatedKeysAreRefused(t *testing.T) {
	b := stored(t, sample())
	for name, extra := range map[string]string{"unknown": "colour", "repeated": "id"} {
		c := bytes.Clone(b)
		c[0]++ // one more entry in the map
		c = msgp.AppendString(c, extra)
		c = msgp.AppendString(c, "x")
		if _, err := Load(c); !errors.Is(err, ErrMalformed) {
			t.Errorf("%s key: %v", name, err)
		}
	}
}

func TestLongListsAreRefusedBeforeAllocating(t *testing.T) {
	b := msgp.AppendMapHeader(nil, 2)
	b = msgp.AppendString(b, "schema")
	b = msgp.AppendUint8(b, 1)
	b = msgp.AppendString(b, "pages")
	b = append(b, 0xdd, 0xff, 0xff, 0xff, 0xff) // claims four thousand million pages
	allocated := testing.AllocsPerRun(5, func() { _, _ = Load(b) })
	if _, err := Load(b); !errors.Is(err, ErrMalformed) || allocated > 50 {
		t.Errorf("%v, %v allocations", err, allocated)
	}
	if _, err := Load(make([]byte, MaxBytes+1)); !errors.Is(err, ErrMalformed) {
		t.Errorf("too large: %v", err)
	}
}

// Run this with GOARCH=386 too: there the decoder takes such lengths for
// negative numbers.
func TestLengthsOfGigabytesAreRefused(t *testing.T) {
	for _, lead := range []byte{0xc6, 0xc9, 0xdb} {
		for _, length := range []byte{0x7f, 0x80, 0xff} {
			long := []byte{lead, length, 0xff, 0xff, 0xff, 'a', 'b'}
			as := map[string][]byte{"all": long, "first key": append([]byte{0x81}, long...)}
			b := msgp.AppendMapHeader(nil, 2)
			b = msgp.AppendString(b, "schema")
			b = msgp.AppendUint8(b, 1)
			as["a key"] = append(bytes.Clone(b), long...)
			as["id"] = append(msgp.AppendString(bytes.Clone(b), "id"), long...)
			for name, b := range as {
				if p, err := Load(b); !errors.Is(err, ErrMalformed) || p.Schema != 0 {
					t.Errorf("%x as %s: %v", long, name, err)
				}
			}
		}
	}
}

func TestWhatCannotBeStored(t *testing.T) {
	for name, spoil := range map[string]func(*Pack){
		"schema 0":          func(p *Pack) { p.Schema = 0 },
		"schema 2":          func(p *Pack) { p.Schema = 2 },
		"no id":             func(p *Pack) { p.ID = "" },
		"no version":        func(p *Pack) { p.Version = "" },
		"id not UTF-8":      func(p *Pack) { p.ID = "a\xff" },
		"page twice":        func(p *Pack) { p.Pages[1].Key = p.Pages[0].Key },
		"page with a dot":   func(p *Pack) { p.Pages[0].Key = "a.b" },
		"item twice":        func(p *Pack) { p.Pages[0].Items[1].Key = "call" },
		"item without name": func(p *Pack) { p.Pages[0].Items[0].Key = "" },
		"unknown kind":      func(p *Pack) { p.Pages[0].Items[0].Kind = "steps" },
		"step, no source":   func(p *Pack) { p.Pages[0].Items[0].Source = "" },
		"source, two lines": func(p *Pack) { p.Pages[0].Items[0].Source = "a\nb" },
		"read not UTF-8":    func(p *Pack) { p.Pages[0].Items[0].Read = "\xc3" },
		"agent twice":       func(p *Pack) { p.Choices.Agents = []string{"a", "a"} },
		"agent in capitals": func(p *Pack) { p.Choices.Agents = []string{"A"} },
		"mixing in words":   func(p *Pack) { p.Choices.Mixing = "the strictest" },
		"too large":         func(p *Pack) { p.Pages[0].Items[0].Source = strings.Repeat("a", MaxBytes) },
	} {
		p := sample()
		spoil(&p)
		if b, err := p.Store(); !errors.Is(err, ErrMalformed) || b != nil {
			t.Errorf("%s: %v", name, err)
		}
		raw, err := p.MarshalMsg(nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Load(raw); err == nil {
			t.Errorf("%s: loaded all the same", name)
		}
	}
}

func FuzzLoad(f *testing.F) {
	f.Add(stored(f, sample()))
	f.Add(stored(f, Pack{Schema: 1, ID: "a", Version: "b"}))
	f.Add([]byte{0x81, 0xa6, 's', 'c', 'h', 'e', 'm', 'a', 2})
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Load(b)
		if err != nil {
			if p.ID != "" || p.Pages != nil {
				t.Fatal("refused, but something was handed out")
			}
			return
		}
		if again := stored(t, p); !bytes.Equal(again, b) {
			t.Fatalf("accepted %x, stored %x", b, again)
		}
	})
}
