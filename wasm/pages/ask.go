package pages

import (
	"strings"

	"fourchette/core/companion"
)

// ask sends one topic. A fault is data: the page says it in place.
func (v *visit) ask(topic string, request, answer any) *companion.Fault {
	return v.app.host.Core.Ask(topic, request, answer)
}

// must is ask where only a fault of the program can refuse; Handle turns the
// panic into a screen.
func (v *visit) must(topic string, request, answer any) {
	if f := v.ask(topic, request, answer); f != nil {
		panic(f)
	}
}

// loadBirth is the record of a birth as it is now. What a redirect leads to
// sees what the tap before it saw, unless that wrote something.
func (v *visit) loadBirth(id string) (*companion.BirthReply, *companion.Fault) {
	if v.birth != nil && v.birth.Birth == id {
		return v.birth, nil
	}
	b := &companion.BirthReply{}
	f := v.ask("birth.show", &companion.BirthRequest{Birth: id}, b)
	if f == nil {
		v.birth = b
	}
	return b, f
}

// save sends a topic that writes. Its fault is shown in place.
func (v *visit) save(topic string, request any) (companion.SavedReply, *companion.Fault) {
	var s companion.SavedReply
	v.birth = nil
	f := v.ask(topic, request, &s)
	return s, f
}

// faultKey is the text for a fault: the one made for it and its field, for it
// alone, or the general one.
func (v *visit) faultKey(f *companion.Fault) string {
	if f == nil {
		return ""
	}
	if f.Code == companion.FaultAmount && ambiguous(f.Detail) {
		return "fault.amount_ambiguous"
	}
	for _, key := range []string{"fault." + f.Code + "_" + f.Field, "fault." + f.Code} {
		if v.book.Has(key) {
			return key
		}
	}
	return "fault.internal"
}

// whole is the fault of a field that takes whole numbers only.
func whole(field, typed string) *companion.Fault {
	if ambiguous(typed) {
		return &companion.Fault{Code: companion.FaultAmount, Field: field, Detail: typed}
	}
	return &companion.Fault{Code: notWhole, Field: field, Detail: typed}
}

const notWhole = "not_whole"

// ambiguous: one mark and three figures behind it, "1.500", may be one and a
// half or fifteen hundred; it was read as neither.
func ambiguous(typed string) bool {
	first, last, marked := strings.Cut(typed, ",")
	return marked && len(first) <= 3 && len(last) == 3 && strings.Trim(first+last, "0123456789") == ""
}

// faultAt is the text for a fault when it is about the named field.
func (v *visit) faultAt(f *companion.Fault, field string) string {
	if f == nil || f.Field != field {
		return ""
	}
	return v.faultKey(f)
}

// about is how the program stands. A program that cannot say may have a birth
// in progress.
func (v *visit) about() companion.AboutReply {
	var r companion.AboutReply
	if v.ask("companion.about", &companion.Nothing{}, &r) != nil {
		r.Open = -1
	}
	return r
}

// open counts the births in progress; where no records are kept there are
// none, and where they cannot be read there may be one.
func (v *visit) open() int { return openOf(v.about()) }

func openOf(about companion.AboutReply) int {
	if about.Open < 0 {
		return 1
	}
	return about.Open
}

// locked: the records are shut by a PIN.
func (v *visit) locked() bool { return v.about().Locked }
