package units

// Order gives the order in which n things stand: indices such that none comes after one it must
// stand before; equals keep their places. One function for all types, since each instance of a
// generic sort enlarges calc.wasm.
func Order(n int, before func(i, j int) bool) []int {
	at, merged := make([]int, n), make([]int, n)
	for i := range at {
		at[i] = i
	}
	for run := 1; run < n; run *= 2 { // runs of this length are in order
		for low := 0; low < n; low += 2 * run {
			middle, high := min(low+run, n), min(low+2*run, n)
			i, j := low, middle
			for k := low; k < high; k++ {
				if j == high || i < middle && !before(at[j], at[i]) {
					merged[k] = at[i]
					i++
				} else {
					merged[k] = at[j]
					j++
				}
			}
		}
		at, merged = merged, at
	}
	return at
}

// First gives the first of a list of which a thing holds.
func First[T any](list []T, holds func(x T) bool) (found T, ok bool) {
	for _, x := range list {
		if holds(x) {
			return x, true
		}
	}
	return found, false
}
