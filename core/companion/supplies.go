package companion

import (
	"fourchette/core/supplies"
	"fourchette/core/tear"
)

// gradeNamed reads a grade's word.
func gradeNamed(word string) (tear.Grade, error) {
	for g := tear.Undetermined; g <= tear.Fourth; g++ {
		if g.String() == word {
			return g, nil
		}
	}
	return tear.Undetermined, &Fault{Code: FaultWord, Field: "grade", Detail: word}
}

func layOut(_ *Companion, r *LayOutRequest) (reply, error) {
	g, err := gradeNamed(r.Grade)
	if err != nil {
		return nil, err
	}
	out := &LayOutReply{}
	for _, i := range supplies.LayOut(g, r.Buttonhole) {
		within := 0
		if i.WithNeedle {
			within = i.N
		}
		out.Items = append(out.Items, LayOutItem{Needles: within, Item: i.Key, N: i.N, Counted: i.Counted, IfNeeded: i.IfNeeded,
			Material: i.Material, Size: i.Size, Source: i.Source, Read: i.Read})
	}
	return out, nil
}

func reconcile(_ *Companion, r *ReconcileRequest) (reply, error) {
	var counts []supplies.Count
	for _, i := range r.Items {
		counts = append(counts, supplies.Count(i))
	}
	found, err := supplies.Reconcile(counts)
	if err != nil {
		return nil, err
	}
	return &ReconcileReply{Complete: found.Complete, Missing: itemCounts(found.Missing), Extra: itemCounts(found.Extra), NotCounted: found.NotCounted}, nil
}

func itemCounts(list []supplies.ItemCount) (out []ItemCount) {
	for _, i := range list {
		out = append(out, ItemCount{Item: i.Item, Count: i.N})
	}
	return out
}
