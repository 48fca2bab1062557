package thread

// PercentOfThread returns the percentage of full thread a hole leaves, on the
// United States shop basis, where 100 % is an external-thread height of
// 0.64951905 P:
//
//	% = 100 (D - hole) / (1.29903811 P)
//
// It is the percentage of tap drill tables. A hole at or above D gives 0 or
// less. The hole is in the thread's unit.
func (t Thread) PercentOfThread(hole float64) float64 {
	return 100 * (t.D - hole) / float64(2*pitchRatio*t.Pitch)
}

// HoleForPercent returns the hole that leaves the given PercentOfThread.
func (t Thread) HoleForPercent(percent float64) float64 {
	return t.D - float64(percent/100*float64(2*pitchRatio*t.Pitch))
}

// formingFactor: the metal a forming tap moves fills half of what a cutting tap
// would remove, so the hole stands 0.0068 P from D for each percent. Machinery's
// Handbook, hole sizes for thread-forming taps.
const formingFactor = 0.0068

// FormingHole returns the hole before forming for a percentage of thread with a
// forming tap: D - 0.0068 x % x P.
func (t Thread) FormingHole(percent float64) float64 {
	return t.D - float64(formingFactor*float64(percent*t.Pitch))
}

// FormingPercent returns the percentage of thread a forming tap makes of a
// hole, the inverse of FormingHole.
func (t Thread) FormingPercent(hole float64) float64 {
	return (t.D - hole) / float64(formingFactor*t.Pitch)
}
