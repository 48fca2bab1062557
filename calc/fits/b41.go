package fits

// ANSI B4.1-1967, tables of running and sliding, locational and force fits.
// Lengths are in hundredths of a thousandth of an inch (0.00001 in). The rows
// follow b41Ends, or forceEnds for the force fits; a short row is not given for
// larger sizes.

// b41Ends are the upper ends of the size ranges, in hundredths of an inch.
var b41Ends = [...]int{12, 24, 40, 71, 119, 197, 315, 473, 709, 985, 1241, 1575, 1969}

// forceEnds are those of the force and shrink fits.
var forceEnds = [...]int{12, 24, 40, 56, 71, 95, 119, 158, 197, 256, 315, 394, 473, 552, 630, 709, 788, 886, 985}

// b41Holes: upper limit of the holes H5 to H11; the lower limit is 0.
var b41Holes = [7][13]int16{
	{20, 20, 25, 30, 40, 40, 50, 60, 70, 80, 90, 100, 100},
	{25, 30, 40, 40, 50, 60, 70, 90, 100, 120, 120, 140, 160},
	{40, 50, 60, 70, 80, 100, 120, 140, 160, 180, 200, 220, 250},
	{60, 70, 90, 100, 120, 160, 180, 220, 250, 280, 300, 350, 400},
	{100, 120, 140, 160, 200, 250, 300, 350, 400, 450, 500, 600, 600},
	{160, 180, 220, 280, 350, 400, 450, 500, 600, 700, 800, 900, 1000},
	{250, 300, 350, 400, 500, 600, 700, 900, 1000, 1200, 1200, 1400, 1600},
}

// b41Class is one class: its hole, H5 is 5, and the shaft's upper and lower
// limits.
type b41Class struct {
	name       string
	says       string
	hole       int
	high, low  []int16
	force      bool
	fromMemory bool
}

const no = -32000 // the table has no such size

var b41Classes = [...]b41Class{
	{name: "RC1", says: "close sliding", hole: 5,
		high: []int16{-10, -15, -20, -25, -30, -40, -40, -50, -60, -60, -80, -100, -120}, low: []int16{-25, -30, -35, -45, -55, -70, -70, -90, -110, -120, -140, -170, -200}},
	{name: "RC2", says: "sliding", hole: 6,
		high: []int16{-10, -15, -20, -25, -30, -40, -40, -50, -60, -60, -80, -100, -120}, low: []int16{-30, -35, -45, -55, -70, -80, -90, -110, -130, -140, -170, -200, -220}},
	{name: "RC3", says: "precision running", hole: 7,
		high: []int16{-30, -40, -50, -60, -80, -100, -120, -140, -160, -200, -250, -300, -400}, low: []int16{-55, -70, -90, -100, -130, -160, -190, -230, -260, -320, -370, -440, -560}},
	{name: "RC4", says: "close running", hole: 8,
		high: []int16{-30, -40, -50, -60, -80, -100, -120, -140, -160, -200, -250, -300, -400}, low: []int16{-70, -90, -110, -130, -160, -200, -240, -280, -320, -380, -450, -520, -650}},
	{name: "RC5", says: "medium running", hole: 8,
		high: []int16{-60, -80, -100, -120, -160, -200, -250, -300, -350, -400, -500, -600, -800}, low: []int16{-100, -130, -160, -190, -240, -300, -370, -440, -510, -580, -700, -820, -1050}},
	{name: "RC6", says: "medium running, wider", hole: 9,
		high: []int16{-60, -80, -100, -120, -160, -200, -250, -300, -350, -400, -500, -600, -800}, low: []int16{-120, -150, -190, -220, -280, -360, -430, -520, -600, -680, -800, -950, -1200}},
	{name: "RC7", says: "free running", hole: 9,
		high: []int16{-100, -120, -160, -200, -250, -300, -400, -500, -600, -700, -800, -1000, -1200}, low: []int16{-160, -190, -250, -300, -370, -460, -580, -720, -850, -980, -1100, -1350, -1600}},
	{name: "RC8", says: "loose running", hole: 10,
		high: []int16{-250, -280, -300, -350, -450, -500, -600, -700, -800, -1000, -1200, -1400, -1600}, low: []int16{-350, -400, -440, -510, -650, -750, -900, -1050, -1200, -1450, -1700, -2000, -2200}},
	{name: "RC9", says: "loose running, wider", hole: 11,
		high: []int16{-400, -450, -500, -600, -700, -800, -900, -1000, -1200, -1500, -1800, -2200, -2500}, low: []int16{-560, -600, -720, -880, -1050, -1200, -1350, -1500, -1800, -2200, -2600, -3100, -3500}},
	{name: "LC1", says: "snug location", hole: 6, fromMemory: true,
		high: []int16{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, low: []int16{-20, -20, -25, -30, -40, -40, -50, -60, -70, -80, -90, -100, -100}},
	{name: "LC2", says: "snug location", hole: 7, fromMemory: true,
		high: []int16{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, low: []int16{-25, -30, -40, -40, -50, -60, -70, -90, -100, -120, -120, -140, -160}},
	{name: "LC3", says: "snug location, wider", hole: 8, fromMemory: true,
		high: []int16{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, low: []int16{-40, -50, -60, -70, -80, -100, -120, -140, -160, -180, -200, -220, -250}},
	{name: "LC4", says: "location, wide", hole: 10, fromMemory: true,
		high: []int16{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, low: []int16{-100, -120, -140, -160, -200, -250, -300, -350, -400, -450, -500, -600, -600}},
	{name: "LC5", says: "location with a little room", hole: 7, fromMemory: true,
		high: []int16{-10, -15, -20, -25, -30, -40, -40, -50, -60, -60}, low: []int16{-35, -45, -60, -65, -80, -100, -110, -140, -160, -180}},
	{name: "LC6", says: "location with room", hole: 9, high: []int16{-30, -40, -50, -60, -80, -100}, low: []int16{-90, -110, -140, -160, -200, -260}},
	{name: "LC7", says: "location with room", hole: 10, high: []int16{-60, -80, -100, -120, -160, -200}, low: []int16{-160, -200, -240, -280, -360, -450}},
	{name: "LC8", says: "location with much room", hole: 10, high: []int16{-100, -120, -160, -200, -250, -300}, low: []int16{-200, -240, -300, -360, -450, -550}},
	{name: "LT1", says: "location, room or squeeze", hole: 7,
		high: []int16{12, 15, 20, 20, 25, 30, 30, 40, 50, 60, 60, 70, 80}, low: []int16{-12, -15, -20, -20, -25, -30, -30, -40, -50, -60, -60, -70, -80}},
	{name: "LT2", says: "location, room or squeeze", hole: 8,
		high: []int16{20, 25, 30, 35, 40, 50, 60, 70, 80, 90, 100, 100, 120}, low: []int16{-20, -25, -30, -35, -40, -50, -60, -70, -80, -90, -100, -100, -120}},
	{name: "LT3", says: "location, tight", hole: 7,
		high: []int16{no, no, 50, 50, 60, 70, 80, 100, 110, 140, 140, 160, 180}, low: []int16{no, no, 10, 10, 10, 10, 10, 10, 10, 20, 20, 20, 20}},
	{name: "LT4", says: "location, tight", hole: 8,
		high: []int16{no, no, 70, 80, 90, 110, 130, 150, 170, 200, 220, 240, 270}, low: []int16{no, no, 10, 10, 10, 10, 10, 10, 10, 20, 20, 20, 20}},
	{name: "LT5", says: "location, mostly squeeze", hole: 7,
		high: []int16{50, 60, 80, 90, 110, 130, 150, 190, 220, 260, 260, 300, 340}, low: []int16{25, 30, 40, 50, 60, 70, 80, 100, 120, 140, 140, 160, 180}},
	{name: "LT6", says: "location, mostly squeeze", hole: 7,
		high: []int16{65, 80, 100, 120, 140, 170, 200, 240, 280, 320, 340, 380, 430}, low: []int16{25, 30, 40, 50, 60, 70, 80, 100, 120, 140, 140, 160, 180}},
	{name: "LN1", says: "location by light press", hole: 6,
		high: []int16{45, 50, 65, 80, 100, 110, 130, 160, 190, 220, 230, 260, 280}, low: []int16{25, 30, 40, 40, 50, 60, 80, 100, 120, 140, 140, 160, 180}},
	{name: "LN2", says: "location by press", hole: 7,
		high: []int16{65, 80, 100, 110, 130, 160, 210, 250, 280, 320, 340, 390, 440}, low: []int16{40, 50, 60, 70, 80, 100, 140, 160, 180, 200, 220, 250, 280}},
	{name: "LN3", says: "location by firm press", hole: 7,
		high: []int16{75, 90, 120, 140, 170, 200, 230, 290, 350, 420, 470, 590, 660}, low: []int16{50, 60, 80, 100, 120, 140, 160, 200, 250, 300, 350, 450, 500}},
	{name: "FN1", says: "light drive", hole: 6, force: true,
		high: []int16{50, 60, 75, 80, 90, 110, 120, 130, 140, 180, 190, 240, 260, 290, 320, 350, 380, 430, 430},
		low:  []int16{30, 40, 50, 50, 60, 70, 80, 90, 100, 130, 140, 180, 200, 220, 250, 280, 300, 350, 350}},
	{name: "FN2", says: "medium drive", hole: 7, force: true,
		high: []int16{85, 100, 140, 160, 160, 190, 190, 240, 240, 270, 290, 370, 390, 450, 500, 550, 620, 620, 720},
		low:  []int16{60, 70, 100, 120, 120, 140, 140, 180, 180, 200, 220, 280, 300, 350, 400, 450, 500, 500, 600}},
	{name: "FN3", says: "heavy drive", hole: 7, force: true,
		high: []int16{no, no, no, no, no, no, 210, 260, 280, 320, 370, 440, 490, 600, 600, 700, 820, 820, 920},
		low:  []int16{no, no, no, no, no, no, 160, 200, 220, 250, 300, 350, 400, 500, 500, 600, 700, 700, 800}},
	{name: "FN4", says: "force", hole: 7, force: true,
		high: []int16{95, 120, 160, 180, 180, 210, 230, 310, 340, 420, 470, 590, 690, 800, 800, 900, 1020, 1120, 1320},
		low:  []int16{70, 90, 120, 140, 140, 160, 180, 250, 280, 350, 400, 500, 600, 700, 700, 800, 900, 1000, 1200}},
	{name: "FN5", says: "force, highest", hole: 8, force: true,
		high: []int16{130, 170, 200, 230, 250, 300, 330, 400, 500, 620, 720, 840, 940, 1160, 1360, 1360, 1580, 1780, 1780},
		low:  []int16{90, 120, 140, 160, 180, 220, 250, 300, 400, 500, 600, 700, 800, 1000, 1200, 1200, 1400, 1600, 1600}},
}

// unread says that the row of a class at this size was not checked against a copy of the table, but
// follows from its neighbours and the grades of the standard.
func (c b41Class) unread(size float64) bool {
	switch {
	case c.fromMemory:
		return true
	case c.force:
		return size > 3.94 && size <= 4.73
	case c.name == "RC5":
		return size > 9.85
	case c.name == "LT6":
		return size > 3.15
	}
	return false
}

// inchFit gives the deviations of a class, in inches, for a basic size in
// inches: the hole's upper limit (its lower is the basic size), the shaft's
// lower and upper. found says that there is such a class, ok that its table has
// the size.
func inchFit(class string, size float64) (c b41Class, hole, low, high float64, found, ok bool) {
	for _, c = range b41Classes {
		if c.name != class {
			continue
		}
		i := rangeOf(b41Ends[:], size)
		k := i
		if c.force {
			k = rangeOf(forceEnds[:], size)
		}
		if i < 0 || k < 0 || k >= len(c.high) || c.high[k] == no {
			return c, 0, 0, 0, true, false
		}
		const unit = 1e5
		return c, float64(b41Holes[c.hole-5][i]) / unit, float64(c.low[k]) / unit, float64(c.high[k]) / unit, true, true
	}
	return b41Class{}, 0, 0, 0, false, false
}

// rangeOf finds the range of a size: above the previous end, up to and including its own.
func rangeOf(ends []int, size float64) int {
	for i, e := range ends {
		if size*100 <= float64(e)+1e-6 {
			return i
		}
	}
	return -1
}
