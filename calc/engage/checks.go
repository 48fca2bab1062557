//go:build !js

package engage

import (
	"math"

	"datumbook/calc/check"
	"datumbook/calc/thread"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "engage", Rows: checks()},
	}
}

// made is a shorthand for the checks: a joint that must be valid.
func made(designation string, bolt, tensile, shear float64) Strength {
	t, err := thread.Parse(designation)
	if err != nil {
		return Strength{Needed: math.NaN()}
	}
	s, f := Length(Joint{Thread: t, Bolt: bolt, Tensile: tensile, Shear: shear})
	if f != nil {
		return Strength{Needed: math.NaN()}
	}
	return s
}

func of(designation string, grade, metal string) Strength {
	t, _ := thread.Parse(designation)
	s, f := Needed(t, grade, metal, 0)
	if f != nil {
		return Strength{Needed: math.NaN()}
	}
	return s
}

// checks are the published values that the package must reproduce.
func checks() []check.Check {
	var out []check.Check
	area := func(d string, want float64) {
		out = append(out, check.Check{What: d + ", tensile stress area", Got: func() float64 { return made(d, 60e3, 60e3, 36e3).Area }, Want: want, Tol: .00005, Unit: "in2",
			Source: "Machinery's Handbook, 31st ed., p. 1978, stress areas of Unified threads", Provenance: check.Published})
	}
	area("1/4-20", .0318)
	area("3/8-16", .0775)
	area("1/2-13", .1419)
	area("5/8-11", .2260)
	area("1-8", .6057)
	// The breaking strengths of A489 are 65,000 psi on the stress area.
	for _, r := range []struct {
		d    string
		want float64
	}{{"1/2-13", 9200}, {"5/8-11", 14700}, {"1-8", 39400}, {"1-1/4-7", 63000}} {
		out = append(out, check.Check{What: r.d + " at 65,000 psi, load that breaks it", Got: func() float64 { return made(r.d, 65e3, 60e3, 36e3).Break }, Want: r.want, Tol: 50, Unit: "lbf",
			Source: "ASTM A489-12, breaking strength of eyebolts, 65,000 psi least tensile strength", Provenance: check.Published})
	}
	mm := func(d string, want, tol float64) {
		out = append(out, check.Check{What: d + ", tensile stress area", Got: func() float64 { return made(d, 60e3, 60e3, 36e3).Area * 645.16 }, Want: want, Tol: tol, Unit: "mm2",
			Source: "ISO 898-1, nominal stress area", Provenance: check.Published})
	}
	mm("M8", 36.6, .05)
	mm("M12", 84.3, .05)
	mm("M16", 157, .5)
	mm("M20", 245, .5)
	out = append(out, check.Check{What: "Grey iron class 20, shear strength", Got: func() float64 { m, _ := FindMetal("grey20"); return m.Shear / 1000 }, Want: 26, Tol: 1e-9, Unit: "ksi",
		Source: "Material data for ASTM A48 class 20 grey iron", Provenance: check.Published})
	out = append(out, check.Check{What: "M12 class 8.8, load that breaks it", Got: func() float64 { return of("M12", "8.8", "mild").Break * 4.4482216152605 / 1000 }, Want: 67.4, Tol: .06, Unit: "kN",
		Source: "EN ISO 898-1, minimum ultimate tensile loads of coarse threads, table: 67,400 N", Provenance: check.Published})
	out = append(out, check.Check{What: "M10 class 10.9, load that breaks it", Got: func() float64 { return of("M10", "10.9", "mild").Break * 4.4482216152605 / 1000 }, Want: 60.3, Tol: .06, Unit: "kN",
		Source: "EN ISO 898-1, minimum ultimate tensile loads of coarse threads, table: 60,300 N", Provenance: check.Published})
	out = append(out, check.Check{What: "Grey iron class 35, shear strength", Got: func() float64 { m, _ := FindMetal("grey35"); return m.Shear / 1000 }, Want: 48, Tol: .6, Unit: "ksi",
		Source: "Material data for ASTM A48 class 35 grey iron, 330 MPa or 48 ksi", Provenance: check.Published})
	out = append(out, check.Check{What: "5/8-11 in a metal of 27,000 psi shear, pull-out of 1 in of rough thread", Got: func() float64 { return of("5/8-11", "5", "al6061").PullOut(1) }, Want: math.Pi * .5660 * 27000 / 3, Tol: 5, Unit: "lbf",
		Source: "NASA RP-1228, pull-out load of tapped holes, worked by hand with the pitch diameter of ASME B1.1", Provenance: check.Published})
	second := func(what string, got func() float64, want, tol float64, unit string) {
		out = append(out, check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: unit, Provenance: check.Independent,
			Source: "Formulas of ASME B1.1 appendix B and FED-STD-H28/2B, worked apart from this program from the printed " +
				"limits"})
	}
	second("5/8-11 2A/2B, shear area of the screw's thread for an inch",
		func() float64 { return of("5/8-11", "5", "grey30").External }, .9982, 5e-4, "in2")
	second("5/8-11 2A/2B, shear area of the tapped thread for an inch",
		func() float64 { return of("5/8-11", "5", "grey30").Internal }, 1.4249, 5e-4, "in2")
	second("5/8-11 bolt and hole equally strong, engagement",
		func() float64 { return of("5/8-11", "5", "grey30").Equal }, .4528, 2e-4, "in")
	second("5/8-11 grade 5 in class 30, J", func() float64 { return of("5/8-11", "5", "grey30").Ratio }, 2.802, .002, "")
	second("5/8-11 grade 5 in class 30, engagement by tensile strengths",
		func() float64 { return of("5/8-11", "5", "grey30").ByTensile }, 1.269, .001, "in")
	second("5/8-11 grade 5 in class 30, engagement by shear strengths",
		func() float64 { return of("5/8-11", "5", "grey30").ByShear }, .476, .001, "in")
	second("1/2-13 grade 2 in class 30, engagement by tensile strengths",
		func() float64 { return of("1/2-13", "2", "grey30").ByTensile }, .623, .001, "in")
	second("5/8-11 grade 5 in 6061-T6, engagement by shear strengths",
		func() float64 { return of("5/8-11", "5", "al6061").ByShear }, .705, .001, "in")
	return append(out, profiles()...)
}

// profiles compares the shear areas with the width of the thread measured on
// its drawn profile.
func profiles() []check.Check {
	width := func(d, d2, p float64) float64 { return p * onProfile((d-d2)/p) }
	screw := func() float64 { return math.Pi * .434 / (1. / 13) * width(.434, .4435, 1./13) }
	hole := func() float64 { return math.Pi * .4876 / (1. / 13) * width(.4565, .4876, 1./13) }
	return []check.Check{
		{What: "1/2-13 2A/2B, shear area of the screw's thread for an inch", Got: func() float64 { return of("1/2-13", "5", "mild").External }, Want: screw(), Tol: .0005, Unit: "in2",
			Source: "Width of the thread counted along its drawn 60 degree profile, with the limits of size ASME B1.1 prints", Provenance: check.Independent},
		{What: "1/2-13 2A/2B, shear area of the tapped thread for an inch", Got: func() float64 { return of("1/2-13", "5", "mild").Internal }, Want: hole(), Tol: .0005, Unit: "in2",
			Source: "Width of the thread counted along its drawn 60 degree profile, with the limits of size ASME B1.1 prints", Provenance: check.Independent},
		{What: "1/2-13 bolt and hole equally strong, engagement", Got: func() float64 { return of("1/2-13", "5", "mild").Equal }, Want: 2 * .1419 / screw(), Tol: .0005, Unit: "in",
			Source: "FED-STD-H28: the thread's shear area must be twice the stress area; both by hand", Provenance: check.Independent},
	}
}

// onProfile walks along one pitch of a sharp 60 degree thread and counts where
// the thread is thicker than a given depth, a number of pitches on diameter
// below (less than 0) or above the pitch cylinder.
func onProfile(above float64) float64 {
	const steps = 200000
	n := 0
	for i := range steps {
		along := (float64(i) + .5) / steps       // from the middle of one groove to the next
		rise := 1 - math.Abs(float64(2*along)-1) // 0 at the groove, 1 at the crest
		height := (rise - .5) * math.Sqrt(3) / 2
		if height > .5*above { // halving is exact
			n++
		}
	}
	return float64(n) / steps
}
