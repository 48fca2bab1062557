package locate

import (
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Dial is a handwheel: its screw, its dial and the direction of approach.
type Dial struct {
	Lead  units.Length // travel in a turn
	Div   units.Length // one division
	Falls bool         // the dial's numbers fall as the coordinate rises
	Down  bool         // every position is approached with the dial's numbers falling
	Anti  bool         // the numbers fall as the wheel is turned clockwise
}

// Stop is a position on the dial.
type Stop struct {
	Count   int64        // divisions from the zero, as the dial counts
	Turns   int64        // whole turns from the zero, downwards for negative places
	Reading units.Length // what the dial shows
	Over    units.Length // rounding error of the division, in coordinates
	Move    int64        // divisions from the last stop, as the dial counts
	Past    bool         // overrun it and come back, to take up backlash
}

// Check refuses a dial whose divisions do not fill a turn.
func (d Dial) Check(lead, div string) *worksheet.InputError {
	switch {
	case d.Lead <= 0:
		return worksheet.Refuse(lead, "Travel in a turn: it must be more than nothing. Type it like 0.200.")
	case d.Div <= 0:
		return worksheet.Refuse(div, "Division: it must be more than nothing. Type it like 0.001.")
	case d.Lead%d.Div != 0 || d.Lead/d.Div < 2:
		return worksheet.Refuse(div, "Division: a turn does not hold a whole number of them. Check the travel in a turn and the division, unit and all.")
	}
	return nil
}

// Stops converts coordinates to dial positions, from zero in the order given, in whole picometres.
// Backlash is taken up at the zero in the direction of approach; a position the other way is
// overrun and approached again.
func (d Dial) Stops(at []units.Length) []Stop {
	out := make([]Stop, len(at))
	var last int64
	for i, x := range at {
		n := divide(x+d.Div/2, d.Div) // nearest division, halves up
		s := Stop{Over: x - units.Length(n)*d.Div, Count: n}
		if d.Falls {
			s.Count = -n
		}
		per := int64(d.Lead / d.Div)
		s.Turns = divide(units.Length(s.Count), units.Length(per))
		s.Reading = units.Length(s.Count-s.Turns*per) * d.Div
		s.Move = s.Count - last
		s.Past = s.Move < 0 && !d.Down || s.Move > 0 && d.Down
		last = s.Count
		out[i] = s
	}
	return out
}

// divide is the whole part of a/b, rounded down; b is more than 0.
func divide(a, b units.Length) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return int64(q)
}
