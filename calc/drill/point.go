package drill

import (
	"math"
	"strconv"
)

// An Error is a value that cannot be used. Says is one sentence for the
// machinist; Try is an entry that would do, or empty.
type Error struct{ Says, Try string }

// Error returns the sentence.
func (e *Error) Error() string { return e.Says }

// The range of point angles PointLength takes, in degrees. 180 is a flat
// bottom and has no length.
const (
	MinPointAngle = 60
	MaxPointAngle = 180
)

// PointLength returns the length of the cone at a drill's end, from the outer
// corners to the tip, in the unit of diameter:
//
//	pl = (d/2) / tan(a/2)
//
// with a the included angle in degrees. It is cone geometry; the chisel edge is
// left out, which makes the answer long by some hundredths of the diameter and
// so errs toward breaking through. A diameter that is not above zero, or an
// angle outside 60 to 180 degrees, is an *Error.
func PointLength(diameter, angle float64) (float64, error) {
	if !(diameter > 0) || math.IsInf(diameter, 0) {
		return 0, &Error{Says: "the drill's diameter must be more than zero", Try: "5/16"}
	}
	if !(angle >= MinPointAngle && angle <= MaxPointAngle) {
		return 0, &Error{
			Says: "the point angle must be from " + strconv.Itoa(MinPointAngle) + " to " +
				strconv.Itoa(MaxPointAngle) + " degrees, the angle between the two lips",
			Try: "118",
		}
	}
	return float64(diameter * PointFactor(angle)), nil
}

// PointFactor returns the length of a point as a part of its diameter,
// 1/(2 tan(a/2)), for an included angle in degrees from 60 to 180: about 0.300
// at 118 degrees and 0.233 at 130. It returns 0 outside that range.
func PointFactor(angle float64) float64 {
	if !(angle >= MinPointAngle && angle < MaxPointAngle) {
		return 0
	}
	return 1 / float64(2*math.Tan(float64(angle*math.Pi/360)))
}
