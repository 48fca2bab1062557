package cut

import (
	"math"

	"datumbook/calc/reach"
	"datumbook/calc/units"
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

// start is how far from the face's middle the cutter's middle stands before a pass.
func (f Face) start() float64 { return float64(f.Long/2) + float64(f.Cutter/2) + f.Runout }

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
	if !v.Given("finish") && f.Stock <= f.Deep && f.Stock < 2*f.Finish {
		f.Finish = f.Stock // no roughing pass thinner than the finishing one
	}
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
	o.Set("start", f.start(), "in")
	deep := ""
	if p.Levels > 0 {
		deep = o.Fill(": {0} deep of {pass in}", nil, float64(p.Levels), p.Each)
	}
	if p.Finishing {
		deep += o.Fill("{s} a finishing one of {pass in}", []string{worksheet.Either(p.Levels > 0, " and", ":")},
			f.Stock-float64(float64(p.Levels)*p.Each))
	}
	rows := worksheet.Either(p.Rows == 1, "one row", o.Fill("{0} rows side by side", nil, float64(p.Rows)))
	passes := worksheet.Either(p.Passes() == 1, "pass", "passes")
	facingFirst(o, &f, &p, f.start())
	verdict := o.Fill("{0} {s}, about {clock min}{s}, {s}.", []string{passes, deep, rows}, float64(p.Passes()), p.Total)
	if v.Given("finish") && v.In("finish") > f.Stock+1e-9 {
		verdict = "More is to be finished than there is to take off. " + verdict
	}
	if fz := v.In("pertooth"); fz > heaviest() {
		verdict = o.Fill("{tooth in} a tooth is a heavy chip: edges will break. ", nil, fz) + verdict
		o.Head("{=tooth in} a tooth: edges will chip", nil, fz)
		o.Caution(o.Fill("{tooth in} a tooth is the most that the tables give in any metal.", nil, heaviest()))
		o.AskMillimetres(fz > 2*heaviest(), "pertooth", fz)
	}
	o.SetText("verdict", verdict)
	dialled(v, o, p)
	facingAsk(v, o, f)
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

// dialled says for each pass deep how far the knee comes up, what then stands on the dial, counted
// from touch-off, and how long it takes. The moves are those between the dial's readings, so that
// they add up.
func dialled(v *worksheet.Values, o *worksheet.Out, p Plan) {
	const most = 40
	n := p.Levels + worksheet.Either(p.Finishing, 1, 0)
	var lines []string
	was := 0.0
	for i := range min(n, most) {
		down, last := o.Read("pass", float64(i+1)*p.Each, "in"), i == n-1
		if last {
			down = o.Read("pass", v.In("stock"), "in")
			if thou := float64(v.In("stock") * 1000); math.Abs(thou-math.Round(thou)) > 1e-6 {
				down = o.Size(v.Length("stock"))
			}
		}
		now := worksheet.Either(last, v.In("stock"), onPass(o, float64(i+1)*p.Each))
		what := worksheet.Either(p.Finishing && last, "Finishing", o.Fill("Pass {0}", nil, float64(i+1)))
		lines = append(lines, o.Fill("{s}: dial {s} from touch-off, up {=pass in}; {clock min}.", []string{what, down},
			now-was+1e-9, worksheet.Either(p.Finishing && last, p.Fine, p.Pass)*float64(p.Rows)))
		was = now
	}
	if n > most {
		lines = append(lines, o.Fill("And so on, {0} deep in all.", nil, float64(n)))
	}
	o.SetLines("dialled", lines)
}

// onPass rounds a depth as the handwheel's dial shows it, in inches.
func onPass(o *worksheet.Out, x float64) float64 {
	y := upTo(o, "pass", x, "in")
	return worksheet.Either(o.System == units.MetricSystem, y/25.4, y)
}

// heaviest is the largest feed per tooth the tables give in any metal.
func heaviest() (most float64) {
	for i := range materials {
		most = max(most, materials[i].Face.hi)
	}
	return most
}

// facingAsk asks about sizes that are likely in the other unit.
func facingAsk(v *worksheet.Values, o *worksheet.Out, f Face) {
	if fine := v.In("finish"); v.Given("finish") && fine > f.Stock+1e-9 {
		means := worksheet.Either(fine >= .05 && fine/10 < f.Stock, fine/10, f.Stock)
		text := o.Scaled(means, 4, " in", 25.4, 3, " mm")
		o.Ask("finish", text, "A finishing cut of "+o.Scaled(fine, 4, " in", 25.4, 3, " mm")+" is more than the "+
			o.Scaled(f.Stock, 4, " in", 25.4, 3, " mm")+" to take off. Is "+text+" meant?")
	}
	o.AskMillimetres(f.Long > 100 && f.Long > 15*f.Cutter, "long", f.Long)
	if text := o.Dec(f.Stock, 4); f.Stock >= 2 && o.System == units.InchSystem {
		o.Ask("stock", o.Dec(f.Stock/1000, 6)+" in", text+" in to take off? Or "+text+" thou?")
	}
}
