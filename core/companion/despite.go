package companion

import (
	"slices"
	"strings"

	"fourchette/core/birth"
	"fourchette/core/course"
)

// The codes of what waits for words before it is written down.
const (
	FaultGateOpen  = "gate_open"  // detail: the gates that are open; the request may name them in despite
	FaultStillOpen = "still_open" // detail: what is open; the request may name it in open_known
)

// known lets a deed be written down although something is open, if the request
// names all of it: what was done is never refused, and that it was done so is
// an event of its own, right before the deed's. It is written first, so that
// a disk that fails between the two leaves no deed that looks in order.
func (c *Companion) known(id string, d birth.Despite, said []string, refusal Fault) error {
	if len(d.Open) == 0 {
		return nil
	}
	for _, key := range d.Open {
		if !slices.Contains(said, key) {
			refusal.Detail = strings.Join(d.Open, " ")
			return &refusal
		}
	}
	_, err := c.write(id, birth.KindDespite, func(e *birth.Event) { e.Despite = &d })
	return err
}

// heldBack asks for the gates that stand open before a stitch is written down.
func (c *Companion) heldBack(b *birth.Birth, deed, layer string, said []string) error {
	d := birth.Despite{Deed: deed, Of: layer, Open: gateKeys(c.facts(b).BeforeLayer(layer))}
	return c.known(b.ID, d, said, Fault{Code: FaultGateOpen, Field: "despite"})
}

func gateKeys(gates []course.Gate) (keys []string) {
	for _, g := range gates {
		keys = append(keys, g.Key)
	}
	return keys
}

// showDespite shows what was written down although something was open, and what
// was open when the record was closed. A record that an older program closed
// tells what is open in it now.
func showDespite(out *BirthReply, b *birth.Birth, f course.Facts) {
	for _, d := range b.Despites {
		out.Despites = append(out.Despites, DespiteReply{Deed: d.Deed, Of: d.Of, Open: d.Open, At: stamp(d.Wall)})
	}
	switch {
	case !b.Closed:
		out.StillOpen = f.Unfinished()
	case b.LeftOpen != nil:
		out.StillOpen = b.LeftOpen
	default:
		out.StillOpen = lasting(f.Unfinished())
	}
}

// lasting leaves out what only time has opened since.
func lasting(keys []string) []string {
	return slices.DeleteFunc(keys, func(key string) bool { return strings.HasPrefix(key, course.TimerOpen) })
}
