package bench

import "datumbook/calc/units"

// run is n blocks from the first size on, a step apart.
type run struct {
	first, step units.Length
	n           int
}

const (
	in = units.Inch
	mm = units.Millimetre
	um = units.Micrometre
)

// set is a usual boxed set of gauge blocks.
type set struct {
	key  string
	runs []run
}

// sets lists the usual sets. Sources: the 81-piece set by published lists; the
// others by common practice of the trade, see the worksheet's sources.
var sets = []set{
	{"in81", []run{
		{in / 10000 * 1001, in / 10000, 9}, {in / 1000 * 101, in / 1000, 49}, {in / 20, in / 20, 19}, {in, in, 4}}},
	{"in36", []run{
		{in / 20, in, 1}, {in / 10000 * 1001, in / 10000, 9}, {in / 1000 * 101, in / 1000, 9}, {in / 100 * 11, in / 100, 9}, {in / 10, in / 10, 5}, {in, in, 2}, {4 * in, in, 1}}},
	{"mm47", []run{
		{1005 * um, mm, 1}, {1010 * um, 10 * um, 9}, {1100 * um, 100 * um, 9}, {mm, mm, 24}, {25 * mm, 25 * mm, 4}}},
	{"mm88", []run{
		{1000*um + um/2, mm, 1}, {1001 * um, um, 9}, {1010 * um, 10 * um, 49}, {500 * um, 500 * um, 19}, {10 * mm, 10 * mm, 10}}},
	{"mm112", []run{
		{1000*um + um/2, mm, 1}, {1001 * um, um, 9}, {1010 * um, 10 * um, 49}, {500 * um, 500 * um, 49}, {25 * mm, 25 * mm, 4}}},
}

// Set gives the blocks of a usual set by its key: in81, in36, mm47, mm88 or
// mm112. ok is false for any other key.
func Set(key string) (blocks []units.Length, ok bool) {
	for _, s := range sets {
		if s.key != key {
			continue
		}
		for _, r := range s.runs {
			for i := range r.n {
				blocks = append(blocks, r.first+units.Length(i)*r.step)
			}
		}
		return blocks, true
	}
	return nil, false
}
