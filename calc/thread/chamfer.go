package thread

import "datumbook/calc/units"

// A Chamfer is the tapered lead at the front of a tap, counted in threads
// (pitches) from Min to Max.
type Chamfer struct {
	Key      string // what is typed: "taper", "plug", "bottoming", "A" ...
	Name     string // a few words for the screen
	Min, Max float64
	Forming  bool // a forming tap's entry taper
	Source   string
}

// Chamfers is every tap lead this package knows. Depths should use Max, the
// longest lead a tap of that name may have; turns the mean.
var Chamfers = []Chamfer{
	{"taper", "taper, 7 to 10 threads", 7, 10, false, "TM 9-254 para 4-27"},
	{"plug", "plug, 3 to 5 threads", 3, 5, false, "TM 9-254 para 4-27"},
	{"bottoming", "bottoming, 1 to 2 threads", 1, 2, false, "TM 9-254 para 4-27"},
	{"semi-bottoming", "semi-bottoming, 2 to 2-1/2 threads", 2, 2.5, false, "tap makers' usage after ASME B94.9"},
	{"forming plug", "forming, plug entry, 3 to 5 threads", 3, 5, true, "ASME B94.9; Machinery's Handbook 31 p. 985"},
	{"forming bottoming", "forming, bottoming entry, 1 to 2-1/2 threads", 1, 2.5, true, "ASME B94.9; Machinery's Handbook 31 p. 985"},
	{"A", "form A, 6 to 8 threads", 6, 8, false, "DIN 2197"},
	{"B", "form B, spiral point, 3.5 to 5.5 threads", 3.5, 5.5, false, "DIN 2197"},
	{"C", "form C, 2 to 3 threads", 2, 3, false, "DIN 2197"},
	{"D", "form D, 3.5 to 5 threads", 3.5, 5, false, "DIN 2197"},
	{"E", "form E, 1.5 to 2 threads", 1.5, 2, false, "DIN 2197"},
	{"F", "form F, 1 to 1.5 threads", 1, 1.5, false, "DIN 2197"},
}

// LookupChamfer finds a tap lead by its key.
func LookupChamfer(key string) (Chamfer, bool) {
	return units.First(Chamfers, func(c Chamfer) bool { return c.Key == key })
}
