package birth

import (
	"cmp"
	"slices"
)

// Said is when something was said. Place is its event's index in the birth's
// Log: what depends on something compares places, never clocks. Wall is the
// wall clock, milliseconds since 1970.
type Said struct {
	Place int
	Wall  int64
}

// Answered is the answer that stands to one question.
type Answered struct {
	Answer
	Said
}

// Counted is one count, in the order of the log.
type Counted struct {
	Count
	Said
}

// Layered is the last word on one layer.
type Layered struct {
	Layer
	Said
}

// Visited is the last word on one visit.
type Visited struct {
	Visit
	Said
}

// Despited is something that was written down although something was open.
type Despited struct {
	Despite
	Said
}

// AnswerTo is the answer that stands to a question; nil while there is none.
func (b *Birth) AnswerTo(question string) *Answered {
	if at, found := place(b.Answers, question); found {
		return &b.Answers[at]
	}
	return nil
}

// named is something of which the last word for each name stands.
type named interface{ name() string }

func (a Answered) name() string { return a.Question }
func (l Layered) name() string  { return l.Layer.Layer }
func (v Visited) name() string  { return v.Key }

// say enters an event of the way, whose body was checked.
func (b *Birth) say(e Event, place int) {
	said := Said{Place: place, Wall: e.Wall}
	switch e.Kind {
	case KindAnswer:
		if e.Answer.Kind == AnswerTakenBack {
			b.Answers = without(b.Answers, e.Answer.Question)
			return
		}
		b.Answers = put(b.Answers, Answered{*e.Answer, said})
	case KindCount:
		b.Counts = append(b.Counts, Counted{*e.Count, said})
	case KindLayer:
		b.Layers = put(b.Layers, Layered{*e.Layer, said})
	case KindVisit:
		b.Visits = put(b.Visits, Visited{*e.Visit, said})
	case KindDespite:
		b.Despites = append(b.Despites, Despited{*e.Despite, said})
	}
}

func place[T named](list []T, name string) (int, bool) {
	return slices.BinarySearchFunc(list, name, func(t T, name string) int { return cmp.Compare(t.name(), name) })
}

// put sets the last word under its name, in the order of names.
func put[T named](list []T, word T) []T {
	at, found := place(list, word.name())
	if found {
		list[at] = word
		return list
	}
	return slices.Insert(list, at, word)
}

// without leaves nil for the last one, as if nothing had been said.
func without[T named](list []T, name string) []T {
	at, found := place(list, name)
	if !found {
		return list
	}
	if len(list) == 1 {
		return nil
	}
	return slices.Delete(list, at, at+1)
}
