package anaesthetic

import (
	"testing"

	"fourchette/core/amount"
)

// TestPlainIsNeverHigher holds what the boundary rests on: a request that does
// not say adrenaline counts as plain, so plain may never allow more.
func TestPlainIsNeverHigher(t *testing.T) {
	tried := 0
	for _, agent := range Agents() {
		for _, source := range append(Sources(agent, true), Lowest) {
			for w := LightestWeight; w <= HeaviestWeight; w += amount.Kilogram {
				ask := Request{Agent: agent, Source: source, Body: Body{Weight: w}}
				plain, err := Limit(ask)
				if err != nil {
					continue // the source prints no plain row: refused, which allows nothing
				}
				ask.Adrenaline = true
				with, err := Limit(ask)
				if err != nil {
					t.Fatal(err)
				}
				tried++
				if plain.Mass > with.Mass {
					t.Errorf("%s by %s at %s kg: plain %s mg, with adrenaline %s mg", agent, source, w.Kilograms(), plain.Mass.Milligrams(), with.Mass.Milligrams())
				}
			}
		}
	}
	if tried < 7*171 {
		t.Errorf("only %d compared", tried)
	}
}
