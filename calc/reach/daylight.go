package reach

// Stack is what stands between the spindle nose and the table, in inches. On a horizontal borer the
// stack is horizontal: table means the far face, knee the saddle, quill the spindle's travel.
type Stack struct {
	Daylight float64 // most from spindle nose to table, knee at its lowest
	Knee     float64 // knee travel
	Quill    float64 // quill travel used for the cut; 0 where the knee feeds
	Tool     float64 // nose to cutting edge
	Under    float64 // fixture and packing under the part
	Part     float64 // table side of the part to the finished surface
	Depth    float64 // how far below that surface the tool goes
	Over     float64 // highest thing above that surface the tool has to pass
	Clear    float64 // room wanted above it
	Hang     float64 // how far the part hangs below the table's top
	Floor    float64 // table's top to floor or base with the knee at its lowest
	HasHang  bool
}

// Fit is the result: nose-to-table distances that work, or why none does.
type Fit struct {
	Low, High float64 // window of nose to table; empty where Low > High
	Lift      float64 // how far the tool has to rise above the finished surface
	Stroke    float64 // depth and lift together
	Cut       float64 // nose to table with the tool at depth and the quill up
	RoomUp    float64 // spare above: daylight less what the raised tool needs
	RoomDown  float64 // spare below: how much further the tool could go
	Quill     float64 // spare quill travel
	Hang      float64 // spare between the hanging part and the floor, best case
}

// Fits computes a stack.
//
// With the quill feeding, nose to table stays at z, and
//
//	z >= tool + work + lift              (tool clear above, quill up)
//	z <= tool + work - depth + quill     (tool at depth, quill down)
//
// With the knee feeding, z goes from tool + work - depth up to tool + work +
// lift, and both must lie within the knee's travel; the window is that stroke.
func (s Stack) Fits() Fit {
	work := s.Under + s.Part
	f := Fit{Lift: s.Over + s.Clear}
	f.Stroke = s.Depth + f.Lift
	f.Cut = s.Tool + work - s.Depth
	up := s.Tool + work + f.Lift
	lowest, highest := s.Daylight-s.Knee, s.Daylight
	if s.HasHang { // lowering the table by x brings the part x nearer the floor
		f.Hang = s.Floor + s.Daylight - up - s.Hang - s.Clear
		highest = min(highest, s.Floor+s.Daylight-s.Hang-s.Clear)
	}
	f.RoomUp = s.Daylight - up
	if s.Quill > 0 {
		f.Low, f.High = max(lowest, up), min(highest, f.Cut+s.Quill)
		f.Quill = s.Quill - f.Stroke
		f.RoomDown = f.Cut + s.Quill - lowest
		return f
	}
	f.Low, f.High = f.Cut, min(highest, up)
	f.RoomDown = f.Cut - lowest
	return f
}

// Works reports whether the stack can be cut: with the quill anywhere in the window, with the knee
// the whole stroke.
func (s Stack) Works() bool {
	f := s.Fits()
	const slack = -1e-9
	if s.HasHang && f.Hang < slack {
		return false
	}
	if s.Quill > 0 {
		return f.High-f.Low >= slack
	}
	return f.RoomUp >= slack && f.RoomDown >= slack
}

// Spare is the smallest clearance; negative if it does not fit.
func (s Stack) Spare() float64 {
	f := s.Fits()
	x := min(f.RoomUp, f.RoomDown)
	if s.Quill > 0 {
		x = min(x, f.Quill, f.High-f.Low)
	}
	if s.HasHang {
		x = min(x, f.Hang)
	}
	return x
}
