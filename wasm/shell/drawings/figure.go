package drawings

import (
	"strconv"
	"strings"
	"sync"
)

var figures = sync.OnceValue(func() map[string]string { return parts(read("figures")) })

// Figures lists the names that Figure knows.
func Figures() []string {
	return strings.Fields("infiltrate_tear infiltrate_cut infiltrate_fingers aspirate pinch_test")
}

// Figure returns one act of the hand, large: infiltrate_tear (the needle along
// both edges, as a fan), infiltrate_cut (along the line of the cut, then to both
// sides), infiltrate_fingers (two fingers between the needle and the baby's
// head), aspirate (draw back, look for blood), pinch_test. It is hidden from
// screen readers: the words beside it say it. It returns "" where there is none.
func Figure(name string) string {
	body := figures()[name]
	if body == "" {
		return ""
	}
	return frame("figure", square, "2.5") + body + "</svg>"
}

// Named finds a drawing by the key that a guidance item carries: the name of an
// icon, of a figure, or of a layer's frame as "vaginal_mucosa/2". It returns ""
// where there is none.
func Named(key string) string {
	if layer, step, ok := strings.Cut(key, "/"); ok {
		n, err := strconv.Atoi(step)
		if err != nil {
			return ""
		}
		return Layer(layer, n)
	}
	if figure := Figure(key); figure != "" {
		return figure
	}
	return Icon(key)
}
