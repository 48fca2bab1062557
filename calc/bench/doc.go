// Package bench builds a size from owned pieces: gauge blocks for a height, blocks under a sine bar
// for an angle, shims for a gap, holes of a plate for a division. It also has the geometry that
// goes with them (triangles, arcs, tapers) and the correction of a length for temperature.
//
// Lengths that must add up exactly are whole picometres (units.Length); the rest is plain float64
// in inches, degrees and degrees Celsius.
package bench
