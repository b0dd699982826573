package pages

import (
	"strconv"

	h "fourchette/wasm/pages/markup"
)

// Keeping is what the browser says of what it keeps.
type Keeping struct {
	Known    bool  // it said so
	Promised bool  // it will not throw records away by itself
	Room     int64 // bytes for which it says that there is room
	Short    bool  // little could be had when it was tried
}

// little is the room under which the screen warns: some thousand births, and
// what the browser itself takes for an open file.
const little = 20_000_000

const mega, giga = 1_000_000, 1_000_000_000

func (k Keeping) short() bool { return k.Short || k.Room < little }

// keeping says what the browser has answered, in full.
func (v *visit) keeping() h.Node {
	k, about := v.asked(), v.about()
	switch {
	case v.app.host.Keeping == nil:
		return nil
	case !k.Known:
		return v.p("keeping.unknown")
	case k.Promised:
		return h.All(v.p("keeping.promised"), v.room(k))
	case about.Births == 0 && !about.Locked:
		return h.All(v.p("keeping.not_asked"), v.room(k))
	}
	return h.All(note("caution", v.p("keeping.refused"), v.p("keeping.private")), v.p("keeping.do"), v.room(k))
}

func (v *visit) asked() Keeping {
	if v.app.host.Keeping == nil {
		return Keeping{}
	}
	return v.app.host.Keeping()
}

func (v *visit) room(k Keeping) h.Node {
	switch {
	case k.short():
		return v.caution("keeping.short")
	case k.Room < giga:
		return v.p("keeping.room", "n", v.unitText("mb", strconv.FormatInt(k.Room/mega, 10)))
	}
	return v.p("keeping.room", "n", v.unitText("gb", strconv.FormatInt(k.Room/giga, 10)))
}

// keepingShort is what the list of births says of it: only what is wrong.
func (v *visit) keepingShort() h.Node {
	k := v.asked()
	switch {
	case !k.Known || v.about().Births == 0:
		return nil
	case k.short():
		return v.room(k)
	case !k.Promised:
		return note("caution", v.p("keeping.refused"), v.p("keeping.private"), more(v.link("/settings", "keeping.more")))
	}
	return nil
}
