package birth

import "testing"

func FuzzDecode(f *testing.F) {
	for _, r := range history(f) {
		f.Add(r.Raw)
	}
	f.Add(with(envelope(Schema+1, "transfusion", 1), "transfusion", []any{1, "a", nil}))
	f.Fuzz(func(t *testing.T, b []byte) { holdsItsBytes(t, b) })
}
