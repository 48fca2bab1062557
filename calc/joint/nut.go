package joint

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// The tables, a row a size: diameter, then in inches or millimetres as named.
const (
	// ASME B18.2.2 hex nuts: flats most and least, height most and least.
	hexNuts = ".25 .438 .428 .226 .212|.3125 .5 .489 .273 .258|.375 .563 .551 .337 .32|.4375 .688 .675 .385 .365|" +
		".5 .75 .736 .448 .427|.625 .938 .922 .559 .535|.75 1.125 1.088 .665 .617|.875 1.313 1.269 .776 .724|" +
		"1 1.5 1.45 .887 .831|1.25 1.875 1.812 1.094 1.03"
	// ISO 4032: least diameter of the face, height most and least, mm; from memory.
	isoNuts = "6 8.9 5.2 4.9|8 11.6 6.8 6.44|10 14.6 8.4 8.04|12 16.6 10.8 10.37|16 22.5 14.8 14.1|20 27.7 18 " +
		"16.9|24 33.2 21.5 20.2"
	// ASME B18.21.1 type A: inside, outside, thickness, its most and least.
	narrowWashers = ".375 .406 .812 .065 .08 .051|.5 .531 1.062 .095 .121 .074|.625 .656 1.312 .095 .121 .074|.75 " +
		".812 1.469 .134 .16 .108"
	wideWashers = ".375 .438 1 .083 .104 .064|.5 .562 1.375 .109 .132 .086|.625 .688 1.75 .134 .16 .108|.75 .812 " +
		"2 .148 .177 .122"
	// ISO 7089, and ISO 7093-1 from memory: inside, outside, thickness, mm.
	isoWashers   = "6 6.4 12 1.6|8 8.4 16 1.6|10 10.5 20 2|12 13 24 2.5|14 15 28 2.5|16 17 30 3|20 21 37 3|30 31 56 4"
	largeWashers = "8 8.4 24 2|10 10.5 30 2.5|12 13 37 3|16 17 50 3"
	// ASME B18.31.2 tap-end studs to 10 in: nominal length of the tap end.
	tapEnds = ".25 .375|.3125 .469|.375 .563|.4375 .656|.5625 .844|.625 .938|.75 1.125|1 1.5"
)

// row finds a diameter's row of a table, in inches; nil where it has none.
func row(table string, d float64, metric bool) []float64 {
	unit := worksheet.Either(metric, mm, 1.0)
	for table != "" {
		var line, word string
		line, table, _ = strings.Cut(table, "|")
		word, line, _ = strings.Cut(line, " ")
		if x, _ := strconv.ParseFloat(word, 64); math.Abs(x/unit-d) >= 1e-6 {
			continue
		}
		out := make([]float64, 0, 8)
		for line != "" {
			word, line, _ = strings.Cut(line, " ")
			x, _ := strconv.ParseFloat(word, 64)
			out = append(out, x/unit)
		}
		return out
	}
	return nil
}

// Nut is the nut of a stud: its class, "j2", "j5", "j8" of SAE J995, "n8", "n10" of ISO 898-2, or
// "" where it carries no mark; and the thread in it where that is less than a full nut's.
type Nut struct {
	Class string
	Thick float64
}

// nutStress holds a proof stress up to a diameter: SAE J995 in ksi and in, ISO 898-2 style 1 in MPa
// and mm. An unmarked nut is taken as grade 2 or class 5 (that and class 8 under M7 from memory).
var nutStress = [...]struct {
	class        string
	upto, stress float64
}{
	{"", 99, 90}, {"j2", 99, 90}, {"j5", 1, 120}, {"j5", 99, 105}, {"j8", 99, 150},
	{"m", 7, 580}, {"m", 10, 590}, {"m", 16, 610}, {"m", 99, 630},
	{"n8", 7, 855}, {"n8", 10, 870}, {"n8", 16, 880}, {"n8", 99, 920},
	{"n10", 10, 1040}, {"n10", 16, 1050}, {"n10", 99, 1060},
}

// Stress gives a nut's proof stress in ksi, 0 for a class that is not known. A fine thread takes
// 109 for 120 in grade 5 (from memory).
func (n Nut) Stress(t thread.Thread) float64 {
	class, d, unit := n.Class, t.Inches(t.D), 1.0
	if class == "" && t.System == thread.ISO {
		class = "m"
	}
	if strings.HasPrefix(class, "n") || class == "m" {
		d, unit = d*mm, ksi
	}
	for _, r := range nutStress {
		if r.class == class && d <= r.upto+1e-9 {
			x := r.stress / unit
			if class == "j5" && x == 120 && !t.Coarse {
				x = 109
			}
			return x
		}
	}
	return 0
}

// Proof gives the load in lbf a nut on a stud bears: its proof stress on the stress area, or less
// where its thread is shorter than a full nut's: then what that length strips at in mild steel.
func (n Nut) Proof(t thread.Thread, b *Bolt) float64 {
	load := n.Stress(t) * 1000 * b.Area
	if n.Thick > 0 {
		m, _ := engage.FindMetal("mild")
		if s, f := Stripped(t, b.Su, &Hole{Metal: m}, n.Thick); f == nil {
			load = min(load, s.Limit)
		}
	}
	return load
}

// Face gives the diameter of a hex nut's bearing circle, and its height most and least, in inches:
// 0.95 of the least flats by ASME B18.2.2 (common practice) or ISO 4032; sizes of neither table by
// the usual proportions, 1.5 diameters across flats and seven eighths high.
func Face(t thread.Thread) (dw, most, least float64) {
	d := t.Inches(t.D)
	if t.System == thread.ISO {
		if r := row(isoNuts, d, true); r != nil {
			return r[0], r[1], r[2]
		}
	} else if r := row(hexNuts, d, false); r != nil {
		return .95 * r[1], r[2], r[3]
	}
	return .95 * 1.45 * d, .9 * d, .83 * d
}

// TapEnd gives the length of a tap-end stud's end in inches: ASME B18.31.2, or one and a half
// diameters, which it is there too.
func TapEnd(t thread.Thread) float64 {
	if r := row(tapEnds, t.Inches(t.D), false); r != nil && t.System == thread.Unified {
		return r[0]
	}
	return 1.5 * t.Inches(t.D)
}

// Washer is a plain washer. Lengths are in inches; the zero Washer is none.
type Washer struct {
	Inside, Outside, Thick, Most float64
	Hard                         bool // hardened: the nut does not dent it
}

// FindWasher looks up a washer of a thread: "narrow" and "wide" of ASME B18.21.1 type A, "iso7089",
// "iso7093".
func FindWasher(kind string, t thread.Thread) (Washer, bool) {
	d, metric := t.Inches(t.D), t.System == thread.ISO
	switch kind {
	case "narrow", "wide":
		if r := row(worksheet.Either(kind == "wide", wideWashers, narrowWashers), d, false); r != nil && !metric {
			return Washer{r[0], r[1], r[2], r[3], false}, true
		}
	case "iso7089", "iso7093":
		if r := row(worksheet.Either(kind == "iso7093", largeWashers, isoWashers), d, true); r != nil && metric {
			return Washer{r[0], r[1], r[2], r[2] + .3/mm, false}, true
		}
	}
	return Washer{}, false
}

// Opening is what goes through the lug under the nut.
type Opening uint8

// The openings: nothing said of it, a round hole, a slot clean through, an open slot with the stud
// at its end.
const (
	NoSeat Opening = iota
	Round
	Slot
	OpenSlot
)

// Seat is what nut or washer bears on. Wide is the hole's diameter or the slot's width in inches.
type Seat struct {
	Opening
	Wide  float64
	Metal Surface
}

// Surface is the metal under a nut and the pressure in ksi at which a nut or washer beds in.
type Surface struct {
	Key, Label string
	Limit      float64
	From       string
}

// Surfaces lists limits of the pressure under a nut: what a fastener maker prints from VDI 2230,
// 1986 and 2003; the later where it was tested again, else the lower.
var Surfaces = [...]Surface{
	{"iron", "Grey iron, class 20 or unknown", 600 / ksi, "GG15, 1986"},
	{"iron30", "Grey iron class 30 or better", 800 / ksi, "GG25, 1986"},
	{"ductile", "Ductile iron", 480 / ksi, "GGG-35.5, 1986"},
	{"mild", "Mild steel", 490 / ksi, "S235, 2003"},
	{"medium", "Medium carbon steel", 630 / ksi, "C45, 2003"},
	{"alcast", "Cast aluminium", 220 / ksi, "least of cast aluminium, 2003"},
	{"al7075", "Aluminium 7075", 410 / ksi, "7075, 2003"},
}

// washerLimit is the pressure at which a nut beds into a soft washer, ksi: S235, 2003.
const washerLimit = 490 / ksi

// Pressed gives the area in square inches that a circle presses on round an opening:
// pi/4 de^2 less the hole, the strip of a slot, or half that strip and half a circle.
func Pressed(de, wide float64, o Opening) float64 {
	all := float64(math.Pi / 4 * float64(de*de))
	if wide >= de {
		return 0
	}
	if o == Round {
		return all - float64(math.Pi/4*float64(wide*wide))
	}
	r := de / 2
	strip := float64(wide*math.Sqrt(float64(r*r)-float64(wide*wide/4))) + float64(2*float64(r*r)*math.Asin(wide/de))
	if o == OpenSlot {
		return all - float64(strip/2) - float64(math.Pi/8*float64(wide*wide))
	}
	return all - strip
}

// Bearing is how a nut, on a washer or none, bears on a seat.
type Bearing struct {
	Circle float64 // diameter pressed on, in
	Area   float64 // in2
	Own    float64 // of the bare nut on a round hole as wide, in2
	Limit  float64 // ksi; half at the lip of a slot
	Bears  float64 // lbf
	Dent   float64 // lbf that dents a soft washer under the nut; Inf without one
	Little bool    // it presses on less than half the nut's own ring
}

// Bear gives the bearing of a thread's nut: under a washer the pressed circle is dw + 1.6 h, no
// wider than the washer (VDI 2230, from memory), since the rim of a thin one carries nothing.
func Bear(t thread.Thread, w Washer, s Seat) Bearing {
	dw, _, _ := Face(t)
	b := Bearing{Circle: dw, Limit: s.Metal.Limit, Own: Pressed(dw, s.Wide, Round), Dent: math.Inf(1)}
	if w.Thick > 0 {
		b.Circle = min(w.Outside, dw+float64(1.6*w.Thick))
		if !w.Hard {
			b.Dent = washerLimit * 1000 * Pressed(dw, w.Inside, Round)
		}
	}
	if s.Opening != Round {
		b.Limit /= 2 // common practice at a lip, no published source
	}
	b.Area = Pressed(b.Circle, s.Wide, s.Opening)
	b.Bears = b.Limit * 1000 * b.Area
	b.Little = b.Area <= 0 || b.Area < b.Own/2
	return b
}
