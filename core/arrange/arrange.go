// Package arrange puts lists in order: a merge sort in a few lines, because the
// library's sorts are compiled anew for each type, to 25 kB of program each.
package arrange

// By puts a list in order; what compares as equal stays as it stood. compare is
// below 0 where a comes first, above 0 where b does. A list that is in order
// already costs one look at each.
func By[T any](list []T, compare func(a, b T) int) {
	half := len(list) / 2
	if half == 0 {
		return
	}
	By(list[:half], compare)
	By(list[half:], compare)
	if compare(list[half-1], list[half]) <= 0 {
		return
	}
	left, right := append([]T(nil), list[:half]...), list[half:]
	for at := 0; len(left) > 0; at++ {
		if len(right) > 0 && compare(left[0], right[0]) > 0 {
			list[at], right = right[0], right[1:]
		} else {
			list[at], left = left[0], left[1:]
		}
	}
}
