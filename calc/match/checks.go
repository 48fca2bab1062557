//go:build !js

package match

import (
	"datumbook/calc/check"
	"datumbook/calc/hole"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof { return []check.Proof{{Sheet: "match", Rows: checks()}} }

const y145 = "ASME Y14.5-2009, appendix B: H 0.688 in, F 0.625 in"

func checks() []check.Check {
	five8 := Bolt{"5/8-11 UNC", .625}
	at := func(k Kind, x, y, size float64) Place { return Place{Kind: k, X: x, Y: y, Size: size, Bolt: five8} }
	room := func(part, to Place) func() float64 {
		return func() float64 { r, _ := joint(&part, &to); return r }
	}
	// spacing is the most that two spacings may differ with the bolts still in.
	spacing := func(to Kind, size float64) func() float64 {
		return func() float64 {
			lo, hi := 0.0, 1.0
			for range 40 {
				mid := float64((lo + hi) / 2)
				part := Ask{Spots: []Place{at(Clear, 0, 0, .688), at(Clear, 8, 0, .688)}}
				if Find(part, []Plate{{Places: []Place{at(to, 1, 1, size), at(to, 9+mid, 1, size)}}}).Total > 0 {
					lo = mid
				} else {
					hi = mid
				}
			}
			return lo
		}
	}
	drilled := func(get func(h NewHole) float64) func() float64 {
		return func() float64 {
			plans, _ := Drill(Ask{Spots: []Place{at(Clear, 0, 0, .6875)}}, Rules{-1, -1, -1, hole.Iron, -1, 0, true}, []Plate{{Width: 8, Height: 6, Thick: 3}})
			if len(plans) == 0 {
				return -1
			}
			return get(plans[0].New[0])
		}
	}
	return []check.Check{
		{What: "Fixed bolts: room of one, twice over (T1 + T2 = H - F)", Got: func() float64 { return 2 * room(at(Clear, 0, 0, .688), at(Tapped, 0, 0, 0))() }, Want: .063, Tol: 1e-9, Unit: "in", Source: y145 + ", fixed fastener", Provenance: check.Published},
		{What: "Floating bolts: room of one (T = H - F for each part, half of both)", Got: room(at(Clear, 0, 0, .688), at(Clear, 0, 0, .688)), Want: .063, Tol: 1e-9, Unit: "in", Source: y145 + ", floating fastener", Provenance: check.Published},
		{What: "Fixed bolts: two spacings may differ by", Got: spacing(Tapped, 0), Want: .063, Tol: 1e-6, Unit: "in", Source: y145 + ": the clearances at both bolts added up", Provenance: check.Published},
		{What: "Floating bolts: two spacings may differ by", Got: spacing(Clear, .688), Want: .126, Tol: 1e-6, Unit: "in", Source: y145 + ": the clearances at both bolts added up", Provenance: check.Published},
		{What: "Four holes 6 x 4 in on threads measured out of place: most room at the tightest", Got: func() float64 {
			part := Ask{Spots: []Place{at(Clear, 0, 0, .6875), at(Clear, 6, 0, .6875), at(Clear, 6, 4, .6875), at(Clear, 0, 4, .6875)}, Slack: .05}
			f := Find(part, []Plate{{Places: []Place{at(Tapped, 1.004, 2.003, 0), at(Tapped, 7.011, 1.992, 0), at(Tapped, 6.996, 6.013, 0), at(Tapped, .989, 5.998, 0)}}})
			if f.Total == 0 {
				return -1
			}
			return f.Ways[0].Room
		}, Want: 0.0198418537, Tol: 2e-7, Unit: "in", Source: "Random descent on shift and turn by a separate program", Provenance: check.Independent},
		{What: "New 5/8-11 hole in thick iron: thread usually wanted", Got: drilled(func(h NewHole) float64 { return h.Plan.Strong }), Want: .9375, Tol: 1e-9, Unit: "in", Source: "Workshop habit: one and a half bolts in iron", Provenance: check.Practice},
		{What: "New 5/8-11 hole, drill", Got: drilled(func(h NewHole) float64 { return h.Dia }), Want: 17.0 / 32, Tol: 1e-9, Unit: "in", Source: "Machinery's Handbook, 31st ed., tap drill sizes: 5/8-11, 17/32 in", Provenance: check.Published},
	}
}
