package pages_test

import (
	"bytes"
	"testing"
)

// damaged starts the program anew with one byte altered, that of the first
// line that holds the word.
func (p *phone) damaged(word string) *phone {
	p.t.Helper()
	disk := p.disk.Disk.Copy()
	b := disk.Bytes("journal-00000001")
	at := bytes.Index(b, []byte(word))
	if at < 0 {
		p.t.Fatalf("no line with %q", word)
	}
	b[at] ^= 1
	disk.Put("journal-00000001", b)
	return phoneOn(p.t, &unplugged{Disk: disk})
}

// TestALostLineIsSaidWhereItCounts: 15 of 18 mL were given and their line can
// no longer be read. No page shows a remainder, a settled grade or an even
// count; each says why and leads to the record's look-through; after it the
// figures count again.
func TestALostLineIsSaidWhereItCounts(t *testing.T) {
	const lost = "Lines of this record may be lost"
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=15")
	p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
	p.post(b+"/count/out", "swab=5&needle=2&tampon=0")
	p.says(p.get(b+"/dose/limit?strength=1&adrenaline=no"), "3 mL")

	p = p.damaged("\xa4site") // the line of the dose
	limit := p.get(b + "/dose/limit?strength=1&adrenaline=no")
	p.says(limit, lost, "A dose, or her weight, may be among them")
	p.saysNot(limit, "18 mL", "180 mg")
	if figureShown(limit) {
		t.Errorf("a figure:\n%s", plain(limit.HTML()))
	}
	p.says(p.get(b), lost, "No dose can be read. One may be lost.")
	p.saysNot(p.get(b), "Nothing was given before", "Limit for lidocaine")
	p.says(p.get(b+"/grade"), lost, "not settled", "any finding may have been put right since")
	p.saysNot(p.get(b+"/count"), "It is all there")
	p.says(p.get(b+"/count"), "A count may be lost")
	for _, paper := range []string{"/handover", "/refer", "/register"} {
		p.says(p.get(b+paper), lost)
		p.saysNot(p.get(b+paper), "Nothing was given before")
	}
	p.says(p.get("/"), lost)
	p.saysNot(p.get("/emergency/toxicity?birth=izxw43ja-1"), lost)

	p.says(p.get(b+"/looked"), "What can be read", "Grade", "A dose that is not listed")
	p.post(b+"/dose/earlier", "ml=15&given_strength=1&given_adrenaline=no")
	p.says(p.get(b), lost)
	p.post(b+"/dose/before", "before=listed")
	s := p.post(b+"/looked", "")
	p.saysNot(s, lost)
	p.says(s, "Looked through after lines were lost")
	p.says(p.get(b+"/dose/limit?strength=1&adrenaline=no"), "May be given now", "3 mL")
	p.says(p.get(b+"/grade"), "Grade 3b", "settled")
}

// TestACutLineIsSaidAndTheFiguresStand: it was never acknowledged.
func TestACutLineIsSaidAndTheFiguresStand(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=15")
	disk := p.disk.Disk.Copy()
	whole := disk.Bytes("journal-00000001")
	disk.Put("journal-00000001", whole[:len(whole)-4])
	p = phoneOn(t, &unplugged{Disk: disk})
	s := p.get(b + "/dose/limit?strength=1&adrenaline=no")
	p.says(s, "The last line may be missing", "18 mL")
	p.saysNot(p.post(b+"/looked", ""), "The last line may be missing")
}

// TestGoldenDamagedPages: what is shown while a dose may be lost, and which
// bottle is asked for where the address names another.
func TestGoldenDamagedPages(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=2&adrenaline=no")
	golden(t, "dose_label", p.get(b+"/dose/limit?strength=1&adrenaline=no"))
	p.post(b+"/dose/given", "strength=2&adrenaline=no&ml=5")
	p = p.damaged("\xa4site")
	for name, tail := range map[string]string{"damaged_record": "", "damaged_looked": "/looked", "damaged_limit": "/dose/limit?strength=2&adrenaline=no", "damaged_grade": "/grade"} {
		golden(t, name, p.get(b+tail))
	}
	golden(t, "new_perhaps", p.post("/new", "born=now&bed=3"))
}
