package cleanup

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var (
	laidStep = worksheet.Step{What: "Least to spare as laid out",
		Formula: "stock = n.(p - f) of a plane, R - r of a bore, r - R outside; less what is " +
			"wanted", Numbers: "{s}", Result: "{in}", Source: "geometry"}
	bestStep = worksheet.Step{What: "Least to spare at best, {0} programmes",
		Formula: "largest t with stock - wanted - n.(d + w x q) >= t for every touch",
		Numbers: "drawing's shift {len}, {len}, " +
			"{len}; one turn, along its axis, {4}, {4}, {4} deg", Result: "{in}", Source: "Chvatal"}
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
		o.HeadStop("Touch {s} twice", []string{a.Features[at].Name})
		return v.Refuse("touches", "'"+a.Features[at].Name+"' was not touched. Touch it at least twice, or take it out of the surfaces.")
	case Nothing:
		return v.Refuse("features", "none of them is machined: all are walls or rings. Add the faces and bores to be cut.")
	case Loose:
		o.HeadStop("Touch more: it can {s}", []string{ways[at].Label})
		return v.Refuse("touches", "nothing touched holds the part against this: "+ways[at].Label+". Three points on one face, two on a second and one on a third hold it all six ways; touch more, further apart, or take that way out of 'It may be moved'.")
	}
	for _, x := range [...]*float64{&r.Least, &r.Most, &r.Walls} {
		*x = snapped(*x)
	}
	for j := range r.Stocks {
		s := &r.Stocks[j]
		s.Best, s.Spare = snapped(s.Best), snapped(s.Spare)
	}
	odd := askTouches(v, o, &a, &r)
	if odd == "" || !r.Cleans {
		o.SetFlag("cleans", r.Cleans)
	}
	o.SetAll("least in, laid in, most in", r.Least, r.Laid, r.Most)
	o.SetIf(!math.IsInf(r.Walls, 0), "walls in", r.Walls)
	m := &r.Move
	turns := m.turns()
	for k := range 3 {
		o.Set([3]string{"dx", "dy", "dz"}[k], m.Shift[k], "in")
		o.Set([3]string{"rx", "ry", "rz"}[k], turns[k]*180/math.Pi, "deg")
	}
	angle := math.Sqrt(dot(m.Angle, m.Angle))
	o.Set("turn", angle*180/math.Pi, "deg")
	if angle > 1e-9 {
		o.SetText("about", o.Fill("X {3}, Y {3}, Z {3}", nil, m.Angle[0]/angle, m.Angle[1]/angle, m.Angle[2]/angle))
	}
	shares := tables(o, &a, &r)
	deg := 180 / math.Pi
	moved := a.turned(m)
	if !moved && odd == "" { // a casting that was turned has no coordinates left from before
		zero := m.Map([3]float64{})
		o.SetAll("zx in, zy in, zz in", zero[0], zero[1], zero[2])
	}
	verdict(o, &a, &r, shares, moved, odd)
	tells(o, &a, &r, moved, odd)
	o.Line(&laidStep, []string{strconv.Itoa(len(a.Touches)) + " touches"}, r.Laid)
	best := bestStep
	best.What = o.Fill(best.What, nil, float64(r.Rounds))
	o.Line(&best, nil, m.Shift[0], m.Shift[1], m.Shift[2], m.Angle[0]*deg, m.Angle[1]*deg, m.Angle[2]*deg, r.Least)
	if r.Proved && r.Walls >= -1e-6 {
		proof(o, &a, &r)
	}
	if odd == "" {
		set(v, o, &a, &r, moved)
	}
	says(o, &a, &r)
	return nil
}

// snapped takes off the last digits of a search that comes within 2e-5 in of the best, so that they
// do not decide how a stock is read.
func snapped(x float64) float64 {
	if math.IsInf(x, 0) {
		return x
	}
	return math.Round(x*2e4) / 2e4
}

// legible is the least length that is set or touched off, inches.
const legible = 5e-4

// turned says whether the casting has to be turned: by more, at the touch farthest from the middle,
// than could be read.
func (a *Ask) turned(m *Move) bool {
	return math.Sqrt(dot(m.Angle, m.Angle))*a.reach() > legible
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

// spare writes stock to spare, and missing what is missing, so that it does not read as nothing.
func spare(o *worksheet.Out, x float64) string {
	text, _ := o.ReadApart("stock", x, 0, "in")
	return text
}

func missing(o *worksheet.Out, x float64) string { return spare(o, -math.Abs(x))[1:] }

// bare is a number without its unit.
func bare(text string) string {
	n, _, _ := strings.Cut(text, " ")
	return n
}

// still says whether it cleans up as it lies, as well as could be read.
func (r *Result) still(moved bool) bool {
	return r.Cleans && r.Laid >= -1e-7 && !moved && r.Least-r.Laid < legible
}

// little is the least stock under which the first cut may not get below the skin, inches. Common
// practice, no published source.
const little = .03

// tells heads the answer, with the facts under it.
func tells(o *worksheet.Out, a *Ask, r *Result, moved bool, odd string) {
	if !r.Cleans {
		starves(o, a, r)
		return
	}
	if odd != "" {
		return
	}
	thin := r.Least < little
	left := []string{worksheet.Either(thin, ", ", ": "), bare(spare(o, r.Least))}
	if r.still(moved) {
		o.Head("Cleans up as it lies: {s}", left[1:])
	} else {
		o.Head("Cleans up{s}{s} at the thinnest", left)
	}
	if thin {
		first, _ := a.limiting(r)
		o.Fact("▲ thin at {s}", []string{first})
	}
	if name := a.seldom(); name != "" {
		o.Fact("▲ touch {s} in more places", []string{name})
	}
	if r.Limit {
		o.Fact("▲ held by the most shift or turn", nil)
	}
	switch {
	case r.still(moved):
		o.Fact("take zero as laid out", nil)
	case moved:
		o.Fact("turn it first, then touch zero again", nil)
	default:
		o.Fact("only the zero shifts", nil)
	}
	if !r.still(moved) {
		o.Fact("as laid out {s}", []string{bare(spare(o, r.Laid))})
	}
}

// starves heads an answer of what does not clean up: what is short, and against what.
func starves(o *worksheet.Out, a *Ask, r *Result) {
	short := bare(missing(o, r.Least))
	first, second := a.limiting(r)
	switch {
	case r.Walls < -1e-7:
		o.HeadStop("A wall would be {s} too thin", []string{bare(missing(o, r.Walls))})
	default:
		o.HeadStop("Will not clean: {s} short {s}", []string{first, short})
		o.HeadStop("Will not clean: short {s}", []string{short})
	}
	if second != "" {
		o.FactStop("{s} starves against {s}", []string{first, second})
	}
	o.FactStop("ask before weld or scrap", nil)
}

// limiting names the two surfaces with the largest shares in the answer; a wall only behind a
// machined one.
func (a *Ask) limiting(r *Result) (first, second string) {
	var most [2]float64
	share := make([]float64, len(a.Features))
	for j := range r.Stocks {
		share[a.Touches[j].Feature] += r.Stocks[j].Share
	}
	for i := range a.Features {
		switch name := a.Features[i].Name; {
		case share[i] < .001:
		case share[i] > most[0]:
			second, most[1] = first, most[0]
			first, most[0] = name, share[i]
		case share[i] > most[1]:
			second, most[1] = name, share[i]
		}
	}
	return first, second
}

// seldom names a surface that was touched in few places, "" where there is none.
func (a *Ask) seldom() string {
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
	return once
}

func verdict(o *worksheet.Out, a *Ask, r *Result, shares string, moved bool, odd string) {
	if odd != "" && r.Cleans { // yes cannot be said of it
		o.SetText("verdict", odd)
		return
	}
	switch {
	case r.still(moved):
		o.SetText("verdict", "Cleans up as it lies: "+spare(o, r.Least)+" to spare at the thinnest. Take zero as laid out.")
		return
	case r.Cleans:
		next := worksheet.Either(moved, "Set it as below, then touch it again.", "It stays where it lies; the zero shifts.")
		o.SetText("verdict", "Cleans up, "+spare(o, r.Least)+" to spare at the thinnest; as laid out "+spare(o, r.Laid)+
			". "+next)
		return
	}
	says := "Will not clean up: " + missing(o, r.Least) + " is missing at best"
	if r.Walls < -1e-7 {
		says = "Will not clean up: a wall would be " + missing(o, r.Walls) + " too thin at best"
	}
	if r.Limit {
		says += ", within the limits of shift and turn"
	}
	o.Stop(says+". What starves: "+shares+".", "No setting cleans it up. The customer's drawing rules: ask before it is "+
		"scrapped or welded.")
	o.SetLines("ways", waysOut(o, a, r))
}

// waysOut gives what might be done; what the calculation can try was tried.
func waysOut(o *worksheet.Out, a *Ask, r *Result) (ways []string) {
	if r.Limit {
		wide := *a
		wide.MaxShift, wide.MaxTurn = 4*a.MaxShift, min(4*a.MaxTurn, .25)
		if w, fault, _ := Solve(wide); fault == Fine && w.Cleans {
			o.FactStop("more shift or turn would do", nil)
			ways = append(ways, "With more shift or turn than the limits it would clean up: widen them under 'Fine points', "+
				"if the casting may be so far out.")
		}
	}
	bare := *a
	bare.Features = append([]Feature{}, a.Features...)
	wanted := false
	for i := range bare.Features {
		f := &bare.Features[i]
		if !f.keep() && f.Need > 0 {
			f.Need, wanted = 0, true
		}
	}
	if wanted {
		if w, fault, _ := Solve(bare); fault == Fine && w.Cleans {
			o.FactStop("with less wanted it cleans up", nil)
			ways = append(ways, "With less wanted to come off it cleans up: "+spare(o, snapped(w.Least))+" at the thinnest.")
		}
	}
	return append(ways, "Ask the customer whether the starved surface may show skin, be made smaller or move with its "+
		"mates; have it built up by weld where the metal and the drawing allow it; or scrap it before more work goes in.")
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

// set says what to set on the machine: shims first, then the turn on the table, then touches and
// zero. With the casting turned, nothing touched before it holds any more.
func set(v *worksheet.Values, o *worksheet.Out, a *Ask, r *Result, moved bool) {
	up := axis(v.Choice("up"))
	m := &r.Move
	var rise []float64
	low := math.Inf(1)
	for i := range v.Rows("supports") {
		p := point(v, "supports", i, 1)
		d := dot(up, sub(m.Back(p), p))
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
		if moved && rise[i]-low >= legible {
			steps = append(steps, o.Fill("Shim {wheel in} under {s}.", []string{name}, rise[i]-low))
		}
	}
	if rows != nil {
		o.SetTable("shims", rows)
	}
	if moved && rows == nil {
		steps = append(steps, tip(o, m, up)...)
	}
	swing := math.Tan(m.swing(up))
	o.Set("swing", swing*1000, "mm/m")
	if moved && math.Abs(swing)*a.reach() > legible {
		way := worksheet.Either(swing < 0, "clockwise", "counter-clockwise")
		steps = append(steps, o.Fill("Turn it on the table {s}, seen from above, by {incline mm/m}, read with the "+
			"indicator along a surface that was touched.", []string{way}, math.Abs(swing)*1000))
	}
	if moved {
		steps = append(steps, "Clamp it and touch it off again: every coordinate and zero from before it was shimmed or "+
			"turned is dead.")
		steps = append(steps, zeros(o, a, r)...)
	} else {
		zero := m.Map([3]float64{})
		steps = append(steps, o.Fill("The part's zero lies at X {wheel in}, Y {wheel in}, Z {wheel in} on the rough as it "+
			"was touched off: take the work's zero there, or scribe it.", nil, zero[0], zero[1], zero[2]))
	}
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
		p := m.Back(a.Touches[thin].P)
		steps = append(steps, o.Fill("{s}: from the part's zero, near X {rule in}, Y {rule in}, Z {rule in} the finished "+
			"surface lies {s} under the rough. Check that before the first cut.",
			[]string{a.Features[i].Name, spare(o, r.Stocks[thin].Best)}, p[0], p[1], p[2]))
	}
	if moved {
		steps = append(steps, "Put the new touches in here: it must come out as it lies.")
	}
	o.SetLines("steps", steps)
}

// tip says how far the casting comes up along the two level directions, where no supports were
// given.
func tip(o *worksheet.Out, m *Move, up [3]float64) (steps []string) {
	ends := [3][2]string{{"right, +X", "left, -X"}, {"back, +Y", "front, -Y"}, {"upper, +Z", "lower, -Z"}}
	for k := range 3 {
		e := [3]float64{}
		if e[k] = 1; dot(e, up) != 0 {
			continue
		}
		zero, one := m.Back([3]float64{}), m.Back(e)
		if s := dot(up, sub(one, zero)); math.Abs(s) > 2e-5 {
			steps = append(steps, o.Fill("Raise its {s} end by {incline mm/m}.",
				[]string{ends[k][worksheet.Either(s > 0, 0, 1)]}, math.Abs(s)*1000))
		}
	}
	if steps != nil {
		steps = append(steps, "Give the supports to have that in shims.")
	}
	return steps
}

// zeros says what a touch has to read once the casting is set, for each axis the touch that looks
// along it best: so the zero is found anew.
func zeros(o *worksheet.Out, a *Ask, r *Result) (steps []string) {
	for k := range 3 {
		best, at := .9, -1
		for j := range a.Touches {
			f := &a.Features[a.Touches[j].Feature]
			look := math.Abs(r.Stocks[j].n[k]) + worksheet.Either(f.Kind == Face, .5, 0)
			if !f.keep() && math.Abs(r.Stocks[j].n[k]) > .9 && look > best {
				best, at = look, j
			}
		}
		if at < 0 {
			continue
		}
		p := r.Move.Back(a.Touches[at].P)
		name := [3]string{"X", "Y", "Z"}
		u, w := (k+1)%3, (k+2)%3
		if u > w {
			u, w = w, u
		}
		steps = append(steps, o.Fill("Touch {s} again where it was touched, near {s} {rule in}, {s} {rule in} from the "+
			"part's zero: it must read {s} {wheel in}. Set {s} so.",
			[]string{a.Features[a.Touches[at].Feature].Name, name[u], name[w], name[k], name[k]}, p[u], p[w], p[k]))
	}
	return steps
}

// astray is how far a touch may lie from its surface as laid out, inches, before it is asked about.
const astray = 1

// askTouches asks about touches far from their surfaces, in the other unit where that brings them
// near or they lie farther off than the part is long: then the question is returned. Else it may be
// metal that stands out.
func askTouches(v *worksheet.Values, o *worksheet.Out, a *Ask, r *Result) string {
	rows := strings.FieldsFunc(v.Typed("touches"), func(c rune) bool { return c == ';' || c == '\n' })
	metric := o.System == units.MetricSystem
	other, times := worksheet.Either(metric, "in", "mm"), worksheet.Either(metric, 25.4, 1/25.4)
	size := 0.0
	for i := range a.Features {
		for k := range a.Features {
			d := sub(a.Features[i].At, a.Features[k].At)
			size = max(size, math.Sqrt(dot(d, d)))
		}
	}
	first, changed, asLaid := -1, false, still(a.Pivot)
	for j := range a.Touches {
		t, f := &a.Touches[j], &a.Features[a.Touches[j].Feature]
		d := math.Abs(r.Stocks[j].Laid)
		if d <= astray || f.keep() {
			continue
		}
		if first < 0 {
			first = j
		}
		there := Touch{t.Feature, scale(t.P, times)}
		stock, _, _ := a.measure(&asLaid, &there)
		near := math.Abs(stock)
		if len(rows) != len(a.Touches) || near >= d || near > astray && d <= size {
			continue
		}
		cells := strings.Split(rows[j], ",")
		for k := 1; k < min(len(cells), 4); k++ {
			if c := strings.TrimSpace(cells[k]); c != "" && (c[len(c)-1] >= '0' && c[len(c)-1] <= '9' || c[len(c)-1] == '.') {
				cells[k], changed = " "+c+" "+other, true
			}
		}
		rows[j] = strings.Join(cells, ",")
	}
	if first < 0 {
		return ""
	}
	says := "Touch " + strconv.Itoa(first+1) + o.Fill(" lies {rule in} from '{s}' as laid out: ",
		[]string{a.Features[a.Touches[first].Feature].Name}, math.Abs(r.Stocks[first].Laid))
	if !changed || o.Meant("touches") {
		o.Caution(says + "is it of that surface, and in that unit?")
		return ""
	}
	says += "is it in " + other + "?"
	o.Head("Touch {0}: is it in {s}?", []string{other}, float64(first+1))
	o.Ask("touches", strings.Join(rows, ";"), says)
	return says
}

// says adds the cautions.
func says(o *worksheet.Out, a *Ask, r *Result) {
	o.CautionIf(r.Limit,
		"A limit on shift or turn holds the answer: nothing touched holds the part that way, or the casting is further out than the limit. Touch the other side too, add a wall that must stay, or widen the limit under 'Fine points'.")
	o.NoteIf(!r.Limit && !r.Proved,
		"The setting was found by search, to about 0.0001 in; its shares do not prove that no other gives more. A touch that lies all but on a bore's axis does that: touch the bore's wall.")
	o.CautionIf(r.Cleans && r.Least < little,
		"There is little to spare: the first cut should get under the skin, where sand and hard spots dull the tool. Touch the thin places again before cutting.")
	o.Note("Only what was touched is known. A dip, a core shift or a riser stump between touches is not: touch corners, edges and the middle.")
	if once := a.seldom(); once != "" {
		o.Caution("'" + once + "' was touched in few places. Touch faces at least twice, far apart, and rounds in three places or more.")
	}
	o.Note("Touch and shim with the spindle stopped; support the casting before it is lifted for a shim, with no hand under it.")
}
