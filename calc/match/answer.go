package match

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/hole"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// reader reads the worksheet's tables and keeps the first error.
type reader struct {
	v     *worksheet.Values
	fault *worksheet.InputError
	bolts []Bolt
	texts []string
}

func (r *reader) refuse(key string, row int, says string) {
	if r.fault == nil {
		r.fault = r.v.Refuse(key, "row "+strconv.Itoa(row+1)+" "+says)
	}
}

// bolt parses a thread; repeated texts are cached.
func (r *reader) bolt(key string, row int, text string) Bolt {
	for i := range r.texts {
		if r.texts[i] == text {
			return r.bolts[i]
		}
	}
	t, err := thread.Parse(text)
	if err != nil {
		r.refuse(key, row, "has the bolt or thread '"+text+"': "+err.Error()+". Type it like 5/8-11 or M16.")
		return Bolt{}
	}
	b := Bolt{base(t).String(), t.Inches(t.D)}
	r.bolts, r.texts = append(r.bolts, b), append(r.texts, text)
	return b
}

// base removes the class: a bolt fits any class of its thread.
func base(t thread.Thread) thread.Thread {
	t.Internal, t.External = "", ""
	return t
}

func (r *reader) in(key string, row, col int) float64 {
	x, _ := r.v.Cell(key, row, col, "in")
	return x
}

// sizes checks the sizes that a row of this kind needs: size, then length and angle.
func (r *reader) sizes(p *Place, key string, row, size, long int) {
	x, sized := r.v.Cell(key, row, size, "in")
	p.Size = x
	x, longed := r.v.Cell(key, row, long, "in")
	p.Length = x
	p.Angle, _ = r.v.Cell(key, row, long+1, "deg")
	switch p.Kind {
	case Tapped:
		p.Size, p.Length, p.Angle = 0, 0, 0
		return
	case Clear:
		p.Length, p.Angle = 0, 0
	}
	switch {
	case !sized:
		r.refuse(key, row, "has no diameter or width. Fill it in.")
	case p.Kind != Clear && !longed:
		r.refuse(key, row, "is a slot without a length. Fill it in.")
	case p.Kind == Slot && p.Length < p.Size:
		r.refuse(key, row, "is a slot shorter than it is wide. Give the length over its ends.")
	}
}

func kindOf(s string) Kind {
	switch s {
	case "slot":
		return Slot
	case "tapped":
		return Tapped
	case "tslot":
		return Tee
	}
	return Clear
}

// part reads the part's places.
func (r *reader) part() (out []Place) {
	for i := range r.v.Rows("part") {
		p := Place{Kind: kindOf(r.v.CellText("part", i, 0)), X: r.in("part", i, 1), Y: r.in("part", i, 2)}
		p.Bolt = r.bolt("part", i, r.v.CellText("part", i, 3))
		r.sizes(&p, "part", i, 4, 5)
		if p.Kind != Tapped && p.Size < p.Bolt.Dia {
			r.refuse("part", i, "has a hole or slot smaller than its bolt. Give a smaller bolt, or the size it has.")
		}
		for k := range out {
			if (vec{out[k].X - p.X, out[k].Y - p.Y}).size() < (p.Bolt.Dia+out[k].Bolt.Dia)/2 {
				r.refuse("part", i, "lies on row "+strconv.Itoa(k+1)+": two bolts do not go in one place. Correct X and Y.")
			}
		}
		out = append(out, p)
	}
	return out
}

// plates reads the fixtures.
func (r *reader) plates() []Plate {
	var out []Plate
	last := 0 // rows of one face are mostly adjacent
	find := func(key string, row int) *Plate {
		f, face := r.v.CellText(key, row, 0), r.v.CellText(key, row, 1)
		if last < len(out) && out[last].Fixture == f && out[last].Face == face {
			return &out[last]
		}
		for i := range out {
			if out[i].Fixture == f && out[i].Face == face {
				last = i
				return &out[i]
			}
		}
		return nil
	}
	for i := range r.v.Rows("fixtures") {
		if find("fixtures", i) != nil {
			r.refuse("fixtures", i, "gives a face a second time. Take one out.")
		}
		p := Plate{Fixture: r.v.CellText("fixtures", i, 0), Face: r.v.CellText("fixtures", i, 1)}
		for k, to := range [...]*float64{&p.Width, &p.Height, &p.Thick, &p.Left, &p.Bottom} {
			*to = r.in("fixtures", i, 2+k)
		}
		out = append(out, p)
	}
	const unknown = "names a face that is not among the fixture faces. Write fixture and face the same in both tables."
	for i := range r.v.Rows("places") {
		p := Place{Kind: kindOf(r.v.CellText("places", i, 2)), X: r.in("places", i, 3), Y: r.in("places", i, 4)}
		if p.Kind == Tapped {
			text := r.v.CellText("places", i, 6)
			if text == "" {
				r.refuse("places", i, "is a tapped hole without a thread. Fill it in.")
				return nil
			}
			p.Bolt = r.bolt("places", i, text)
		}
		r.sizes(&p, "places", i, 5, 7)
		if f := find("places", i); f != nil {
			f.Places = append(f.Places, p)
		} else {
			r.refuse("places", i, unknown)
			return nil
		}
	}
	for i := range r.v.Rows("keep") {
		k := Rect{r.in("keep", i, 3), r.in("keep", i, 4), r.in("keep", i, 5), r.in("keep", i, 6), r.v.CellText("keep", i, 2) == "rib"}
		if f := find("keep", i); f != nil {
			f.Keep = append(f.Keep, k)
		} else {
			r.refuse("keep", i, unknown)
			return nil
		}
	}
	return out
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	r := reader{v: v}
	ask := Ask{Spots: r.part(), Free: v.Choice("turn") == "free", Slack: v.As("slack", "deg") * math.Pi / 180, Flip: v.Flag("flip")}
	plates := r.plates()
	if r.fault != nil {
		return r.fault
	}
	found := Find(ask, plates)
	o.SetFlag("takes", found.Total > 0)
	o.Set("ways", float64(found.Total), "")
	o.CautionIf(found.Stopped,
		"There are more ways than the search goes through: the list is not complete. Give fewer fixtures at a time, or quarter turns only.")
	o.Note("Room is reckoned with the sizes given. A burr, a leaning stud or a bolt over size takes it away: try the bolts before the part is lifted on.")
	rules := Rules{Edge: -1, Between: -1, Rib: -1, Chips: -1, Work: hole.Work(v.Choice("metal")), Centre: v.In("centre"), Guess: !v.Has("centre")}
	for i, to := range [...]*float64{&rules.Edge, &rules.Between, &rules.Rib} {
		if key := [...]string{"edge", "between", "rib"}[i]; v.Has(key) {
			*to = v.In(key)
		}
	}
	if found.Total > 0 {
		taken(o, ask, plates, found)
		reasons(o, ask, rules, plates, found, nil)
		return nil
	}
	plans, cut := Drill(ask, rules, plates)
	others := reasons(o, ask, rules, plates, found, plans)
	o.CautionIf(cut,
		"There are more positions than the search for new holes goes through: another face may do as well. Give fewer fixtures at a time.")
	if len(plans) == 0 {
		o.HeadStop("Nothing takes it or can be drilled", nil)
		for _, other := range others {
			o.FactStop(other, nil)
		}
		o.Stop(none(o, len(plates))+" takes it as it is, and none with its size given can be drilled for it within the "+
			"margins.",
			"No face listed takes this part. The steps say what else can be tried.")
		o.Line(&roomStep, []string{ask.Spots[0].Bolt.Name}, clearance(ask.Spots[0])*2, clearance(ask.Spots[0]))
		o.SetLines("steps", []string{"Give width, height and thickness of the faces that may be drilled.", "Make the margins smaller where you know the metal is sound, or allow any turn and turning over.", "Else drill a sub-plate for it, or clamp it with straps."})
		return nil
	}
	drillOut(v, o, ask, rules, plates, plans)
	return nil
}

// clearance is a bolt's play in the part's own place, as a radius.
func clearance(p Place) float64 {
	if p.Kind == Tapped {
		return 0
	}
	return (p.Size - p.Bolt.Dia) / 2
}

var (
	roomStep   = worksheet.Step{What: "Room the part's first place gives its bolt", Formula: "(H - F) / 2", Numbers: "{s}: {len} / 2", Result: "{in}", Source: "Y14.5"}
	tightStep  = worksheet.Step{What: "Tightest bolt: room in the middle", Formula: "(H - F)/2 of each clearance hole, 0 of a thread or T-nut", Numbers: "part {len}, fixture {len}", Result: "{in}", Source: "Y14.5"}
	offStep    = worksheet.Step{What: "Tightest bolt: out of the middle after the best fit", Formula: "distance of the two centres, less what slots give", Numbers: "at X {len}, Y {len}", Result: "{in}", Source: "geometry"}
	leftStep   = worksheet.Step{What: "Tightest bolt: room left", Formula: "room - distance", Numbers: "{len} - {len}", Result: "{in}", Source: "Y14.5"}
	edgeStep   = worksheet.Step{What: "Centre of a new hole to the edge, at least", Formula: "1.5 bolts, or as given", Numbers: "bolt {len}", Result: "{in}", Source: "practice"}
	gapStep    = worksheet.Step{What: "Metal left to old holes and slots, at least", Formula: "1 bolt, or as given", Numbers: "bolt {len}", Result: "{in}", Source: "practice"}
	ribStep    = worksheet.Step{What: "Hole to ribs and places kept clear, at least", Formula: "half a bolt, or as given", Numbers: "bolt {len}", Result: "{in}", Source: "practice"}
	threadStep = worksheet.Step{What: "Thread usually wanted in this metal", Formula: "1.5 bolts in iron and bronze, 2 in aluminium, 1 in steel", Numbers: "bolt {len}", Result: "{in}", Source: "practice"}
	clearStep  = worksheet.Step{What: "Clearance hole for a bolt from behind", Formula: "normal fit", Numbers: "{s}", Result: "{s}", Source: "B18.2.8"}
)

// over reports whether a pose is flipped.
func over(p Pose) string { return worksheet.Either(p.Flip, "yes", "no") }

// sits sets the results for a pose.
func sits(o *worksheet.Out, plate *Plate, p Pose) {
	o.SetText("on", plate.Name())
	o.Set("turned", p.Angle(), "deg")
	o.SetFlag("over", p.Flip)
	o.SetAll("px in, py in", p.X, p.Y)
	o.SetTable("face", [][]worksheet.Cell{worksheet.Cells("ssiiiii", []string{plate.Fixture, plate.Face}, plate.Left, plate.Bottom, plate.Width, plate.Height, plate.Thick)})
	worksheet.SetRows(o, "facing", plate.Places, func(_ int, q Place) []worksheet.Cell {
		return worksheet.Cells("siiisid", []string{placeWords[q.Kind], q.Bolt.Name},
			q.X, q.Y, max(q.Size, q.Bolt.Dia), q.Length, q.Angle)
	})
	worksheet.SetRows(o, "blocked", plate.Keep, func(_ int, k Rect) []worksheet.Cell {
		return worksheet.Cells("siiii", []string{worksheet.Either(k.Rib, "rib", "clear")}, k.X, k.Y, k.Wide, k.High)
	})
}

var placeWords = [...]string{"hole", "tapped", "slot", "tslot"}

// posed makes the cells of a face and a pose, with a last length.
func posed(plate *Plate, p Pose, last float64) []worksheet.Cell {
	return worksheet.Cells("ssdsiii", []string{plate.Fixture, plate.Face, over(p)}, p.Angle(), p.X, p.Y, last)
}

// boltRows builds the table of bolts and returns the tightest.
func boltRows(o *worksheet.Out, plate *Plate, seats []Seat) Seat {
	var rows [][]worksheet.Cell
	tight := Seat{Room: math.Inf(1)}
	for _, s := range seats {
		rows = append(rows, worksheet.Cells("nnsiiii", []string{placeWords[plate.Places[s.Place].Kind]}, float64(s.Spot+1), float64(s.Place+1), s.X, s.Y, s.Off, max(0, s.Room)))
		if s.Room < tight.Room {
			tight = s
		}
	}
	o.SetTable("bolts", rows)
	return tight
}

// taken answers if the part fits a fixture.
func taken(o *worksheet.Out, ask Ask, plates []Plate, f Found) {
	w := f.Ways[0]
	plate := &plates[w.Plate]
	sits(o, plate, w.Pose)
	tight := boltRows(o, plate, Seats(ask, plate, w))
	o.Set("room", w.Room, "in")
	worksheet.SetRows(o, "list", f.Ways[:min(60, len(f.Ways))], func(_ int, w Way) []worksheet.Cell {
		return posed(&plates[w.Plate], w.Pose, w.Room)
	})
	worksheet.SetRows(o, "faces", f.Counts, func(_ int, c Count) []worksheet.Cell {
		return worksheet.Cells("ssni", []string{plates[c.Plate].Fixture, plates[c.Plate].Face}, float64(c.Ways), c.Room)
	})
	turned := worksheet.Either(w.Pose.Flip, " turned over,", "")
	ways := worksheet.Either(f.Total == 1, "way", "ways")
	o.SetText("verdict", o.Fill("{s} takes it,{s} turned {swivel deg}, its zero at X {wheel in}, Y {wheel in}: the "+
		"tightest bolt has {clear in} left all round. {0} {s} in all, on {0} of {0} faces.",
		[]string{plate.Name(), turned, ways}, w.Pose.Angle(), w.Pose.X, w.Pose.Y, w.Room, float64(f.Total),
		float64(len(f.Counts)), float64(len(plates))))
	mine := clearance(ask.Spots[tight.Spot])
	headTaken(o, ask, plate, w, tight)
	o.Line(&tightStep, nil, mine, tight.Whole-mine, tight.Whole)
	o.Line(&offStep, nil, tight.X, tight.Y, tight.Off)
	o.Line(&leftStep, nil, tight.Whole, tight.Off, tight.Room)
	o.CautionIf(w.Room < scant,
		"There is almost nothing to spare at the tightest bolt: a leaning stud or a burr stops it.")
	o.NoteIf(skew(w.Pose) > 1e-4,
		"In this position the part sits out of square with the fixture to let the bolts in: tram it before cutting.")
	for i := range ask.Spots {
		if wider(ask, plate, w, i) {
			o.Caution("A hole of the fixture is much wider than its bolt: put a thick washer under the nut.")
		}
	}
	o.SetLines("steps", []string{
		o.Fill("Set the part's zero at X {wheel in}, Y {wheel in} on the face, turned {swivel deg}.", nil, w.Pose.X,
			w.Pose.Y, w.Pose.Angle()),
		"Start all bolts by hand before any is tightened.",
		"Tighten lightly, tram, then tighten in turn and tram again.",
	})
}

// headTaken heads the answer where a face takes the part.
func headTaken(o *worksheet.Out, ask Ask, plate *Plate, w Way, tight Seat) {
	names := [...]string{"A fixture", worksheet.Capital(plate.Fixture), worksheet.Capital(plate.Name())}
	for _, name := range names {
		o.Head("{s} takes it", []string{name})
	}
	if w.Room < scant {
		for _, name := range names {
			o.Head("{s} takes it, {=clear in} room", []string{name}, w.Room)
		}
		o.Fact("▲ bolt {0} binds first", nil, float64(tight.Spot+1))
	}
	for i := range ask.Spots {
		if wider(ask, plate, w, i) {
			o.Fact("▲ thick washer under the nut", nil)
			break
		}
	}
	if skew(w.Pose) > 1e-4 {
		o.Fact("out of square: indicate it", nil)
	} else if turn := w.Pose.Angle(); math.Abs(turn) > .01 {
		o.Fact("turned {swivel deg}", nil, turn)
	}
	if w.Pose.Flip {
		o.Fact("turned over", nil)
	}
	if w.Room >= scant {
		o.Fact("{=clear in} room at the tightest", nil, w.Room)
	}
	o.Fact(worksheet.Either(len(ask.Spots) == 1, "its one bolt", "all {0} bolts"), nil, float64(len(ask.Spots)))
}

// scant is the room under which a burr or a leaning stud stops a bolt, inches. Common practice, no
// published source.
const scant = .005

// wider says whether a hole of the fixture is much wider than the bolt through it.
func wider(ask Ask, plate *Plate, w Way, spot int) bool {
	to := plate.Places[w.To[spot]]
	return to.Size > 1.5*ask.Spots[spot].Bolt.Dia && to.Kind != Tee
}

// headDrill heads the answer where holes are to be drilled first.
func headDrill(o *worksheet.Out, ask Ask, plate *Plate, d *Drilling) {
	switch len(ask.Spots) {
	case 1:
		o.HeadStop("No hole fits", nil)
	case 2:
		o.HeadStop("No hole pair fits", nil)
	default:
		o.HeadStop("No fixture's holes fit it", nil)
	}
	near := &d.New[0]
	bolt, _, _ := strings.Cut(near.Bolt.Name, " ")
	bolt = "x " + bolt
	for i := range d.New {
		if d.New[i].Bolt != near.Bolt {
			bolt = "holes"
		}
	}
	drill := "drill {0} {s} in {s}"
	apart := 0.0
	if len(d.New) == 2 {
		apart = (vec{d.New[1].X - near.X, d.New[1].Y - near.Y}).size()
		drill += ", {=wheel in} apart"
	}
	for i := range d.New {
		if h := &d.New[i]; h.What != NoHazard && (near.What == NoHazard || h.Near < near.Near) {
			near = h
		}
	}
	o.FactStop(drill, []string{bolt, plate.Fixture}, float64(len(d.New)), apart)
	if near.What != NoHazard && near.Near < 2*near.Bolt.Dia {
		o.FactStop("{=left in} to {s}", []string{near.What.Words()}, near.Near)
	}
	if len(d.Old) > 0 {
		o.FactStop(worksheet.Either(len(d.Old) == 1, "an old one serves", "{0} old ones serve"), nil, float64(len(d.Old)))
	}
}

// none begins the sentence that no face will do.
func none(o *worksheet.Out, faces int) string {
	if faces == 1 {
		return "No face"
	}
	return o.Fill("None of the {0} faces", nil, float64(faces))
}

// drillOut answers if new holes are needed.
func drillOut(v *worksheet.Values, o *worksheet.Out, ask Ask, rules Rules, plates []Plate, plans []Drilling) {
	d := &plans[0]
	plate := &plates[d.Plate]
	sits(o, plate, d.Pose)
	boltRows(o, plate, d.Old)
	name := v.Text("name")
	if name == "" {
		name = "the part"
	}
	var rows [][]worksheet.Cell
	steps := []string{"Find the face's zero, and drill and tap from it with the readings given; check one distance to an old hole before the first hole."}
	thin, clear := false, -1
	for i := range d.New {
		h := &d.New[i]
		mk, open, tap := "tap ", "no", ", tap {s}."
		if h.Tap == hole.Bottoming && !h.Open {
			tap = ", tap {s} to the bottom."
		}
		if h.Clear {
			mk, tap, clear = "clearance hole for ", ".", i
		} else {
			thin = thin || h.Thin
		}
		why, step := "to take {s}, its place {0}",
			"X {wheel in}, Y {wheel in}: drill {s} {quill in} to the shoulder, {quill in} to the point"
		if h.What != NoHazard {
			why += "; {left in} of metal to {s}"
		}
		if h.Open {
			open, step = "yes", "X {wheel in}, Y {wheel in}: drill {s} through"
		}
		why = o.Fill(why, []string{name, h.What.Words()}, float64(h.Spot+1), h.Near)
		rows = append(rows, worksheet.Cells("iiiissiisss", []string{mk + h.Bolt.Name, h.Drill, open, h.Bolt.Name, why},
			h.X, h.Y, h.X-d.New[0].X, h.Y-d.New[0].Y, h.Dia, h.Depth))
		steps = append(steps, o.Fill(step+tap, []string{h.Drill, h.Bolt.Name}, h.X, h.Y, h.Plan.Shoulder, h.Plan.Tip))
	}
	o.SetTable("holes", rows)
	o.SetLines("steps", append(steps, "Enter the new holes in the fixture's record, with the reason."))
	worksheet.SetRows(o, "plans", plans, func(_ int, q Drilling) []worksheet.Cell {
		on := &plates[q.Plate]
		return worksheet.Cells("ssnndsiii", []string{on.Fixture, on.Face, over(q.Pose)},
			float64(len(q.New)), float64(len(q.Old)), q.Pose.Angle(), q.Pose.X, q.Pose.Y, min(q.Spare, 1e4))
	})
	says := none(o, len(plates)) + " takes it as it is. Drill {0} new " +
		worksheet.Either(len(d.New) == 1, "hole", "holes") +
		" in {s}, first at X {wheel in}, Y {wheel in}"
	if len(d.Old) > 0 {
		says += "; {0} old ones serve"
	}
	says = o.Fill(says+".", []string{plate.Name()}, float64(len(d.New)), d.New[0].X, d.New[0].Y, float64(len(d.Old)))
	o.Stop(says, "The part's holes go on no face as it is: what is to be drilled comes first.")
	headDrill(o, ask, plate, d)
	bolt := d.New[0].Bolt.Dia
	o.Line(&edgeStep, nil, bolt, margin(rules.Edge, usualEdge, bolt))
	o.Line(&gapStep, nil, bolt, margin(rules.Between, usualBetween, bolt))
	o.Line(&ribStep, nil, bolt, margin(rules.Rib, usualRib, bolt))
	if clear >= 0 {
		o.Line(&clearStep, []string{d.New[clear].Bolt.Name, d.New[clear].Drill})
	}
	for i := range d.New {
		if !d.New[i].Clear {
			o.Line(&threadStep, nil, d.New[i].Bolt.Dia, d.New[i].Plan.Strong)
			break
		}
	}
	o.CautionIf(thin,
		"The plate is thinner than the thread usually wanted: the thread may strip before the bolt breaks. Tighten less, or use a nut behind.")
	o.CautionIf(d.Spare < 0, "The part's own places lie nearer together than the metal to be left between holes.")
	o.NoteIf(!d.Even, "The part's places do not lie alike on both sides of its centre line; the new holes follow them.")
	o.CautionIf(plate.Thick == 0,
		"The plate's thickness is not known, so the floor under the holes is not checked. Measure it before drilling.")
	o.Hurt("Each hole weakens the fixture, and a casting may hide a core or a rib where none is drawn: look behind the " +
		"face, keep to its maker's word, and do not drill a fixture that carries a part over people or that someone has to " +
		"answer for.")
	o.Note("Drill chips fly and taps break: goggles on, clamp the fixture, clear chips with the spindle stopped.")
}
