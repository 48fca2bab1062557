//go:build !js

package uncertainty

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "accept", Rows: acceptChecks()},
		{Sheet: "repeat", Rows: repeatChecks()},
		{Sheet: "sure", Rows: budgetChecks()},
	}
}

// The published values that this package must reproduce.

const gum = "JCGM 100:2008 (GUM), "

func std(g Given, value float64) func() float64 {
	return func() float64 { return Part{Given: g, Value: value}.Std() }
}

// endGauge is the budget of JCGM 100 H.1, in nanometres: standard, difference,
// difference of expansion, difference of temperature.
func endGauge() []Part {
	const l = 50000623
	return []Part{
		{"standard", Standard, 25, 1, 18},
		{"difference", Standard, math.Sqrt(5.8*5.8 + 3.9*3.9 + 6.7*6.7), 1, 25.6},
		{"expansion", Limit, 1e-6, l * 0.1, 50},
		{"temperature", Limit, 0.05, l * 11.5e-6, 2},
	}
}

// budget gives one figure of a budget, NaN where it is refused.
func budget(parts []Part, corr []Pair, cover float64, get func(Budget) float64) func() float64 {
	return func() float64 {
		b, err := Combine(parts, corr, cover)
		if err != nil {
			return math.NaN()
		}
		return get(b)
	}
}

func uc(b Budget) float64 { return b.Std }
func df(b Budget) float64 { return b.DF }

// impedance is the budget of JCGM 100 H.2 in ohms: potential, current, phase.
// r, x and z say which of the three quantities is computed.
func impedance(which byte) ([]Part, []Pair) {
	const v, i, phi = 4.9990, 19.6610e-3, 1.04446
	sin, cos := math.Sincos(phi)
	c := [3]float64{1 / i, -v / i / i, 0}
	switch which {
	case 'r':
		c = [3]float64{cos / i, -v * cos / i / i, -v * sin / i}
	case 'x':
		c = [3]float64{sin / i, -v * sin / i / i, v * cos / i}
	}
	return []Part{{"V", Standard, 0.0032, c[0], 4}, {"I", Standard, 0.0095e-3, c[1], 4}, {"phi", Standard, 0.00075, c[2], 4}},
		[]Pair{{0, 1, -0.36}, {0, 2, 0.86}, {1, 2, -0.65}}
}

func budgetChecks() []check.Check {
	gauge := endGauge()
	sub := []Part{{Given: Standard, Value: 5.8, Sens: 1, DF: 24}, {Given: Standard, Value: 3.9, Sens: 1, DF: 5}, {Given: Standard, Value: 6.7, Sens: 1, DF: 8}}
	three := []Part{{Given: Standard, Value: .25, Sens: 1, DF: 9}, {Given: Standard, Value: .57, Sens: 1, DF: 4}, {Given: Standard, Value: .82, Sens: 1, DF: 14}}
	resistance := func(which byte) func() float64 {
		parts, corr := impedance(which)
		return budget(parts, corr, 0, uc)
	}
	return []check.Check{
		{What: "End gauge: combined standard uncertainty", Got: budget(gauge, nil, .99, uc), Want: 32, Tol: .5, Unit: "nm", Source: gum + "H.1.6, equation H.7", Provenance: check.Published},
		{What: "End gauge: effective degrees of freedom", Got: budget(gauge, nil, .99, df), Want: 16.7, Tol: .06, Source: gum + "H.1.6", Provenance: check.Published},
		{What: "End gauge: coverage factor, 99 %", Got: budget(gauge, nil, .99, func(b Budget) float64 { return b.K }), Want: 2.92, Tol: .005, Source: gum + "H.1.6: t99(16)", Provenance: check.Published},
		{What: "End gauge: U, 99 % (printed 93, from rounded steps 2.92 x 32)", Got: budget(gauge, nil, .99, func(b Budget) float64 { return b.U }), Want: 93, Tol: 1, Unit: "nm", Source: gum + "H.1.6", Provenance: check.Published},
		{What: "End gauge: standard uncertainty of the difference", Got: budget(sub, nil, 0, uc), Want: 9.7, Tol: .05, Unit: "nm", Source: gum + "H.1.3.2", Provenance: check.Published},
		{What: "End gauge: degrees of freedom of the difference (printed 25.6, from 9.7 already rounded)", Got: budget(sub, nil, 0, df), Want: 25.6, Tol: .2, Source: gum + "H.1.6", Provenance: check.Published},
		{What: "End gauge: what the temperature adds", Got: func() float64 { return gauge[3].Share() }, Want: 16.6, Tol: .05, Unit: "nm", Source: gum + "H.1.3", Provenance: check.Published},
		{What: "End gauge: what the expansion adds", Got: func() float64 { return gauge[2].Share() }, Want: 2.9, Tol: .05, Unit: "nm", Source: gum + "H.1.3", Provenance: check.Published},
		{What: "Resistance, correlated inputs: standard uncertainty", Got: resistance('r'), Want: .071, Tol: .0015, Unit: "ohm", Source: gum + "H.2, table H.4; inputs rounded as printed", Provenance: check.Published},
		{What: "Reactance, correlated inputs: standard uncertainty", Got: resistance('x'), Want: .295, Tol: .0015, Unit: "ohm", Source: gum + "H.2, table H.4; inputs rounded as printed", Provenance: check.Published},
		{What: "Impedance, correlated inputs: standard uncertainty", Got: resistance('z'), Want: .236, Tol: .0015, Unit: "ohm", Source: gum + "H.2, table H.4; inputs rounded as printed", Provenance: check.Published},
		{What: "Product of three quantities: relative uncertainty", Got: budget(three, nil, .95, uc), Want: 1.03, Tol: .005, Unit: "%", Source: gum + "G.4.1, example", Provenance: check.Published},
		{What: "Product of three quantities: degrees of freedom", Got: budget(three, nil, .95, df), Want: 19.0, Tol: .05, Source: gum + "G.4.1, example", Provenance: check.Published},
		{What: "Product of three quantities: U, 95 %", Got: budget(three, nil, .95, func(b Budget) float64 { return b.U }), Want: 2.2, Tol: .06, Unit: "%", Source: gum + "G.4.1, example", Provenance: check.Published},
		{What: "Graduation of 1 milliohm: standard uncertainty of one reading", Got: std(Step, 1), Want: .29, Tol: .005, Unit: "milliohm", Source: "World Meteorological Organization, expert team on instruments, uncertainty example of an ohmmeter resolving 0.001 ohm; " + gum + "F.2.2.1", Provenance: check.Published},
		{What: "Resistor, 129 microohm at 99 %: standard uncertainty", Got: std(At99, 129), Want: 50, Tol: .5, Unit: "microohm", Source: gum + "4.3.4", Provenance: check.Memory},
		{What: "Expansion of copper, limits 0.40e-6: standard uncertainty", Got: std(Limit, .40), Want: .23, Tol: .005, Unit: "ppm/K", Source: gum + "4.3.7", Provenance: check.Memory},
		{What: "Swing of 0.5 C: standard uncertainty", Got: std(Swing, .5), Want: .35, Tol: .005, Unit: "C", Source: gum + "H.1.3.4", Provenance: check.Memory},
		{What: "Difference of two readings to 0.0005: two graduations added as squares", Got: std(Twice, .0005), Want: .0005 / math.Sqrt(12) * math.Sqrt2, Tol: 1e-15, Unit: "in", Source: gum + "5.1.2 with F.2.2.1", Provenance: check.Exact},
	}
}

// temperatures is the sample of JCGM 100 4.4.3, table 1, in degrees Celsius.
var temperatures = []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}

func repeatChecks() []check.Check {
	get := func(x []float64, what func(Readings) float64) func() float64 {
		return func() float64 {
			r, err := Repeat(x, 0, 0, .95)
			if err != nil {
				return math.NaN()
			}
			return what(r)
		}
	}
	mean := func(r Readings) float64 { return r.Mean }
	of := func(r Readings) float64 { return r.MeanErr }
	const table, h2 = gum + "4.4.3, table 1", gum + "H.2, table H.2"
	volts, milliamps, phase := []float64{5.007, 4.994, 5.005, 4.990, 4.999}, []float64{19.663, 19.639, 19.640, 19.685, 19.678}, []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	return []check.Check{
		{What: "Twenty readings: mean", Got: get(temperatures, mean), Want: 100.145, Tol: .0005, Unit: "C", Source: table, Provenance: check.Published},
		{What: "Twenty readings: standard deviation", Got: get(temperatures, func(r Readings) float64 { return r.SD }), Want: 1.489, Tol: .0005, Unit: "C", Source: table, Provenance: check.Published},
		{What: "Twenty readings: standard uncertainty of the mean", Got: get(temperatures, of), Want: .333, Tol: .0005, Unit: "C", Source: table, Provenance: check.Published},
		{What: "Potential, five readings: mean", Got: get(volts, mean), Want: 4.9990, Tol: 1e-9, Unit: "V", Source: h2, Provenance: check.Published},
		{What: "Potential, five readings: standard uncertainty of the mean", Got: get(volts, of), Want: .0032, Tol: .00005, Unit: "V", Source: h2, Provenance: check.Published},
		{What: "Current, five readings: mean", Got: get(milliamps, mean), Want: 19.6610, Tol: 1e-9, Unit: "mA", Source: h2, Provenance: check.Published},
		{What: "Current, five readings: standard uncertainty of the mean", Got: get(milliamps, of), Want: .0095, Tol: .00005, Unit: "mA", Source: h2, Provenance: check.Published},
		{What: "Phase, five readings: mean", Got: get(phase, mean), Want: 1.04446, Tol: 1e-9, Unit: "rad", Source: h2, Provenance: check.Published},
		{What: "Phase, five readings: standard uncertainty of the mean", Got: get(phase, of), Want: .00075, Tol: .000005, Unit: "rad", Source: h2, Provenance: check.Published},
		{What: "10000001, 10000003, 10000002: standard deviation", Got: get([]float64{10000001, 10000003, 10000002}, func(r Readings) float64 { return r.SD }), Want: 1, Tol: 1e-12, Source: "NIST StRD, univariate summary statistics, NumAcc1", Provenance: check.Memory},
	}
}

func acceptChecks() []check.Check {
	inside := func(low, high, y, u float64) func() float64 {
		return func() float64 { return Limits{low, high}.Conforms(y, u) }
	}
	edge := func(p float64) func() float64 { return func() float64 { return Guard(p) } }
	const g = "JCGM 106:2012, "
	const ubalt = "University of Baltimore, business statistics tables, cumulative standardized normal distribution, values of particular importance"
	none := math.Inf(1)
	return []check.Check{
		{What: "Zener voltage -5.47 V, u 0.05, at most -5.40: probability", Got: inside(-none, -5.40, -5.47, .05), Want: .92, Tol: .005, Source: g + "7.4, example 1", Provenance: check.Memory},
		{What: "Burst pressure 509.7 kPa, u 8.6, at least 490: probability", Got: inside(490, none, 509.7, 8.6), Want: .99, Tol: .005, Source: g + "7.4, example 2", Provenance: check.Memory},
		{What: "Oil viscosity 13.6, u 1.8, within 12.5 to 16.3: probability", Got: inside(12.5, 16.3, 13.6, 1.8), Want: .66, Tol: .005, Source: g + "7.5, example", Provenance: check.Memory},
		{What: "Guard band for 80 %", Got: edge(.80), Want: .84, Tol: .005, Unit: "u", Source: g + "7.3, table 1; standard normal distribution", Provenance: check.Memory},
		{What: "Guard band for 90 %", Got: edge(.90), Want: 1.28, Tol: .005, Unit: "u", Source: g + "7.3, table 1; standard normal distribution", Provenance: check.Memory},
		{What: "Guard band for 95 %", Got: edge(.95), Want: 1.645, Tol: .0005, Unit: "u", Source: ubalt, Provenance: check.Published},
		{What: "Guard band for 99 %", Got: edge(.99), Want: 2.326, Tol: .0005, Unit: "u", Source: ubalt, Provenance: check.Published},
		{What: "Guard band for 99.9 %", Got: edge(.999), Want: 3.090, Tol: .0005, Unit: "u", Source: ubalt, Provenance: check.Published},
		{What: "Speed limit 100 km/h, u 2 % of the speed, 99.9 % sure: fine from", Got: func() float64 { return 100 / (1 - float64(.02*Guard(.999))) }, Want: 107, Tol: .5, Unit: "km/h", Source: g + "8.3.3, example, guarded rejection", Provenance: check.Memory},
		{What: "Guard band for 97.5 %", Got: edge(.975), Want: 1.960, Tol: .0005, Unit: "u", Source: ubalt, Provenance: check.Published},
		{What: "Guard band for 99.5 %", Got: edge(.995), Want: 2.576, Tol: .0005, Unit: "u", Source: ubalt, Provenance: check.Published},
		{What: "Guard band of 1.3 u: probability of wrong acceptance at its edge", Got: func() float64 { return 1 - inside(-none, 0, -1.3, 1)() }, Want: 1 - .9032, Tol: .00005, Source: "Printed table of the standard normal distribution, 1.30: 0.9032", Provenance: check.Published},
		{What: "Guard band of 1.4 u, as for the Zener voltage: probability", Got: inside(-none, 0, -1.4, 1), Want: .9192, Tol: .00005, Source: "Printed table of the standard normal distribution, 1.40: 0.9192", Provenance: check.Published},
		{What: "Guard band of the whole U, 95 %: wrong acceptance at its edge (printed: below 2.5 %)", Got: func() float64 { return 100 * (1 - inside(-none, 0, -2, 1)()) }, Want: 2.5, Tol: .25, Unit: "%", Source: "ILAC-G8:09/2019, guard band w = U, as quoted by an accredited laboratory", Provenance: check.Published},
		{What: "Guard band of U = 2 u: probability at the edge", Got: inside(-none, 0, -2, 1), Want: .97725, Tol: .000005, Source: "Standard normal distribution: Abramowitz and Stegun, table 26.1", Provenance: check.Published},
		{What: "2.00035 with u 0.0001 within 1.9995 to 2.0005: probability by numeric integration", Got: inside(1.9995, 2.0005, 2.00035, .0001), Want: integral(1.9995, 2.0005, 2.00035, .0001), Tol: 1e-9, Source: "Simpson's rule on the density", Provenance: check.Independent},
		{What: "Limits 9 to 11, u 0.4 about 10: probability outside", Got: func() float64 { return 1 - Limits{9, 11}.Conforms(10, .4) }, Want: .01242, Tol: .000005, Source: "Sandia National Laboratories, uncertainty library, test values of process risk", Provenance: check.Independent},
		{What: "Limits 9 to 11, u 0.4 about 10.5: probability outside", Got: func() float64 { return 1 - Limits{9, 11}.Conforms(10.5, .4) }, Want: .10574, Tol: .000006, Source: "Sandia National Laboratories, uncertainty library, test values of process risk", Provenance: check.Independent},
	}
}

// integral is the probability between two limits by Simpson's rule.
func integral(low, high, y, u float64) float64 {
	const n = 2000
	h := (high - low) / n
	sum := 0.0
	for i := range n + 1 {
		z := (low + float64(float64(i)*h) - y) / u
		w := 2.0
		switch {
		case i == 0 || i == n:
			w = 1
		case i%2 == 1:
			w = 4
		}
		sum += float64(w * math.Exp(-float64(z*z/2)))
	}
	return sum * h / 3 / u / math.Sqrt(2*math.Pi)
}
