package pages_test

import "testing"

// TestANoIsNotForgotten: it warns where she would be touched, and stands on the
// notes whatever was done since.
func TestANoIsNotForgotten(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.saysNot(p.get(b+"/examine"), "She said no")
	p.say(b, "consent_exam", "value=declined")
	for _, tail := range []string{"", "/examine", "/examine/rectal_exam", "/numb", "/repair"} {
		p.says(p.get(b+tail), "She said no to being examined")
	}
	p.found(b, "intact", "intact", "intact")
	p.says(p.get(b+"/refer"), "She says no")
	p.say(b, "consent_exam", "value=yes", "consent_repair", "value=declined")
	p.saysNot(p.get(b), "She said no to being examined")
	for _, tail := range []string{"", "/numb", "/dose/weight", "/repair", "/repair/perineal_skin"} {
		p.says(p.get(b+tail), "She said no to being stitched")
	}
	p.post(b+"/repair/perineal_skin", "done=yes&despite=consent+rectal_before+ceiling+counted_in+operator")
	p.says(p.get(b), "She said no to being stitched")
	for _, paper := range []string{"/refer", "/handover"} {
		p.says(p.get(b+paper), "Consent to stitching She says no")
	}
}

// TestACountMadeUpAfterwards: three layers are closed, then 5 and 2 go in and
// come out.
func TestACountMadeUpAfterwards(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.numbed(b)
	for _, layer := range []string{"vaginal_mucosa", "perineal_muscle", "perineal_skin"} {
		p.post(b+"/repair/"+layer, "done=yes&despite=consent+rectal_before+ceiling+counted_in+operator")
	}
	p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
	s := p.post(b+"/count/out", "swab=5&needle=2&tampon=0")
	p.saysNot(s, "It is all there")
	p.says(s, "counted only after stitching began", "Search")
	p.say(b, "final_count_search", "value=not_found")
	for _, tail := range []string{"", "/handover", "/refer"} {
		p.says(p.get(b+tail), "counted only after stitching began")
		p.saysNot(p.get(b+tail), "It is all there", "Nothing is counted in")
	}
}
