package cleanup

import (
	"math"
	"strconv"

	"datumbook/calc/worksheet"
)

var (
	laidStep  = worksheet.Step{What: "Least to spare as laid out", Formula: "stock = n.(p - f) of a plane, R - r of a bore, r - R outside; less what is wanted", Numbers: "{s}", Result: "{in}", Source: "geometry"}
	bestStep  = worksheet.Step{What: "Least to spare at best, {0} programmes", Formula: "largest t with stock - wanted - n.(d + w x q) >= t for every touch", Numbers: "shift {len}, {len}, {len}; turn {4}, {4}, {4} deg", Result: "{in}", Source: "Chvatal"}
	proofStep = worksheet.Step{What: "Why no move gives more", Formula: "shares x what each touch has to spare as laid out, added up: the same for every small move", Numbers: "{s}", Result: "{in}", Source: "Chvatal"}
	shimStep  = worksheet.Step{What: "Shim under {s}", Formula: "how far the support rises when the part is set straight, less the lowest", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
)

// axis is one of the six directions by its key.
func axis(key string) (v [3]float64) {
	sign := worksheet.Either(key[0] == '-', -1, 1.0)
	v[key[1]-'x'] = sign
	return v
}

func row(i int) string { return "row " + strconv.Itoa(i+1) + " " }

func point(v *worksheet.Values, key string, i, col int) (p [3]float64) {
	for k := range p {
		p[k], _ = v.Cell(key, i, col+k, "in")
	}
	return p
}

var kindKeys = [...]string{"face", "bore", "boss", "wall", "ring"}

// read reads the worksheet's values into an Ask.
func read(v *worksheet.Values) (Ask, *worksheet.InputError) {
	a := Ask{MaxTurn: v.As("maxturn", "deg") * math.Pi / 180, MaxShift: v.In("maxshift")}
	for i := range v.Rows("features") {
		f := Feature{Name: v.CellText("features", i, 0), At: point(v, "features", i, 3)}
		for k := range kindKeys {
			if v.CellText("features", i, 1) == kindKeys[k] {
				f.Kind = Kind(k)
			}
		}
		for k := range a.Features {
			if a.Features[k].Name == f.Name {
				return a, v.Refuse("features", row(i)+"has a name that is taken. Give each surface its own.")
			}
		}
		if dir := v.CellText("features", i, 2); dir != "given" {
			f.Dir = axis(dir)
		} else {
			for k := range f.Dir {
				f.Dir[k], _ = v.Cell("features", i, 8+k, "")
			}
			l := math.Sqrt(dot(f.Dir, f.Dir))
			if l < 1e-6 {
				return a, v.Refuse("features", row(i)+"has no direction. Fill in the last three, or choose one of the six.")
			}
			f.Dir = scale(f.Dir, 1/l)
		}
		dia, set := v.Cell("features", i, 6, "in")
		round := f.Kind != Face && f.Kind != Wall
		if round && !set {
			return a, v.Refuse("features", row(i)+"has no diameter. Fill it in.")
		}
		if round {
			f.Radius = dia / 2
		}
		need, set := v.Cell("features", i, 7, "in")
		if f.Need = need; !set {
			if f.keep() {
				return a, v.Refuse("features", row(i)+"is metal that must stay, but not how much. Fill in at least how much.")
			}
			f.Need = v.In("need")
		}
		a.Features = append(a.Features, f)
	}
	low, high := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for i := range v.Rows("touches") {
		t := Touch{-1, point(v, "touches", i, 1)}
		for k := range a.Features {
			if a.Features[k].Name == v.CellText("touches", i, 0) {
				t.Feature = k
			}
		}
		if t.Feature < 0 {
			return a, v.Refuse("touches", row(i)+"names a surface that is not in the table of surfaces. Write it the same in both.")
		}
		for k := range 3 {
			low[k], high[k] = min(low[k], t.P[k]), max(high[k], t.P[k])
		}
		a.Touches = append(a.Touches, t)
	}
	for k := range 3 {
		a.Pivot[k] = float64((low[k] + high[k]) / 2)
	}
	for k := range a.Free {
		a.Free[k] = v.Choices("free", ways[k].Key)
	}
	return a, nil
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	a, f := read(v)
	if f != nil {
		return f
	}
	r, fault, at := Solve(a)
	switch fault {
	case Bare:
		return v.Refuse("touches", "'"+a.Features[at].Name+"' was not touched. Touch it at least twice, or take it out of the surfaces.")
	case Nothing:
		return v.Refuse("features", "none of them is machined: all are walls or rings. Add the faces and bores to be cut.")
	case Loose:
		return v.Refuse("touches", "nothing touched holds the part against this: "+ways[at].Label+". Three points on one face, two on a second and one on a third hold it all six ways; touch more, further apart, or take that way out of 'It may be moved'.")
	}
	o.SetFlag("cleans", r.Cleans)
	o.SetAll("least in, laid in, most in", r.Least, r.Laid, r.Most)
	o.SetIf(!math.IsInf(r.Walls, 0), "walls in", r.Walls)
	zero := r.Move.Map([3]float64{})
	for k := range 3 {
		o.Set([3]string{"dx", "dy", "dz"}[k], r.Move.Shift[k], "in")
		o.Set([3]string{"rx", "ry", "rz"}[k], r.Move.Angle[k]*180/math.Pi, "deg")
		o.Set([3]string{"zx", "zy", "zz"}[k], zero[k], "in")
	}
	shares := tables(o, &a, &r)
	o.SetText("verdict", verdict(o, &r, shares))
	o.Line(&laidStep, []string{strconv.Itoa(len(a.Touches)) + " touches"}, r.Laid)
	best := bestStep
	best.What = o.Fill(best.What, nil, float64(r.Rounds))
	m := &r.Move
	deg := 180 / math.Pi
	o.Line(&best, nil, m.Shift[0], m.Shift[1], m.Shift[2], m.Angle[0]*deg, m.Angle[1]*deg, m.Angle[2]*deg, r.Least)
	if r.Proved && r.Walls >= -1e-6 {
		proof(o, &a, &r)
	}
	set(v, o, &a, &r)
	says(o, &a, &r)
	return nil
}

// tables writes the tables and names the limiting surfaces with their shares.
func tables(o *worksheet.Out, a *Ask, r *Result) string {
	touches := make([][]worksheet.Cell, 0, len(a.Touches))
	faces, outline := make([][]worksheet.Cell, 0, len(a.Features)), make([][]worksheet.Cell, 0, len(a.Features))
	words := ""
	for i := range a.Features {
		f := &a.Features[i]
		laid, least, most, spare, share := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(1), 0.0
		for j := range a.Touches {
			if a.Touches[j].Feature == i {
				s := &r.Stocks[j]
				laid, least, most, spare = min(laid, s.Laid), min(least, s.Best), max(most, s.Best), min(spare, s.Spare)
				share += s.Share
			}
		}
		faces = append(faces, worksheet.Cells("siiii%", []string{f.Name}, laid, least, most, spare, share*100))
		if share >= .001 {
			if words != "" {
				words += ", "
			}
			words += f.Name + o.Fill(" ({0}%)", nil, share*100)
		}
		outline = append(outline, worksheet.Cells("ssiiinnni", []string{f.Name, kindKeys[f.Kind]},
			f.At[0], f.At[1], f.At[2], f.Dir[0], f.Dir[1], f.Dir[2], 2*f.Radius))
	}
	for j := range a.Touches {
		t, s := &a.Touches[j], &r.Stocks[j]
		touches = append(touches, worksheet.Cells("siiiiii%", []string{a.Features[t.Feature].Name},
			t.P[0], t.P[1], t.P[2], s.Laid, s.Best, s.Spare, s.Share*100))
	}
	o.SetTable("stock", touches)
	o.SetTable("surfaces", faces)
	o.SetTable("outline", outline)
	return words
}

func verdict(o *worksheet.Out, r *Result, shares string) string {
	switch {
	case r.Cleans && r.Laid >= -1e-7 && r.Least-r.Laid < 5e-4:
		return o.Fill("It cleans up as laid out: {in} to spare at the thinnest, and no move gives more to speak of.", nil, r.Least)
	case r.Cleans:
		return o.Fill("It cleans up with {in} to spare at the thinnest; as laid out it has {in}. Set it as below.", nil, r.Least, r.Laid)
	case r.Walls < -1e-7:
		return o.Fill("It does not clean up: a wall would be {in} too thin at best. What quarrels: ", nil, -r.Walls) + shares + "."
	}
	says := o.Fill("It does not clean up: {in} is missing at best, wherever it is set", nil, -r.Least)
	if r.Limit {
		says += " within the limits of shift and turn"
	}
	return says + ". What starves: " + shares + "."
}

// proof shows that the limiting touches cannot all gain: the sum weighted by their shares does not
// change with any small move.
func proof(o *worksheet.Out, a *Ask, r *Result) {
	text, sum := "", 0.0
	machined := 0.0
	for j := range r.Stocks {
		if !a.Features[a.Touches[j].Feature].keep() {
			machined += r.Stocks[j].Share
		}
	}
	for j := range r.Stocks {
		s := &r.Stocks[j]
		if s.Share < .0005 {
			continue
		}
		f := &a.Features[a.Touches[j].Feature]
		if text != "" {
			text += " + "
		}
		w := s.Share / max(machined, 1e-9)
		text += o.Fill("{3} x {len}", nil, w, s.Laid-f.Need)
		sum += float64(w * (s.Laid - f.Need))
	}
	o.Line(&proofStep, []string{text}, sum)
}

// set says what to set on the machine.
func set(v *worksheet.Values, o *worksheet.Out, a *Ask, r *Result) {
	up := axis(v.Choice("up"))
	var rise []float64
	low := math.Inf(1)
	for i := range v.Rows("supports") {
		p := point(v, "supports", i, 1)
		d := dot(up, sub(r.Move.Back(p), p))
		rise, low = append(rise, d), min(low, d)
	}
	var steps []string
	var rows [][]worksheet.Cell
	for i := range rise {
		name, p := v.CellText("supports", i, 0), point(v, "supports", i, 1)
		rows = append(rows, worksheet.Cells("siiii", []string{name}, p[0], p[1], p[2], rise[i]-low))
		step := shimStep
		step.What = o.Fill(step.What, []string{name})
		o.Line(&step, nil, rise[i], low, rise[i]-low)
		if rise[i]-low >= 5e-4 {
			steps = append(steps, o.Fill("Shim {in} under {s}.", []string{name}, rise[i]-low))
		}
	}
	if rows != nil {
		o.SetTable("shims", rows)
	}
	about := dot(up, r.Move.Angle) // the casting turns the other way
	swing := math.Tan(max(-1, min(1, -about)))
	o.Set("swing", swing*1000, "mm/m")
	way := worksheet.Either(swing < 0, "clockwise", "counter-clockwise")
	if math.Abs(swing) > 1e-6 {
		steps = append(steps, "Turn it on the table "+way+", seen from above, by "+o.Show(math.Abs(swing)*1000, "mm/m", worksheet.Slope)+", read with the indicator along a surface that was touched.")
	}
	tilt := sub(r.Move.Angle, scale(up, about))
	if l := math.Sqrt(dot(tilt, tilt)); l > 1e-6 && rows == nil {
		steps = append(steps, o.Fill("Tip it as the turns about the level axes say ({deg} in all). Give the supports to have it in shims.", nil, l*180/math.Pi))
	}
	zero := r.Move.Map([3]float64{})
	steps = append(steps, o.Fill("The part's zero lies at X {in}, Y {in}, Z {in} on the rough as it was touched off: take the work's zero there, or scribe it.", nil, zero[0], zero[1], zero[2]))
	for i := range a.Features {
		if a.Features[i].keep() {
			continue
		}
		thin := -1
		for j := range a.Touches {
			if a.Touches[j].Feature == i && (thin < 0 || r.Stocks[j].Best < r.Stocks[thin].Best) {
				thin = j
			}
		}
		p := a.Touches[thin].P
		if b := r.Stocks[thin].Best; b >= 0 {
			steps = append(steps, a.Features[i].Name+o.Fill(": the finished surface lies {in} under the touch at {len}, {len}, {len}. Check that reading before the first cut.", nil, b, p[0], p[1], p[2]))
		} else {
			steps = append(steps, a.Features[i].Name+o.Fill(": the touch at {len}, {len}, {len} stays {in} below the finished surface.", nil, p[0], p[1], p[2], -b))
		}
	}
	if !r.Cleans {
		steps = append(steps, "Ways out: ask the customer whether the starved surface may show skin, be made smaller or move with its mates; have it built up by weld where the metal and the drawing allow it; or scrap it before more work goes in.")
	}
	o.SetLines("steps", steps)
}

// says adds the cautions.
func says(o *worksheet.Out, a *Ask, r *Result) {
	o.CautionIf(r.Limit,
		"A limit on shift or turn holds the answer: nothing touched holds the part that way, or the casting is further out than the limit. Touch the other side too, add a wall that must stay, or widen the limit under 'Fine points'.")
	o.NoteIf(!r.Limit && !r.Proved,
		"The setting was found by search, to about 0.0001 in; its shares do not prove that no other gives more. A touch that lies all but on a bore's axis does that: touch the bore's wall.")
	o.CautionIf(r.Cleans && r.Least < .03,
		"There is little to spare: the first cut should get under the skin, where sand and hard spots dull the tool. Touch the thin places again before cutting.")
	o.CautionIf(!r.Cleans, "The customer's drawing rules: ask before it is scrapped or welded.")
	o.Note("Only what was touched is known. A dip, a core shift or a riser stump between touches is not: touch corners, edges and the middle.")
	once := ""
	for i := range a.Features {
		n := 0
		for j := range a.Touches {
			if a.Touches[j].Feature == i {
				n++
			}
		}
		if n == 1 || n == 2 && (a.Features[i].Kind == Bore || a.Features[i].Kind == Boss) {
			once = a.Features[i].Name
		}
	}
	if once != "" {
		o.Caution("'" + once + "' was touched in few places. Touch faces at least twice, far apart, and rounds in three places or more.")
	}
	o.Note("Touch and shim with the spindle stopped; support the casting before it is lifted for a shim, with no hand under it.")
}
