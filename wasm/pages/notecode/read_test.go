package notecode_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// This file reads a note back by what the format says of it, and by nothing
// else: a card beside the phone is all that a stranger would have.

// A note as it is read. Words and figures are as they stand; a time is as in
// RFC 3339 to the minute, or "hour-unknown".
type note struct {
	incomplete             string
	number, bed            string
	tampon                 string
	tampons, since, told   string // "" unless one may be inside
	count                  string
	born                   string
	grade, settled, plan   string
	decided, toldReceiver  string
	exam, repair           string // consent
	lost, lostAt           string
	before, given, limit   string
	doses                  []dose
	tranexamic, antibiotic string
	other                  string // medicines
	allergy                []string
	which                  string
	found                  [8]string // cut, skin, vagina, muscle, rectal, EAS, IAS, bowel
	sewn                   []string
	pulse, pulseAt         string
	upper, lower, bpAt     string
	temperature            string
	temperatureAt          string
	uterus, uterusAt       string
	bleeding, bleedingAt   string
	placenta, instrument   string
	fgm                    string
	rectalAfter, stitch    string
	stitchThen             string
}

type dose struct{ agent, strength, form, ml, mg, at string }

// The lines in their order. A word has no space in it; what is free ends its
// line. Doses have their own lines, after "doses".
var lines = compiled(
	`FN3 note for practice(?: (INCOMPLETE))?`,
	`number (\S+) bed (\S.*)`,
	`tampon (none|out|unknown|INSIDE|LEFT INSIDE|[a-z0-9_]+)(?: (\S+) since (\S+) told (\S.*))?`,
	`count (none|OPEN|PIECE MISSING|complete(?: but (?:\d+|unknown) left inside)?)`,
	`grade (none|1|2|3a|3b|3c|4|unknown) (settled|unsettled) plan (none|1|2|3a|3b|3c|4|buttonhole)`,
	`decided (\S+) told (\S+)`,
	`consent exam (\S+) repair (\S+)`,
	`born (\S+)`,
	`tranexamic acid (\S+) antibiotic (\S+)`,
	`other drugs (\S.*)`,
	`doses (\d+) before (\S+)(?: OVER LIMIT given (\S+) mg limit (\S+) mg)?`,
	`allergy (\S+(?: \S+){0,2})(?: which (\S.*))?`,
	`cut (\S+) skin (\S+) vagina (\S+) muscle (\S+)`,
	`rectal (\S+) EAS (\S+) IAS (\S+) bowel (\S+)`,
	`sewn (\S+(?: \S+)*)`,
	`lost (\d+ mL|unknown)(?: (\S+))?`,
	`pulse (\S+)(?: (\S+))? BP (?:(\S+)/(\S+) (\S+)|(unknown)) temp (?:(\d+\.\d) C (\S+)|(unknown))`,
	`uterus firm (\S+)(?: (\S+))?`,
	`bleeding (\S+)(?: (\S+))?`,
	`placenta complete (\S+)`,
	`instrument (\S+)`,
	`FGM (\S+)`,
	`rectal after (\S+) stitch (\S+)(?: (\S+))?`,
	`end`,
)

var (
	labelLine = regexp.MustCompile(`^(\S+) (\d+(?:\.\d+)?%|strength-unknown) (plain|adrenaline): (\S.*)$`)
	doseText  = regexp.MustCompile(`^(\d+(?:\.\d+)?|unknown) mL (\d+(?:\.\d+)?) mg (\S+)$`)
	fullTime  = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d(Z|[+-]\d\d:\d\d)?$`)
	hourAlone = regexp.MustCompile(`^\d\d:\d\d$`)
)

func compiled(patterns ...string) (list []*regexp.Regexp) {
	for _, p := range patterns {
		list = append(list, regexp.MustCompile("^"+p+"$"))
	}
	return list
}

// A reader goes through the lines from the top.
type reader struct {
	rest []string
	day  string // last read
	zone string // of the first time
	err  error
}

func (r *reader) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}

func (r *reader) line() string {
	if len(r.rest) == 0 {
		r.fail("it ends too early")
		return ""
	}
	line := r.rest[0]
	r.rest = r.rest[1:]
	return line
}

// match reads the next line by its pattern.
func (r *reader) match(p *regexp.Regexp) []string {
	line := r.line()
	m := p.FindStringSubmatch(line)
	if m == nil {
		r.fail("%q is not %v", line, p)
		return make([]string, p.NumSubexp()+1)
	}
	return m
}

// time makes an hour alone whole again. What was never said has no hour.
func (r *reader) time(s string) string {
	switch {
	case s == "", s == "hour-unknown":
		return s
	case hourAlone.MatchString(s) && r.day != "":
		s = r.day + "T" + s + r.zone
	case fullTime.MatchString(s):
		r.day = s[:len("2026-03-14")]
		if zone := fullTime.FindStringSubmatch(s)[1]; r.zone == "" {
			r.zone = zone
		} else if zone != "" {
			r.fail("the zone is there twice: %q", s)
		} else {
			s += r.zone
		}
	default:
		r.fail("%q is no time", s)
	}
	if _, err := time.Parse("2006-01-02T15:04Z07:00", s); err != nil {
		r.fail("%v", err)
	}
	return s
}

// saidTime is a time that is itself the answer, or nobody told.
func (r *reader) saidTime(s string) string {
	if s == "unknown" {
		return s
	}
	return r.time(s)
}

func read(text string) (n note, err error) {
	r := &reader{rest: strings.Split(text, "\n")}
	m := r.match(lines[0])
	n.incomplete = m[1]
	m = r.match(lines[1])
	n.number, n.bed = m[1], m[2]
	m = r.match(lines[2])
	n.tampon, n.tampons, n.since, n.told = m[1], m[2], r.saidTime(m[3]), m[4]
	n.count = r.match(lines[3])[1]
	m = r.match(lines[4])
	n.grade, n.settled, n.plan = m[1], m[2], m[3]
	m = r.match(lines[5])
	n.decided, n.toldReceiver = m[1], m[2]
	m = r.match(lines[6])
	n.exam, n.repair = m[1], m[2]
	n.born = r.time(r.match(lines[7])[1])
	m = r.match(lines[8])
	n.tranexamic, n.antibiotic = r.saidTime(m[1]), r.saidTime(m[2])
	n.other = r.match(lines[9])[1]
	m = r.match(lines[10])
	n.before, n.given, n.limit = m[2], m[3], m[4]
	many, _ := strconv.Atoi(m[1])
	for len(n.doses) < many && r.err == nil {
		n.doses = append(n.doses, r.label()...)
	}
	if len(n.doses) != many {
		r.fail("%d doses are said and %d are there", many, len(n.doses))
	}
	r.facts(&n)
	return n, r.err
}

func (r *reader) facts(n *note) {
	m := r.match(lines[11])
	n.allergy, n.which = strings.Fields(m[1]), m[2]
	copy(n.found[:4], r.match(lines[12])[1:])
	copy(n.found[4:], r.match(lines[13])[1:])
	n.sewn = strings.Fields(r.match(lines[14])[1])
	m = r.match(lines[15])
	n.lost, n.lostAt = m[1], r.time(m[2])
	m = r.match(lines[16])
	n.pulse, n.pulseAt = m[1], r.time(m[2])
	if n.upper, n.lower, n.bpAt = m[3], m[4], r.time(m[5]); m[6] != "" {
		n.upper, n.lower = m[6], m[6]
	}
	n.temperature, n.temperatureAt = m[7]+m[9], r.time(m[8])
	m = r.match(lines[17])
	n.uterus, n.uterusAt = m[1], r.time(m[2])
	m = r.match(lines[18])
	n.bleeding, n.bleedingAt = m[1], r.time(m[2])
	n.placenta = r.match(lines[19])[1]
	n.instrument = r.match(lines[20])[1]
	n.fgm = r.match(lines[21])[1]
	m = r.match(lines[22])
	n.rectalAfter, n.stitch, n.stitchThen = m[1], m[2], m[3]
	r.match(lines[23])
	if len(r.rest) > 0 {
		r.fail("lines after the end: %q", r.rest)
	}
}

// label reads a line of doses.
func (r *reader) label() (list []dose) {
	m := r.match(labelLine)
	for _, text := range strings.Split(m[4], ", ") {
		d := doseText.FindStringSubmatch(text)
		if d == nil {
			r.fail("%q is no dose", text)
			return list
		}
		at := d[3]
		if at != "before" {
			at = r.time(at)
		}
		list = append(list, dose{m[1], m[2], m[3], d[1], d[2], at})
	}
	return list
}
