// Package gaps has a function that gobind cannot pass, to see that the build
// notices.
package gaps

// Lists takes and gives what cannot cross.
func Lists(names []string) []string { return names }

// Whole can cross.
func Whole(n int32) int32 { return n }
