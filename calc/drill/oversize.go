package drill

// An Oversize is how much larger than the drill its hole is expected to come
// out, in inches: the least, the mean and the most of an ordinary run of holes.
type Oversize struct{ Min, Mean, Max float64 }

// The usual oversize of a hole from a jobber drill on an ordinary press without
// a bushing, in steel and iron, by drill diameter in inches. Source: Machinery's
// Handbook, 'Accuracy of Drilled Holes', after tests by the makers' institute.
// The figures are from memory of that page; the means agree within half a
// thousandth with a published tap drill table (testdata/oversize.csv), least and
// most have not been looked up again.
var oversizes = [...]struct{ d, min, mean, max float64 }{
	{1.0 / 16, .0010, .0015, .0020},
	{1.0 / 8, .0010, .0030, .0045},
	{1.0 / 4, .0025, .0040, .0065},
	{1.0 / 2, .0030, .0050, .0080},
	{3.0 / 4, .0030, .0050, .0080},
	{1, .0040, .0070, .0090},
}

// UsualOversize returns the expected oversize for a drill of the given diameter in inches, linear
// between the tabulated diameters of 1/16 to 1 in. Inside reports whether the diameter is in that
// range. Below it the oversize is proportional to the diameter; above it the 1 in figures apply,
// since the source ends there. A diameter of zero or less has no oversize.
func UsualOversize(diameter float64) (o Oversize, inside bool) {
	first, last := oversizes[0], oversizes[len(oversizes)-1]
	switch {
	case !(diameter > 0):
		return Oversize{}, false
	case diameter < first.d:
		k := diameter / first.d
		return Oversize{Min: k * first.min, Mean: k * first.mean, Max: k * first.max}, false
	case diameter >= last.d:
		return Oversize{Min: last.min, Mean: last.mean, Max: last.max}, diameter == last.d
	}
	i := 1
	for diameter >= oversizes[i].d {
		i++
	}
	a, b := oversizes[i-1], oversizes[i]
	k := (diameter - a.d) / (b.d - a.d)
	between := func(x, y float64) float64 { return x + float64(k*(y-x)) }
	return Oversize{
		Min:  between(a.min, b.min),
		Mean: between(a.mean, b.mean),
		Max:  between(a.max, b.max),
	}, true
}
