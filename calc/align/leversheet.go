package align

import (
	"math"

	"datumbook/calc/worksheet"
)

var leverSheet = worksheet.Sheet{
	Name: "lever", Title: "Lever indicator at an angle", Question: "What did it really move?", Group: "line",
	About: []string{
		"A lever indicator is geared for a tip that moves square to its stylus. With the stylus lying along the surface it reads true; raised by an angle it reads too much, and the true movement is the reading times the cosine. Nulling is not touched: zero is zero at any angle.",
		"A pear-shaped tip is ground to read true at some angle of its own: type that angle. A stylus of another length than the dial was made for changes every reading by the ratio of the lengths.",
	},
	Drawing: "lever",
	Inputs: []worksheet.Input{
		{Key: "reading", Ask: "Needle moved?", Box: "needle", Label: "Reading", Kind: worksheet.Length, Required: true, Needle: true, Example: "0.004",
			Min: "-100 in", Max: "100 in", Help: "What the needle moved."},
		{Key: "angle", Ask: "Stylus at what angle?", Box: "angle", Label: "Stylus angle", Kind: worksheet.Angle, Required: true, Example: "30", Min: "0", Max: "75", Help: "Between the stylus and the surface it touches; 0 is lying along it."},
		{Key: "self", Ask: "Tip reads true at?", Box: "true at", Label: "Tip reads true at", Kind: worksheet.Angle, Default: "0", Example: "12", Min: "0", Max: "30", Help: "0 for a ball tip. A pear-shaped tip's own angle, as its maker says."},
		{Key: "made", Ask: "Which stylus was it made for?", Box: "made for", Label: "Stylus the dial was made for", Kind: worksheet.Length, Example: "13/16", Min: "0.1 in", Max: "10 in", Section: "Stylus length", Help: "Length from pivot to tip. Empty: the stylus is the dial's own."},
		{Key: "used", Ask: "Which stylus is fitted?", Box: "fitted", Label: "Stylus fitted", Kind: worksheet.Length, Example: "13/16", Min: "0.1 in", Max: "10 in", Section: "Stylus length", Help: "Length from pivot to tip of the one in it now."},
		worksheet.Graduation,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "true", Label: "True movement", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "needle",
			Main: true},
		{Key: "factor", Label: "Times the reading", Kind: worksheet.Number,
			Digits: worksheet.Digits{Inch: 4, Metric: 4}, Dial: "three", Main: true},
		{Key: "error", Label: "Reading less true", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Main: true},
		{Key: "percent", Label: "Reads too much by", Kind: worksheet.Percent},
		{Key: "show", Label: "To move the reading's amount, let it show", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Dial: "reads"},
		{Key: "table", Label: "Factors of a ball tip", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "angle", Label: "Angle", Kind: worksheet.Angle}, {Key: "factor", Label: "Times", Kind: worksheet.Number}}},
	},
	Sources: []worksheet.Source{fromGeometry, {Key: "JIS B 7533", Title: "Compensation table published for lever-type dial test indicators to JIS B 7533:2015"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "reading", Text: "0.004 in"}, {Key: "angle", Text: "60"}},
	Compute: leverCompute,
}

var trueMovementStep = worksheet.Step{What: "True movement", Formula: "reading x factor", Numbers: "{s} x {4}", Result: "{s}", Source: "geometry"}

func leverCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	s := Stylus{Angle: v.As("angle", "deg"), Self: v.As("self", "deg"), Made: v.In("made"), Used: v.In("used")}
	k, f := s.Factor()
	if f != nil {
		return f
	}
	reading, grad := v.In("reading"), v.In("grad")
	Steps(o, grad)
	if Slip(o, grad, 0, math.Abs(reading), 0, Meant{Field: "reading", Means: AsMeant(o, reading, grad)}) {
		return nil
	}
	moved := float64(reading * k)
	o.SetAll("true in, factor, error in, percent %, show in", moved, k, reading-moved, 100*(1/k-1), reading/k)
	o.SetText("verdict", o.Fill("It moved {s}: {three } times the {s} it shows.",
		[]string{Read(o, "needle", moved), Full(o, reading)}, k))
	o.Head("It moved "+Told(o, "needle", moved), nil)
	if s.Angle > 30 {
		o.Head("It moved "+Told(o, "needle", moved)+", not "+Wanted(o, reading), nil)
	}
	o.Fact("needle shows "+Wanted(o, reading), nil)
	o.Fact("stylus {0}°", nil, s.Angle)
	o.Fact(worksheet.Either(s.Angle > 30, "lay it flatter", ""), nil)
	const rad = math.Pi / 180
	var rows [][]worksheet.Cell
	for a := 0.0; a <= 60; a += 5 {
		rows = append(rows, worksheet.Cells("dn", nil, a, math.Cos(a*rad)))
	}
	o.SetTable("table", rows)
	formula, numbers := "cos(a)/cos(own angle)", o.Fill("cos({2})/cos({2})", nil, s.Angle, s.Self)
	if s.Made > 0 {
		formula += " x fitted/made for"
		numbers += o.Fill(" x {len}/{len}", nil, s.Used, s.Made)
	}
	o.Work("Factor", formula, numbers, o.Dec(k, 4), "JIS B 7533")
	o.Line(&trueMovementStep, []string{FullBare(o, reading), Full(o, moved)}, k)
	o.CautionIf(s.Angle > 30 && s.Angle <= 45,
		"Above 30 degrees a degree of doubt in the angle is 1 % of the reading and more. Lay the stylus flatter.")
	o.CautionIf(s.Angle > 45,
		"Above 45 degrees a degree of doubt in the angle is more than 2 % of the reading. Lay the stylus flatter.")
	o.NoteIf(s.Self == 0 && s.Angle > 0,
		"Taken for a ball tip. A pear-shaped tip corrects most of this by itself; its maker says at which angle it reads true.")
	return nil
}
