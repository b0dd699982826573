package tear

import "fourchette/core/arrange"

// ask lists what was not examined or left unsure, the most telling first. The
// rectal examination leads while nobody has said anything about it, since
// without it no answer about the sphincters holds; once declined it is not
// asked again. What was looked at and found intact is not asked again either:
// without the examination a second look could not settle it.
func ask(exam RectalExam, r readings) []string {
	var list []string
	if exam != RectalDone && exam != RectalDeclined {
		list = append(list, RectalExamination)
	}
	for _, q := range questions(r) {
		list = append(list, names[q.part])
	}
	return list
}

// question is an open finding and what asking it would leave.
type question struct {
	part    part
	width   int // the widths left by each answer, added up
	answers int // how many answers are possible
}

// questions sorts the open findings by the average width of the range left
// after an answer; the order of parts settles ties.
func questions(r readings) []question {
	var list []question
	as := r.spans(true)
	for p := range parts {
		if as[p].open() {
			list = append(list, weigh(p, as[p], as))
		}
	}
	arrange.By(list, func(a, b question) int {
		return a.width*b.answers - b.width*a.answers // averages, without fractions
	})
	return list
}

// weigh tries every answer that is still possible for p. The others are taken
// as if the rectal examination were done, since an answer holds only then.
func weigh(p part, may span, others spans) question {
	q := question{part: p}
	for d := may.least; d <= may.most; d++ {
		others[p] = span{d, d}
		q.width += others.width()
		q.answers++
	}
	return q
}
