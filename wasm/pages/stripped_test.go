package pages

import "testing"

func TestStripped(t *testing.T) {
	const markup = `a &lt;b&gt; <span class="num" dir="ltr">2 <b>mL</b></span> c <time class="num due"><i>12:00</i></time>`
	for _, c := range []struct {
		isolate bool
		want    string
	}{
		{false, "a <b> 2 mL c 12:00"},
		{true, "a <b> \u20662 mL\u2069 c \u206612:00\u2069"},
	} {
		if got := stripped(markup, c.isolate); got != c.want {
			t.Errorf("isolate %v: %q, wanted %q", c.isolate, got, c.want)
		}
	}
	if got := stripped("a < b", true); got != "a " {
		t.Errorf("a tag that never ends: %q", got)
	}
}
