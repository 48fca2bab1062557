package fits

// Seat is the hole, counterbore or spotface under a screw's head. Lengths are in
// inches.
type Seat struct {
	Hole    Hole
	Head    float64 // largest diameter of a socket head, or across corners
	Flats   float64 // across flats of a hexagon head, 0 for a socket head
	High    float64 // height of the head
	Bore    float64 // diameter of the counterbore or spotface
	Tabled  bool    // the counterbore is the one the standard gives
	HasHead bool    // the standard has such a head for the size
}

// SocketSeat gives the counterbore for a socket head cap screw: ASME B18.3 for
// inch screws, ISO 4762 heads in DIN 974-1 counterbores for metric ones. Where
// the tables give no counterbore it is the head and a sixteenth (1.5 mm).
func SocketSeat(s Screw, f Fit) Seat {
	seat := Seat{Hole: Clearance(s, f), High: s.D, HasHead: true}
	if s.Metric {
		r := metricRows[s.row]
		seat.Head = float64(r.head) / 10 / mmPerInch
		seat.Bore = float64(r.bore) / 10 / mmPerInch
		if seat.Tabled = r.bore > 0; !seat.Tabled {
			seat.Bore = seat.Head + 1.5/mmPerInch
		}
		return seat
	}
	r := inchRows[s.row]
	seat.Head = float64(r.head) / 1000
	seat.Bore = float64(r.bore) / 64
	if seat.Tabled = r.bore > 0; !seat.Tabled {
		seat.Bore = seat.Head + 1.0/16
	}
	return seat
}

// cos30 turns the width across flats of a hexagon into that across corners.
const cos30 = 0.8660254037844386

// HexSeat gives the spotface for a hexagon head (ASME B18.2.1; ISO 4014, the older wider heads
// where they differ): for the corners and a little, or the washer or wrench socket and a sixteenth,
// whichever is largest. Washer and wrench are outside diameters, 0 for none.
func HexSeat(s Screw, f Fit, washer, wrench float64) Seat {
	seat := Seat{Hole: Clearance(s, f)}
	if s.Metric {
		r := metricRows[s.row]
		seat.Flats, seat.High = float64(r.flats)/10/mmPerInch, float64(r.high)/10/mmPerInch
		seat.Head = seat.Flats / cos30
	} else {
		r := inchRows[s.row]
		seat.Flats, seat.Head, seat.High = float64(r.flats)/1000, float64(r.corners)/1000, float64(r.high)/1000
	}
	seat.HasHead = seat.Flats > 0
	room := 1.0 / 16
	if s.D > .5+1e-9 {
		room = 1.0 / 8
	}
	seat.Bore = max(seat.Head+room, washer+1.0/16, wrench+1.0/16)
	return seat
}
