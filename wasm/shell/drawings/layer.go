package drawings

import (
	"strconv"
	"strings"
	"sync"
)

// What the frames of a layer and the figures have in common: one square.
const square = "0 0 240 240"

var layers = sync.OnceValue(func() map[string]string { return parts(read("layers")) })

// Layers lists the layers that have frames, from deep to shallow, by the keys
// of the findings. The external sphincter has a second way, for an end that is
// torn through its full thickness.
func Layers() []string {
	return []string{"anorectal_mucosa", "internal_sphincter", "external_sphincter", "external_sphincter_overlap",
		"vaginal_mucosa", "perineal_muscle", "perineal_skin"}
}

// LayerSteps returns how many frames a layer has, 0 for one that is not drawn.
func LayerSteps(name string) int {
	for n := 0; ; n++ {
		if layers()[name+"/"+strconv.Itoa(n+1)] == "" {
			return n
		}
	}
}

// Layer returns frame step, counted from 1, of the needle's way through a
// layer: where to begin, how the needle goes, how the stitches lie, where it
// ends. It is hidden from screen readers: the step's own words say it. It
// returns "" for a frame that there is not.
//
// The attendant sees the wound as it lies before her, for a needle held in the
// right hand. A ring marks where to look, an arrow the way of the needle; a
// thread that lies under the tissue is broken. No length is drawn: published
// distances differ, and the text says the one that holds here.
func Layer(name string, step int) string {
	body := layers()[name+"/"+strconv.Itoa(step)]
	if body == "" {
		return ""
	}
	return frame("layer", square, "2.5") + layers()[ground(name)] + body + "</svg>"
}

// ground is what all frames of a layer lie on. Both ways of closing the
// external sphincter lie on the same.
func ground(name string) string {
	return strings.TrimSuffix(name, "_overlap") + "/ground"
}
