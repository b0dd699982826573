package urlform_test

import (
	"maps"
	"net/url"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fourchette/wasm/pages/urlform"
)

// same holds what a text is read as, and what that is written as, to net/url.
func same(t interface{ Errorf(string, ...any) }, text string) {
	want, _ := url.ParseQuery(text)
	got := urlform.Parse(text)
	if !maps.EqualFunc(got, want, slices.Equal) {
		t.Errorf("%q is read as %q, want %q", text, got, want)
	}
	if got.Encode() != want.Encode() {
		t.Errorf("%q is written as %q, want %q", text, got.Encode(), want.Encode())
	}
	for name := range want {
		if got.Get(name) != want.Get(name) || got.Has(name) != want.Has(name) {
			t.Errorf("%q of %q is %q, want %q", name, text, got.Get(name), want.Get(name))
		}
	}
}

func TestAsNetURLDoes(t *testing.T) {
	for _, text := range []string{"", "a", "a=", "=a", "=", "a=1&a=2&b=3", "&&a=1&", "a=1=2", "a=%", "a=%4", "a=%zz", "a=%+1", "%41=%e2%82%ac", "a=1;b=2&c=3", "a+b=c+d", "a=%2B%26%3d"} {
		same(t, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		same(t, rapid.StringMatching(`([a-c]{0,2}|%[0-9a-fA-Fg]{0,2}|[=&;+é]){0,12}`).Draw(t, "text"))
		any := rapid.String().Draw(t, "any")
		if urlform.Escape(any) != url.QueryEscape(any) {
			t.Errorf("%q is escaped as %q, want %q", any, urlform.Escape(any), url.QueryEscape(any))
		}
	})
}

func TestValues(t *testing.T) {
	v := urlform.Parse("a=1&b=2&b=3")
	v.Set("b", "4")
	v.Del("a")
	if v.Encode() != "b=4" || v.Has("a") || v.Get("a") != "" {
		t.Errorf("%q", v)
	}
}
