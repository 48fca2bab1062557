// Package match answers one question: which of my fixtures takes this part?
//
// The part is a pattern of holes and slots with the bolts they take, a fixture a face with holes,
// threads, slots and T-slots. Find searches every placement of the pattern on every face for those
// that take all bolts; Drill places new holes if there is none.
package match

import "math"

// Kind is what a place for a bolt is.
type Kind uint8

// The kinds. A T-slot is only found on fixtures.
const (
	Clear  Kind = iota // a hole the bolt passes
	Tapped             // a hole that holds the bolt
	Slot               // a through slot with round ends
	Tee                // a T-slot
)

// Bolt is a bolt. Bolts of one name screw into threads of that name.
type Bolt struct {
	Name string  // full designation of the thread
	Dia  float64 // in
}

// Place is a hole, thread or slot, of the part or of a fixture. Lengths are in
// inches from the zero of its part or face.
type Place struct {
	Kind   Kind
	X, Y   float64
	Size   float64 // diameter, or width of a slot; 0 for a thread
	Length float64 // of a slot over its ends, of a T-slot where nuts can stand
	Angle  float64 // of a slot, degrees from X towards Y
	Bolt   Bolt    // what the part's place takes; a fixture's thread
}

// Rect is a rectangle where no hole may be drilled, by its centre.
type Rect struct {
	X, Y, Wide, High float64
	Rib              bool // a rib behind the face; else a place to keep clear
}

// Plate is one face of a fixture. Width and Height 0 mean they are not known;
// so does Thick.
type Plate struct {
	Fixture, Face               string
	Left, Bottom, Width, Height float64
	Thick                       float64
	Places                      []Place
	Keep                        []Rect
}

// Name gives fixture and face in words.
func (p *Plate) Name() string {
	if p.Face == "" {
		return p.Fixture
	}
	return p.Fixture + ", " + p.Face
}

// Ask is the input of Find.
type Ask struct {
	Spots []Place // of the part, 1 to MaxSpots
	Free  bool    // any turn will do; else the four quarter turns
	Slack float64 // how far off a quarter turn it may sit, rad
	Flip  bool    // the part may also be turned over about its Y axis
	Each  int     // ways kept for one face; 0 takes 3
}

// MaxSpots is the most places a part may have.
const MaxSpots = 12

const (
	tiny         = 1e-9
	settled      = 1e-7  // in: the best fit is within this of the most room
	settledSlots = 1e-5  // in: the same where part and fixture both have slots
	wideBolt     = 2.0   // a fixture's hole wider than this many bolts has no seat for a nut
	maxNodes     = 4e6   // steps of the search before it gives up
	maxFound     = 60000 // ways before it stops collecting
)

// Pose sets the part on a face: a point (x, y) of the part, turned over first
// where Flip, comes to (Cos x - Sin y + X, Sin x + Cos y + Y).
type Pose struct {
	Cos, Sin, X, Y float64
	Flip           bool
}

// Angle is the turn in degrees, counter-clockwise, above -180 to 180.
func (p Pose) Angle() float64 {
	a := math.Atan2(p.Sin, p.Cos) * 180 / math.Pi
	if a <= -180+1e-9 {
		a += 360
	}
	return a
}

// at gives where a point of the part (already turned over) comes to.
func (p Pose) at(v vec) vec {
	return vec{float64(p.Cos*v.x) - float64(p.Sin*v.y) + p.X, float64(p.Sin*v.x) + float64(p.Cos*v.y) + p.Y}
}

// Way is one way to set the part on a face with all bolts in.
type Way struct {
	Plate  int
	Pose   Pose
	To     [MaxSpots]int16 // spot i goes to place To[i] of the face
	Room   float64         // the least room left at any bolt, in, as a radius
	most   float64         // upper bound of the room for these places
	lo, hi float64         // the turns at which they were found, rad
}

// Seat is one bolt of a way.
type Seat struct {
	Spot, Place int
	X, Y        float64 // centre of the part's place, on the face
	Off         float64 // how far out of the middle of its room it sits
	Room        float64 // room left
	Whole       float64 // room there would be in the middle
}

// Count says how many ways one face has.
type Count struct {
	Plate int
	Ways  int
	Room  float64 // of the best
}

// Found is the result of Find: the best ways of each face, best first, and how many there are.
type Found struct {
	Ways    []Way
	Counts  []Count // faces that take the part, in the order given
	Total   int
	Stopped bool // the search was cut short: there may be more
}

type vec struct{ x, y float64 }

func (a vec) sub(b vec) vec       { return vec{a.x - b.x, a.y - b.y} }
func (a vec) add(b vec) vec       { return vec{a.x + b.x, a.y + b.y} }
func (a vec) dot(b vec) float64   { return float64(a.x*b.x) + float64(a.y*b.y) }
func (a vec) cross(b vec) float64 { return float64(a.x*b.y) - float64(a.y*b.x) }
func (a vec) times(k float64) vec { return vec{float64(a.x * k), float64(a.y * k)} }
func (a vec) size() float64       { return math.Sqrt(a.dot(a)) }
func (a vec) turned(c, s float64) vec {
	return vec{float64(c*a.x) - float64(s*a.y), float64(s*a.x) + float64(c*a.y)}
}

// along returns half of a bolt's travel in a slot: less the round ends, or in a T-slot less a nut
// two bolts long.
func along(p Place, bolt float64) vec {
	half := 0.0
	switch p.Kind {
	case Slot:
		half = float64((p.Length - p.Size) / 2)
	case Tee:
		half = float64(p.Length/2) - bolt
	}
	if half <= 0 {
		return vec{}
	}
	s, c := math.Sincos(p.Angle * math.Pi / 180)
	if math.Abs(s) < 1e-15 { // slots along X and Y are exact
		s = 0
	}
	if math.Abs(c) < 1e-15 {
		c = 0
	}
	return vec{half * c, half * s}
}

// joint gives the room a bolt has between a part's place and a fixture's, as a radius; ok is false
// where they do not go together. Floating bolts have (H1-F)/2 + (H2-F)/2, fixed ones (H-F)/2: ASME
// Y14.5-2009, appendix B. A T-nut is assumed central in its slot.
func joint(spot, to *Place) (room float64, ok bool) {
	f := spot.Bolt.Dia
	if spot.Kind != Tapped {
		room = float64((spot.Size - f) / 2)
	}
	switch to.Kind {
	case Tapped:
		return room, spot.Kind != Tapped && to.Bolt.Name == spot.Bolt.Name
	case Tee:
		return room, spot.Kind != Tapped && to.Size >= f-tiny && to.Size <= wideBolt*f
	}
	return room + float64(max(0, to.Size-f)/2), to.Size >= f-tiny && to.Size <= wideBolt*f
}
