package cut

import (
	"math"

	"datumbook/calc/reach"
	"datumbook/calc/worksheet"
)

// Face is a face to be milled off, inches and minutes.
type Face struct {
	Long, Wide     float64
	Stock, Deep    float64 // to take off in all; most for a roughing pass
	Finish         float64 // left for the last pass, 0 for none
	Cutter         float64
	Runout, Edge   float64
	Step           float64 // most between passes, in
	Clear          bool    // clear of both ends
	Feed, FineFeed float64 // table feeds, in/min
	BothWays       bool
	Rapid          float64 // return, in/min
	Handling       float64 // min for each pass
}

// Plan is how a face is milled.
type Plan struct {
	Rows, Levels int     // side by side; roughing passes deep
	Finishing    bool    // one more level
	Each         float64 // depth of a roughing pass
	Apart        float64 // between rows
	Travel       float64 // length of a pass
	Pass, Fine   float64 // min of a pass
	Cutting      float64 // min feeding in all
	Total        float64 // with returns and handling
}

// Passes is how many passes there are in all.
func (p Plan) Passes() int {
	n := p.Levels
	if p.Finishing {
		n++
	}
	return n * p.Rows
}

// Make plans a face: passes side by side by reach.Rows, each as long as reach.Path, time = length
// over feed (milling time formulas).
func (f Face) Make() Plan {
	var p Plan
	rough := f.Stock
	if f.Finish > 0 {
		p.Finishing = true
		rough = max(f.Stock-f.Finish, 0)
	}
	p.Levels = int(math.Ceil(rough/f.Deep - 1e-9))
	if p.Levels > 0 {
		p.Each = rough / float64(p.Levels)
	}
	n, span := reach.Rows(f.Wide, f.Cutter, f.Edge, f.Step)
	p.Rows = n
	if n > 1 {
		p.Apart = span / float64(n-1)
	}
	ends := worksheet.Either(f.Clear, reach.ClearBoth, reach.FromLow)
	lo, hi := reach.Path(f.Long, f.Cutter, f.Runout, reach.Approach(f.Cutter, reach.Half(f.Wide, f.Cutter, f.Edge, n, span)), ends)
	p.Travel = hi - lo
	p.Pass, p.Fine = p.Travel/f.Feed, p.Travel/f.FineFeed
	rows := float64(n)
	p.Cutting = float64(float64(rows*float64(p.Levels)) * p.Pass)
	if p.Finishing {
		p.Cutting += float64(rows * p.Fine)
	}
	passes := float64(p.Passes())
	p.Total = p.Cutting + float64(passes*f.Handling)
	if !f.BothWays {
		p.Total += float64(passes*p.Travel) / f.Rapid
	}
	return p
}

// Worked lines of facingCompute.
var (
	tableFeedStep      = worksheet.Step{What: "Table feed", Formula: "vf = fz z n", Numbers: "{in} x {0} x {0}", Result: "{in/min}", Source: "geometry"}
	timeRoughingStep   = worksheet.Step{What: "Time of a roughing pass", Formula: "t = length/vf", Numbers: "{len} / {in/min}", Result: "{min}", Source: "FMP"}
	roughingPassesStep = worksheet.Step{What: "Roughing passes deep", Formula: "(stock - finish)/depth, rounded up", Numbers: "{len} - {len}, {len}", Result: "{0} of {in}", Source: "practice"}
	passesSideStep     = worksheet.Step{What: "Passes side by side", Formula: "1 + (W + 2 edge - D)/step, rounded up", Numbers: "W {len}, D {len}", Result: "{0}", Source: "practice"}
)

func facingCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	const most = 2000
	feed := v.In("pertooth") * v.Num("teeth") * v.As("rpm", "rpm")
	f := Face{Long: v.In("long"), Wide: v.In("wide"), Stock: v.In("stock"), Deep: v.In("depth"), Finish: min(v.In("finish"), v.In("stock")), Cutter: v.In("cutter"),
		Runout: v.In("runout"), Edge: v.In("edge"), Step: v.In("cutter") * v.Num("step") / 100, Clear: v.Choice("ends") == "both",
		Feed: feed, FineFeed: feed * v.Num("finfeed") / 100, BothWays: v.Choice("way") == "two", Rapid: v.As("rapid", "in/min"), Handling: v.As("handling", "min")}
	if f.Stock/f.Deep > most || f.Wide/f.Step > most {
		return v.Refuse("depth", "it would take thousands of passes. Check the stock, the depth and the cutter.")
	}
	p := f.Make()
	if p.Passes() > most {
		return v.Refuse("depth", "it would take thousands of passes. Check the stock, the depth and the cutter.")
	}
	o.SetAll("total min, cutting min, passes, rows, levels, each in, feed in/min, finefeed in/min, travel in, apart in, onepass min",
		p.Total, p.Cutting, float64(p.Passes()), float64(p.Rows), float64(p.Levels), p.Each,
		f.Feed, f.FineFeed, p.Travel, p.Apart, p.Pass)
	wide := worksheet.Either(p.Rows > 1, min(p.Apart, f.Cutter), min(f.Wide, f.Cutter))
	o.SetAll("removal in3/min, volume in3", p.Each*wide*f.Feed, f.Long*f.Wide*f.Stock)
	deep := o.Dec(float64(p.Levels), 0) + " roughing"
	if p.Finishing {
		deep += " and one finishing"
	}
	o.SetText("verdict", o.Fill("{0} passes, about {min}: {s} deep, {0} side by side.", []string{deep}, float64(p.Passes()), p.Total, float64(p.Rows)))
	o.Line(&tableFeedStep, nil, v.In("pertooth"), v.Num("teeth"), v.As("rpm", "rpm"), feed)
	formula := worksheet.Either(f.Clear, "L + D + 2 c", "L + A + 2 c")
	o.Work("Length of a pass", formula, o.Fill("L {len}, D {len}, c {len}", nil, f.Long, f.Cutter, f.Runout), o.Len(p.Travel), "FMP")
	o.Line(&timeRoughingStep, nil, p.Travel, feed, p.Pass)
	o.Line(&roughingPassesStep, nil, f.Stock, f.Finish, f.Deep, float64(p.Levels), p.Each)
	o.Line(&passesSideStep, nil, f.Wide, f.Cutter, float64(p.Rows))
	o.NoteIf(p.Finishing && p.Levels == 0, "The finishing cut takes all the stock: there is no roughing pass.")
	o.CautionIf(f.BothWays && p.Passes() > 1,
		"Cutting both ways climbs one way: take out backlash and lock what does not move, or cut one way.")
	o.Note("Times are for the table's feed alone; setting up, measuring and changing edges come on top. Lift or move clear before you run back.")
	return nil
}
