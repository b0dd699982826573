package tear

import "strconv"

// UnknownWordError says that a field holds a word that is not in its list.
type UnknownWordError struct {
	Field string // the request key, such as "perineal_skin"
	Word  string // as it was given
}

func (e *UnknownWordError) Error() string {
	return e.Field + ": " + strconv.Quote(e.Word) + " is not one of its words; use " + wordsOf(e.Field) + ", or leave it out"
}

func wordsOf(field string) string {
	switch field {
	case ExternalSphincter:
		return "intact, under_half, half_or_more, through or unsure"
	case RectalExamination:
		return "done or declined"
	}
	return "intact, torn or unsure"
}

// Validate returns an *UnknownWordError for the first field with an unknown
// word, nil when there is none. No word at all is not an error.
func (f Findings) Validate() error {
	for _, x := range []struct {
		field string
		word  Finding
	}{
		{PerinealSkin, f.PerinealSkin},
		{VaginalMucosa, f.VaginalMucosa},
		{PerinealMuscle, f.PerinealMuscle},
		{InternalSphincter, f.InternalSphincter},
		{AnorectalMucosa, f.AnorectalMucosa},
	} {
		if x.word != NotExamined && x.word.reading().state == absent {
			return &UnknownWordError{x.field, string(x.word)}
		}
	}
	if e := f.ExternalSphincter; e != ExternalNotExamined && e.reading().state == absent {
		return &UnknownWordError{ExternalSphincter, string(e)}
	}
	switch f.RectalExam {
	case RectalNotSaid, RectalDone, RectalDeclined:
		return nil
	}
	return &UnknownWordError{RectalExamination, string(f.RectalExam)}
}
