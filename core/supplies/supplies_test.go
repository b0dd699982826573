package supplies_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fourchette/core/repair"
	. "fourchette/core/supplies"
	"fourchette/core/tear"

	"pgregory.net/rapid"
)

func keys(items []Item) string {
	var list []string
	for _, i := range items {
		list = append(list, fmt.Sprintf("%s%d", i.Key, i.N))
	}
	return strings.Join(list, " ")
}

func TestLayOut(t *testing.T) {
	const (
		first  = "light1 gloves2 drape1 antiseptic1 sharps_box1 local_anaesthetic1 syringe1 needle1 swab5 needle_holder1 forceps1 scissors1 suture1"
		second = "light1 gloves2 drape1 antiseptic1 sharps_box1 local_anaesthetic1 syringe1 needle1 swab5 tampon1 needle_holder1 forceps1 scissors1 suture1 suture1"
		third  = "light1 gloves2 drape1 antiseptic1 sharps_box1 catheter1 local_anaesthetic1 syringe1 needle1 swab5 tampon1 needle_holder1 forceps1 scissors1 clamp4 artery_clip2 retractor1 suture1 suture1 suture1"
		fourth = "light1 gloves2 drape1 antiseptic1 sharps_box1 catheter1 local_anaesthetic1 syringe1 needle1 swab5 tampon1 needle_holder1 forceps1 scissors1 clamp4 artery_clip2 retractor1 suture1 suture1 suture1 suture1"
	)
	for _, c := range []struct {
		grade      tear.Grade
		buttonhole bool
		want       string
		source     string
	}{
		{tear.None, false, "", "nothing to stitch"},
		{tear.First, false, first, "MSF 5.9.1: the minimal set, one suture of one or two"},
		{tear.Second, false, second, "MSF 5.9.1: two sutures; 5.9: the tampon"},
		{tear.Third3a, false, third, "common practice: four clamps, clips, retractor; ACSQHC QS5: catheter"},
		{tear.Third3b, false, third, "likewise"},
		{tear.Third3c, false, third, "likewise"},
		{tear.Fourth, false, fourth, "notes on RCOG GTG29: a 3-0 braided suture for the mucosa too"},
		{tear.Undetermined, false, fourth, "doubt is laid out for as the worst"},
		{tear.None, true, fourth, "a buttonhole is planned for as a fourth degree"},
		{tear.Second, true, fourth, "likewise"},
	} {
		if got := keys(LayOut(c.grade, c.buttonhole)); got != c.want {
			t.Errorf("%s, buttonhole %v:\n got %s\nwant %s (%s)", c.grade, c.buttonhole, got, c.want, c.source)
		}
	}
}

func TestEveryItemIsSourced(t *testing.T) {
	for _, i := range LayOut(tear.Fourth, false) {
		if i.N < 1 || i.Source == "" || (i.Read == "") != (i.Source == "common practice, no source") || (i.Key == Suture) != (i.Size != "") {
			t.Errorf("%+v", i)
		}
	}
}

// Whatever a repair asks for lies on the tray: two tables, held together here.
func TestTheTrayHoldsWhatTheRepairAsksFor(t *testing.T) {
	asked := 0
	for g := tear.Undetermined; g <= tear.Fourth; g++ {
		for _, buttonhole := range []bool{false, true} {
			tray := LayOut(g, buttonhole)
			for _, l := range repair.For(repair.Case{Grade: g, Buttonhole: buttonhole}).Layers {
				for _, tool := range l.Instruments {
					asked++
					if !slices.ContainsFunc(tray, func(i Item) bool { return i.Key == tool && i.Counted }) {
						t.Errorf("%s, buttonhole %v: %s for %s is not laid out, or not counted", g, buttonhole, tool, l.Key)
					}
				}
				if !slices.ContainsFunc(tray, func(i Item) bool { return i.Key == Suture && i.Material == l.Material && i.Size == l.Size }) {
					t.Errorf("%s, buttonhole %v: %s %s for %s is not laid out", g, buttonhole, l.Material, l.Size, l.Key)
				}
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d instruments were asked for", asked)
	}
}

// A worse grade never takes anything off the tray.
func TestWorseLaysOutMore(t *testing.T) {
	pieces := func(g tear.Grade) (n int) {
		for _, i := range LayOut(g, false) {
			n += i.N
		}
		return n
	}
	for g := tear.None; g < tear.Fourth; g++ {
		if pieces(g) > pieces(g+1) {
			t.Errorf("%s lays out %d pieces, %s only %d", g, pieces(g), g+1, pieces(g+1))
		}
	}
}

func TestReconcile(t *testing.T) {
	for _, c := range []struct {
		counts []Count
		want   Result
	}{
		{[]Count{{Swab, 10, 10}, {Needle, 3, 3}, {Tampon, 1, 1}}, Result{Complete: true}},
		{[]Count{{Swab, 10, 9}, {Needle, 3, 3}, {Tampon, 0, 0}}, Result{Missing: []ItemCount{{Swab, 1}}}},
		{[]Count{{Swab, 10, 11}, {Needle, 3, 3}, {Tampon, 0, 0}}, Result{Extra: []ItemCount{{Swab, 1}}}},
		{[]Count{{Tampon, 0, 1}, {Swab, 5, 5}, {Needle, 1, 1}}, Result{Extra: []ItemCount{{Tampon, 1}}}},
		{[]Count{{Tampon, 1, 0}, {Swab, 5, 6}, {Needle, 2, 0}}, Result{Missing: []ItemCount{{Needle, 2}, {Tampon, 1}}, Extra: []ItemCount{{Swab, 1}}}},
		{[]Count{{Swab, 5, 5}}, Result{Complete: true, NotCounted: []string{Needle, Tampon}}},
		{[]Count{{"vaginal_pack", 1, 0}}, Result{Missing: []ItemCount{{"vaginal_pack", 1}}, NotCounted: []string{Needle, Swab, Tampon}}},
		{[]Count{{Swab, 999, 0}}, Result{Missing: []ItemCount{{Swab, 999}}, NotCounted: []string{Needle, Tampon}}},
	} {
		got, err := Reconcile(c.counts)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%v: %+v, %v; want %+v", c.counts, got, err, c.want)
		}
	}
}

func TestWhatCannotBeReconciled(t *testing.T) {
	for _, c := range []struct {
		counts      []Count
		code, field string
	}{
		{nil, NothingCounted, "items"},
		{[]Count{}, NothingCounted, "items"},
		{[]Count{{Swab, 0, 0}, {Needle, 0, 0}}, NothingCounted, "items"},
		{[]Count{{Swab, 5, 4}, {Needle, 1, 1}, {Swab, 5, 6}}, ItemTwice, "items.2.item"}, // added up they would hide the one missing
		{[]Count{{"", 1, 1}}, WordUnknown, "items.0.item"},
		{[]Count{{"Swab", 1, 1}}, WordUnknown, "items.0.item"},
		{[]Count{{strings.Repeat("a", 41), 1, 1}}, WordUnknown, "items.0.item"},
		{[]Count{{Swab, -1, 0}}, OutOfRange, "items.0.in"},
		{[]Count{{Swab, 0, 0}, {Needle, 1, 1000}}, OutOfRange, "items.1.out"},
	} {
		r, err := Reconcile(c.counts)
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code || e.Field != c.field || !strings.HasPrefix(err.Error(), c.field) {
			t.Errorf("%v: %v, want %s at %s", c.counts, err, c.code, c.field)
		}
		if !reflect.DeepEqual(r, Result{}) {
			t.Errorf("%v: a result came with the refusal: %+v", c.counts, r)
		}
	}
}

// Every piece is accounted for: in + extra = out + missing for each kind, no
// kind is in both lists, and complete is exactly "nothing in either".
func TestNothingIsHidden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z_]{1,8}`), 1, 8, rapid.ID[string]).Draw(t, "kinds")
		var counts []Count
		for _, k := range kinds {
			counts = append(counts, Count{k, rapid.IntRange(0, 5).Draw(t, "in"), rapid.IntRange(0, 5).Draw(t, "out")})
		}
		r, err := Reconcile(counts)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Code != NothingCounted || slices.ContainsFunc(counts, func(c Count) bool { return c.In+c.Out > 0 }) {
				t.Fatal(err)
			}
			return
		}
		of := func(list []ItemCount, kind string) (n int) {
			for _, x := range list {
				if x.Item == kind {
					n += x.N
				}
			}
			return n
		}
		balanced := true
		for _, c := range counts {
			missing, extra := of(r.Missing, c.Item), of(r.Extra, c.Item)
			if c.In+extra != c.Out+missing || missing > 0 && extra > 0 {
				t.Errorf("%+v: %d missing, %d extra", c, missing, extra)
			}
			balanced = balanced && c.In == c.Out
		}
		if r.Complete != balanced || len(r.Missing)+len(r.Extra) > len(counts) {
			t.Errorf("%+v of %v", r, counts)
		}
		shuffled := rapid.Permutation(counts).Draw(t, "order")
		if again, err := Reconcile(shuffled); err != nil || !reflect.DeepEqual(again, r) {
			t.Errorf("in another order %+v, %v; before %+v", again, err, r)
		}
	})
}

func FuzzReconcileWords(f *testing.F) {
	f.Add("swab", 1, 1)
	f.Add("Swab\xff", -1, 1<<30)
	f.Fuzz(func(t *testing.T, item string, in, out int) {
		r, err := Reconcile([]Count{{item, in, out}})
		if err == nil && r.Complete != (in == out) {
			t.Errorf("%q %d %d: %+v", item, in, out, r)
		}
		if err != nil && r.Complete {
			t.Errorf("%q: complete, and %v", item, err)
		}
	})
}

func ExampleReconcile() {
	r, err := Reconcile([]Count{{Swab, 10, 9}, {Needle, 3, 3}, {Tampon, 0, 0}})
	fmt.Println(r.Complete, r.Missing, r.Extra, err)
	// Output: false [{swab 1}] [] <nil>
}

// TestEachPacketBringsANeedle: as many needles come in as packets are opened,
// and nothing else brings one (common practice, no source).
func TestEachPacketBringsANeedle(t *testing.T) {
	threads := 0
	for _, i := range LayOut(tear.Fourth, false) {
		if i.WithNeedle != (i.Key == Suture) {
			t.Errorf("%s brings a needle: %v", i.Key, i.WithNeedle)
		}
		if i.WithNeedle {
			threads += i.N
		}
	}
	if threads != 4 {
		t.Errorf("%d packets of thread for a fourth degree", threads)
	}
}
