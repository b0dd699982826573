// Package reason says why a verdict holds: a key and the findings it rests on,
// never prose. The words are in the translation tables, so that a reason reads
// the same in every language and a translation cannot change what was decided.
//
// Start with List: a verdict carries one, built with Add in the order in which
// a reader should meet the reasons.
package reason

// Reason is one ground of a verdict.
type Reason struct {
	// Key names the reason; each deciding package exports its own fixed list.
	Key string
	// On names the findings it rests on, by their request keys; nil when it
	// rests on none in particular.
	On []string
}

// List is the grounds of one verdict, the most telling first.
type List []Reason

// Add appends a reason; the names are copied.
func (l *List) Add(key string, on ...string) {
	*l = append(*l, Reason{Key: key, On: append([]string(nil), on...)})
}

// Keys returns the keys in the list's order; nil for an empty list.
func (l List) Keys() []string {
	var keys []string
	for _, r := range l {
		keys = append(keys, r.Key)
	}
	return keys
}

// Find returns the first reason with this key, and whether there is one.
func (l List) Find(key string) (Reason, bool) {
	for _, r := range l {
		if r.Key == key {
			return r, true
		}
	}
	return Reason{}, false
}
