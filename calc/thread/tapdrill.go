package thread

import (
	"strings"
)

// The usual tap drills by size and threads per inch. UNC and UNF: a tap maker's published list,
// from 1-1/8 up also Machinery's Handbook, 31st ed., p. 2168; UNEF to 5/8 a published school shop
// chart, larger from memory. Seven UNEF drills of the charts are under the least minor diameter and
// count on cutting big; a metric drill inside the limits stands in their place.
const tapDrills = ";1-64 #53;2-56 #50;3-48 #47;4-40 #43;5-40 #38;6-32 #36;8-32 #29;10-24 #25;12-24 #16" +
	";1/4-20 #7;5/16-18 F;3/8-16 5/16;7/16-14 U;1/2-13 27/64;9/16-12 31/64;5/8-11 17/32;3/4-10 21/32;7/8-9 49/64" +
	";1-8 7/8;1-1/8-7 63/64;1-1/4-7 1-7/64;1-3/8-6 1-7/32;1-1/2-6 1-11/32" +
	";0-80 3/64;1-72 #53;2-64 #50;3-56 #45;4-48 #42;5-44 #37;6-40 #33;8-36 #29;10-32 #21;12-28 #14" +
	";1/4-28 #3;5/16-24 I;3/8-24 Q;7/16-20 25/64;1/2-20 29/64;9/16-18 33/64;5/8-18 37/64;3/4-16 11/16;7/8-14 13/16" +
	";1-12 59/64;1-1/8-12 1-3/64;1-1/4-12 1-11/64;1-3/8-12 1-19/64;1-1/2-12 1-27/64" +
	";12-32 #13;1/4-32 7/32;5/16-32 9/32;3/8-32 11/32;7/16-28 Y;1/2-28 15/32;9/16-24 13.2 mm;5/8-24 14.75 mm" +
	";11/16-24 16.5 mm;3/4-20 45/64;13/16-20 49/64;7/8-20 53/64;15/16-20 57/64;1-20 61/64;1-1/16-18 25.5 mm" +
	";1-1/8-18 1-5/64;1-3/16-18 1-9/64;1-1/4-18 30.5 mm;1-5/16-18 1-17/64;1-3/8-18 33.5 mm;1-7/16-18 35 mm" +
	";1-1/2-18 1-29/64;"

// The usual tap drills of coarse metric threads, mm: ISO 2306 from memory, M6, M10 and M14 to M33
// read in a published training handbook, M2.5 to M24 in shop charts.
const isoTapDrills = ";1.6 1.25;1.8 1.45;2 1.6;2.2 1.75;2.5 2.05;3 2.5;3.5 2.9;4 3.3;4.5 3.7;5 4.2;6 5;7 6;8 6.8;9 " +
	"7.8" +
	";10 8.5;11 9.5;12 10.2;14 12;16 14;18 15.5;20 17.5;22 19.5;24 21;27 24;30 26.5;33 29.5;36 32;39 35;42 37.5" +
	";45 40.5;48 43;"

// finePitches are those whose drills follow a rule from M2.5 to M48 (ISO 2306 from memory; some 25
// read in a training handbook): D - P, but D - 0.8 for 0.75 and D - 1.2 for 1.25.
var finePitches = [...]struct{ p, less float64 }{
	{.35, .35}, {.5, .5}, {.75, .8}, {1, 1}, {1.25, 1.2}, {1.5, 1.5}, {2, 2}, {3, 3},
}

// TapDrill gives the name of the drill that the usual tables name for a tapped hole, as
// [drill.Lookup] reads it; ok is false for a thread the tables do not have.
func (t Thread) TapDrill() (name string, ok bool) {
	if t.System == Unified {
		return lookup(tapDrills, unifiedName(t))
	}
	if t.Coarse {
		name, ok = lookup(isoTapDrills, decimal(t.D))
		return name + " mm", ok
	}
	if t.Standard && t.D >= 2.5 && t.D <= 48 {
		for _, f := range finePitches {
			if f.p == t.Pitch {
				return decimal(round(t.D-f.less, 2)) + " mm", true
			}
		}
	}
	return "", false
}

// lookup finds what stands behind a key in a list like ";key value;key value;".
func lookup(list, key string) (string, bool) {
	_, rest, ok := strings.Cut(list, ";"+key+" ")
	value, _, _ := strings.Cut(rest, ";")
	return value, ok
}
