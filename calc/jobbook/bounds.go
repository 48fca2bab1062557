//go:build !wasm

package jobbook

import "datumbook/calc/units"

// bounds are all limits of all fields, read once: to read one takes longer than all else about a number, and an office
// checks thousands of numbers a second.
var bounds = readBounds()

func readBounds() map[bound]float64 {
	all := map[bound]float64{}
	for i := range Kinds {
		addBounds(all, Kinds[i].Fields)
	}
	return all
}

func addBounds(all map[bound]float64, fields []Field) {
	for i := range fields {
		f := &fields[i]
		addBounds(all, f.Columns)
		dim, ok := f.Type.dim()
		if !ok {
			continue
		}
		for _, limit := range []string{f.Min, f.Max} {
			for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
				if bare := f.bare(sys); limit != "" {
					all[bound{limit, bare.Name, dim}] = readLimit(f, dim, bare, limit)
				}
			}
		}
	}
}
