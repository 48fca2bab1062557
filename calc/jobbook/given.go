package jobbook

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
)

// What a worksheet takes that one field of a record does not say: a row of a table, a record found
// in the whole shop, a kept answer, or a length worked out from several.

// metals tells a metal by the metal of its record and a word of its name or grade: as the metal of
// a tapped hole, as what is cut, and as what a nut bears on. The last of a metal stands where no
// grade is known: the weaker one, the slower one.
var metals = [...][5]string{
	{"iron", "20", "grey20", "grey", "iron"}, {"iron", "25", "grey25", "grey", "iron"},
	{"iron", "30", "grey30", "grey", "iron30"}, {"iron", "35", "grey35", "grey", "iron30"},
	{"iron", "40", "grey40", "greyhard", "iron30"}, {"iron", "50", "grey50", "greyhard", "iron30"},
	{"iron", "60", "grey60", "greyhard", "iron30"}, {"iron", "", "", "grey", "iron"},
	{"ductile", "65", "ductile65", "ductile", "ductile"}, {"ductile", "80", "ductile80", "ductile", "ductile"},
	{"ductile", "", "ductile60", "ductile", "ductile"},
	{"steel", "cast", "caststeel", "caststeel", "mild"}, {"steel", "12l14", "mild", "free", "mild"},
	{"steel", "1018", "mild", "mild", "mild"}, {"steel", "mild", "mild", "mild", "mild"},
	{"steel", "4140", "mild", "alloy", "medium"}, {"steel", "4340", "mild", "alloy", "medium"},
	{"steel", "tool", "mild", "tool", "medium"}, {"steel", "", "mild", "medium", "mild"},
	{"stainless", "303", "", "stainfree", ""}, {"stainless", "", "", "stainless", ""},
	{"aluminium", "6061", "al6061", "aluminium", "alcast"}, {"aluminium", "7075", "al7075", "aluminium", "al7075"},
	{"aluminium", "", "al356", "aluminium", "alcast"},
	{"bronze", "brass", "bronze", "brass", ""}, {"bronze", "", "bronze", "bronze", ""},
}

// metal gives one of the columns of metals for a material.
func (d *document) metal(column int) string {
	words := chunks(d.text("name") + " " + d.text("grade"))
	for i := range metals {
		m := &metals[i]
		if m[0] != d.text("metal") {
			continue
		}
		found := m[1] == ""
		for _, w := range words {
			found = found || w == m[1] || strings.HasPrefix(w, m[1]+"-")
		}
		if found {
			return m[column]
		}
	}
	return ""
}

// lengthOf reads a length with its unit; ok is false where there is none.
func lengthOf(said string) (l units.Length, ok bool) {
	n, f := shoptext.ParseKept(said, units.Span, units.Span.Unit(units.InchSystem))
	return n.Length, f == nil
}

// telling writes a length in the unit of one that it was worked out from.
func telling(l units.Length, like string) string {
	x, unit, places := l.Inches(), " in", 5
	if strings.HasSuffix(like, "mm") {
		x, unit, places = l.MM(), " mm", 4
	}
	d, _ := units.Round(x, places)
	said := d.Trim()
	if rest, is := strings.CutPrefix(said, "0."); is && unit == " in" {
		said = "." + rest
	} else if rest, is := strings.CutPrefix(said, "-0."); is && unit == " in" {
		said = "-." + rest
	}
	return said + unit
}

// unsuited lets go of the feature of a step that the worksheet cannot be about, as the face that is
// cut next where a hole is asked for; true where it does.
func (c *context) unsuited(given string) bool {
	if given == "" && hasWord("hole engage torque taptorque clear bore room dowel", c.sheet) &&
		hasWord("face edge line wall", c.role("feature").text("kind")) {
		delete(c.by, "feature")
		return true
	}
	return false
}

// roles finds what no link leads to: rows of the fixture and of the setup, and what the shop has one
// of. Row names one of the fixture's holes.
func (c *context) roles(row string) {
	fixture, feature, tool := c.role("fixture"), c.role("feature"), c.role("tool")
	for _, l := range fixture.lines("holes") {
		if row != "" && (l.row == row || l.text("name") == row) {
			c.mark("asked", l, "fixture", "holes")
			c.mark("hole", l, "fixture", "holes")
		}
	}
	// A tapped hole of the part is in the part; a bolt of the part, and of the setup, goes into the
	// fixture.
	inPlate := row != "" || feature.text("thread") == "" || hasWord("hold strap", c.sheet)
	if inPlate {
		c.bolts()
	}
	if inPlate && fixture != nothing {
		c.alias("holemetal", "platemetal")
	} else {
		c.alias("holemetal", "material")
	}
	// The speed of a step is one for its tool, and for no other.
	kind := tool.text("kind")
	mills, drills, taps := hasWord("endmill facemill flycutter", kind), kind == "drill", kind == "tap"
	if mills {
		c.alias("mill", "tool")
	}
	if drills {
		c.alias("drill", "tool")
	}
	if tool == nothing || mills && hasWord("power facing", c.sheet) || drills && c.sheet == "drillforce" ||
		taps && c.sheet == "taptorque" {
		c.alias("cutting", "step")
	}
	switch fixture.text("kind") {
	case "table", "vise", "parallel":
		c.alias("base", "fixture")
	case "angle":
		c.alias("upright", "fixture")
	}
	switch size, _ := lengthOf(feature.said("nominal")); feature.text("kind") {
	case "slot", "face":
		c.alias("between", "feature") // its two edges are a width apart
	case "boss":
		c.alias("boss", "feature")
		c.alias("turned", "feature")
	case "bore":
		c.alias("turned", "feature")
	case "hole":
		if c.sheet != "dowel" || size <= units.Inch { // no pin is larger
			c.alias("drilled", "feature")
		}
	}
	switch c.role("gauge").text("kind") {
	case "square":
		c.alias("master", "gauge")
	case "lever", "dial":
		c.alias("needle", "gauge")
	}
	switch {
	case hasWord("edge middle centre skew", c.sheet):
		c.only("gauge", "finder", "finder")
	case c.sheet == "sling":
		c.only("set", "slings", "slings")
	case c.sheet == "eyebolt":
		c.only("set", "eyes", "eyes")
	case hasWord("shim shims blocks", c.sheet):
		for _, d := range c.all("set", "", "") {
			if kind := d.text("kind"); (kind == "shims" || kind == "blocks") && c.by[kind] == nil {
				c.by[kind] = d
			}
		}
	}
}

func (c *context) mark(role string, l line, of, table string) {
	l.of, l.table = of, table
	c.marked[role] = l
}

// alias gives a record a second role.
func (c *context) alias(role, of string) {
	if d := c.by[of]; d != nil {
		c.by[role] = d
	}
}

// only gives a role to the record of a kind that the shop has one of. Of two nobody knows which is
// meant.
func (c *context) only(kind, is, role string) {
	var found []*document
	for _, d := range c.all(kind, "", "") {
		if d.text("kind") == is {
			found = append(found, d)
		}
	}
	if len(found) == 1 {
		c.by[role] = found[0]
	}
}

// bolts finds the first bolt of the setup, the hole of the fixture with the least thread that one of
// them names, and the first bolt whose hole is not drilled yet.
func (c *context) bolts() {
	fixture, least := c.role("fixture"), units.Length(math.MaxInt64)
	for _, b := range c.role("setup").lines("bolts") {
		if _, ok := c.marked["bolt"]; !ok && b.text("thread") != "" {
			c.mark("bolt", b, "setup", "bolts")
		}
		drilled := false
		for _, h := range fixture.lines("holes") {
			if !sameName(h.text("name"), b.text("hole")) {
				continue
			}
			drilled = true
			deep, known := threaded(h, 5)
			if !known {
				deep = math.MaxInt64 - 1
			}
			if _, asked := c.marked["asked"]; !asked && deep < least {
				least = deep
				c.mark("hole", h, "fixture", "holes")
			}
		}
		if _, ok := c.marked["undrilled"]; !ok && !drilled && b.text("hole") != "" && b.text("thread") != "" {
			c.mark("undrilled", b, "setup", "bolts")
		}
	}
}

// threaded is how deep the thread of a hole is: its full thread, else the depth less what a tap
// leaves, in pitches.
func threaded(h line, leaves units.Length) (units.Length, bool) {
	if full, ok := lengthOf(h.said("full")); ok {
		return full, true
	}
	deep, ok := lengthOf(h.said("depth"))
	_, pitch := screw(h.text("thread"))
	return deep - leaves*pitch, ok && pitch > 0
}

// tapped is the tap that the hole of a thread was planned with, in the answer kept last.
func (c *context) tapped(l line) (tap string, from *document) {
	_, d := c.kept("hole")
	in := d.value("inputs")
	if in.str("thread") == l.text("thread") {
		tap = in.str("tap")
	}
	return tap, d
}

func sameName(a, b string) bool { return a != "" && lower(trim(a)) == lower(trim(b)) }

// say fills an input with something worked out; the records it is from stand in the label.
func (c *context) say(key, said string, from *document, what string) {
	c.put(key, said, joined(from.title(), ", ", what))
}

// special fills inputs that need more than one field.
func (c *context) special(step, setup string) {
	feature, part, fixture, tool := c.role("feature"), c.role("part"), c.role("fixture"), c.role("tool")
	material := c.role("material")
	hole, isHole := c.marked["hole"]
	switch c.sheet {
	case "hole":
		c.hole()
	case "engage", "torque":
		c.say("metal", c.role("holemetal").metal(2), c.role("holemetal"), "Metal")
		switch {
		case c.sheet == "torque" && isHole && hasWord("clear bore", hole.text("kind")):
			c.take("into", "nut", fixture, "holes")
		case isHole:
			c.engaged(hole)
		case feature.text("thread") != "":
			c.give("length", feature, "depth")
		}
	case "hold":
		c.stud()
		c.hung()
	case "strap":
		c.strapped()
	case "room":
		c.room()
	case "dials":
		c.places()
	case "bolts", "row", "grid":
		c.pattern()
	case "edge":
		c.side()
	case "skew":
		c.askew()
	case "reach":
		c.turnedFace()
	case "daylight":
		if high := [...]string{"long", "wide", "high"}[upright(c.role("setup"))]; part != nothing {
			c.give("part", part, high)
		}
	case "foul":
		c.passing()
	case "power":
		wide, ok := lengthOf(feature.said("wide"))
		cutter, of := lengthOf(tool.said("diameter"))
		if ok && of && wide <= cutter {
			c.give("width", feature, "wide")
		}
	case "sling":
		c.last("weigh", "lift", "weight")
	case "eyebolt":
		c.eye()
	case "weigh":
		if a := texts(part, "long,wide,high"); a[0] != "" && a[1] != "" && a[2] != "" {
			c.say("parts", strings.Join([]string{"add, box", a[0], a[1], a[2], half(a[0]), half(a[1])}, ", "), part, "Length, "+
				"Width and Height")
		}
		if d := material.said("density"); d != "" {
			c.take("metal", "own", material, "density")
			c.take("density", d, material, "density")
		}
	case "heat":
		if e := material.said("expansion"); e != "" {
			c.take("part", "own", material, "expansion")
			c.take("ownpart", e, material, "expansion")
		}
	case "arc":
		if hasWord("bore boss ring", feature.text("kind")) {
			c.say("radius", half(feature.said("nominal")), feature, "half its Size")
		}
	case "divide":
		if n := len(feature.lines("also")); n > 0 {
			c.take("divisions", strconv.Itoa(n+1), feature, "also")
		}
	case "shims":
		if set := c.by["shims"]; set != nil {
			c.take("owned", set.sizes("; ", 24), set, "sizes") // rows, at most 24 of them
		}
	case "accept":
		c.accepted(feature)
	case "sure":
		c.doubts()
	}
	if hasWord("speed power drillforce taptorque", c.sheet) {
		c.say("work", material.metal(3), material, "Metal")
	}
	if hasWord("tram shim square bar sweep tapin", c.sheet) {
		c.settings(c.role("setup"), "grad repeat sense")
		if setup := c.role("setup"); c.sheet != "tapin" || len(setup.value("tapin").keys) == 0 {
			c.sense(setup) // what was typed on the page of tapping in stands as it was typed
		}
	}
	c.read(step, setup)
}

// later fills what no record says by answers that were kept.
func (c *context) later() {
	if hasWord("power facing drillforce taptorque", c.sheet) {
		c.last("speed", "rpm", "rpm")
	}
	switch c.sheet {
	case "power":
		c.last("speed", "feed", "feed")
	case "facing":
		c.last("speed", "pertooth", "pertooth")
		c.stock()
	case "drillforce":
		c.last("speed", "perrev", "feed")
	case "taptorque":
		c.last("hole", "drill", "hole")
	case "hold", "strap":
		c.last("power", "force", "force")
	}
}

// read fills in readings that were taken.
func (c *context) read(step, setup string) {
	if c.sheet != "shim" && c.sheet != "repeat" {
		return
	}
	if of := c.role("setup"); of != nothing {
		c.all("reading", "setup", of.id)
	}
	if c.sheet == "shim" {
		c.line("x,y,value", c.role("setup"), step, "")
		return
	}
	said, last := "", nothing
	for _, d := range c.again(readings(c.docs, step, setup, c.by["setup"])) {
		if v := d.said("value"); v != "" {
			said, last = joined(said, "; ", v), d
		}
	}
	c.take("readings", said, last, "value")
}

// again are readings of one size taken again and again: those of the newest one's kind and feature,
// where all of them stand at one place. Readings along a face are none, nor is one alone. Sizes go
// before the rest.
func (c *context) again(list []*document) []*document {
	feature := c.role("feature")
	var newest *document
	for _, d := range list {
		size := d.text("kind") == "size"
		if d.said("value") == "" || size && feature != nothing && d.text("feature") != feature.id {
			continue
		}
		if newest == nil || size || newest.text("kind") != "size" {
			newest = d
		}
	}
	if newest == nil {
		return nil
	}
	var out []*document
	for _, d := range list {
		switch {
		case d.said("value") == "" || !alike(d, newest, "kind,feature,fixture,machine"):
		case !alike(d, newest, "station,x,y,z,gauge"):
			return nil
		default:
			out = append(out, d)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// alike reports whether two records say the same in some fields.
func alike(a, b *document, fields string) bool {
	x, y := texts(a, fields), texts(b, fields)
	for i := range x {
		if x[i] != y[i] {
			return false
		}
	}
	return true
}

// half is half a length.
func half(said string) string {
	l, ok := lengthOf(said)
	if !ok {
		return ""
	}
	return telling(l/2, said)
}

// sense reads which way is plus: in words of the setup.
func (c *context) sense(setup *document) {
	near, far, it := false, false, false
	for _, w := range chunks(setup.text("sign")) {
		near = near || hasWord("toward towards nearer", w)
		far = far || hasWord("away farther", w)
		it = it || hasWord("spindle indicator needle tip", w) // toward what holds the indicator
	}
	if it && near != far {
		key := "near"
		if far {
			key = "far"
		}
		c.take("sense", key, setup, "sign")
	}
}

// hole is a hole to be tapped: in the part as its feature says, else in the fixture's plate.
func (c *context) hole() {
	feature, fixture := c.role("feature"), c.role("fixture")
	asked, isAsked := c.marked["asked"]
	if !isAsked && feature.text("thread") != "" {
		c.give("depth", feature, "depth")
		return
	}
	c.give("stock", fixture, "thick")
	if isAsked && asked.text("through") != "yes" {
		if full := asked.said("full"); full != "" {
			c.take("depth", full, fixture, "holes")
		} else if deep := asked.said("depth"); deep != "" {
			c.take("depth", deep, fixture, "holes")
			c.take("to", "shoulder", fixture, "holes")
		}
	}
}

// stud is what a stud screws into: a hole of the fixture. Its full thread is what bears, where the
// record tells it; else its depth is one to the shoulder, as a planned hole is put down.
func (c *context) stud() {
	fixture := c.role("fixture")
	metal := c.role("holemetal")
	c.say("metal", metal.metal(2), metal, "Metal")
	l, ok := c.marked["hole"]
	if !ok {
		return
	}
	switch {
	case l.text("kind") == "clear" || l.text("kind") == "bore":
		c.take("into", "nut", fixture, "holes")
	case l.text("through") == "yes":
		if thick := fixture.said("thick"); thick != "" {
			c.take("into", "through", fixture, "holes")
			c.take("depth", thick, fixture, "thick")
		}
	default:
		said, to := l.said("full"), "thread"
		if said == "" {
			said, to = l.said("depth"), "shoulder"
			tap, d := c.tapped(l)
			c.say("tap", tap, d, "Finishing tap")
		}
		if said != "" {
			c.take("into", "blind", fixture, "holes")
			c.take("depth", said, fixture, "holes")
			c.take("to", to, fixture, "holes")
		}
	}
}

// engaged is the full thread of a hole: as the record tells it, else a depth to the shoulder less
// what its tap leaves.
func (c *context) engaged(l line) {
	fixture := c.role("fixture")
	if l.text("through") == "yes" {
		c.give("length", fixture, "thick")
		return
	}
	c.take("length", l.said("full"), fixture, "holes")
	leaves, what := units.Length(5), "5 threads of a plug tap"
	if tap, _ := c.tapped(l); tap == "bottoming" {
		leaves, what = 2, "2 threads of a bottoming tap"
	}
	if full, ok := threaded(l, leaves); ok && full > 0 {
		c.say("length", telling(full-full%units.Thou, l.said("depth")), fixture, "Holes: depth less "+what)
	}
}

// screw gives diameter and pitch of a thread; 0 where there is none.
func screw(said string) (dia, pitch units.Length) {
	t, err := thread.Parse(said)
	if err != nil {
		return 0, 0
	}
	if t.System == thread.ISO {
		return units.FromMM(t.D), units.FromMM(t.Pitch)
	}
	return units.FromInches(t.D), units.FromInches(t.Pitch)
}

// room has bolt and hole of the part, and distances as drawn and as found on the fixture.
func (c *context) room() {
	feature, fixture := c.role("feature"), c.role("fixture")
	bolt, what := feature.text("bolt"), "Takes bolt"
	if bolt == "" {
		bolt, what = feature.text("thread"), "Thread"
	}
	if d, _ := screw(bolt); d > 0 {
		like := ""
		if bolt[0] == 'M' {
			like = "mm"
		}
		c.say("bolt", telling(d, like), feature, what)
	}
	if also := feature.lines("also"); len(also) > 0 {
		c.say("here", apart(texts(feature, "x,y"), texts(also[0], "x,y")), feature, "X and Y")
	}
	studs := c.studs()
	if len(studs) == 2 {
		c.say("there", apart(texts(studs[0], "x,y"), texts(studs[1], "x,y")), fixture, "Holes")
	}
	if len(studs) > 0 && studs[0].text("kind") == "clear" {
		c.take("how", "floating", fixture, "holes")
		c.take("hole2", studs[0].said("dia"), fixture, "holes")
	}
}

// apart is the distance of two places.
func apart(a, b []string) string {
	var d [2]float64
	for i := range d {
		from, ok := lengthOf(a[i])
		to, of := lengthOf(b[i])
		if !ok || !of {
			return ""
		}
		d[i] = (to - from).Inches()
	}
	return telling(units.FromInches(math.Hypot(d[0], d[1])), a[0])
}

// studs are the fixture's holes that the setup's bolts name.
func (c *context) studs() []line {
	var out []line
	for _, b := range c.role("setup").lines("bolts") {
		for _, h := range c.role("fixture").lines("holes") {
			if sameName(h.text("name"), b.text("hole")) {
				out = append(out, h)
			}
		}
	}
	return out
}

// places are where a feature is drilled: its own place and those where it is the same again.
func (c *context) places() {
	feature := c.role("feature")
	var rows cells
	for _, at := range placesOf(feature) {
		rows.row(at...)
	}
	c.say("holes", string(rows.text), feature, "X and Y")
}

func placesOf(feature *document) [][]string {
	var out [][]string
	add := func(at []string) {
		if at[0] != "" && at[1] != "" {
			out = append(out, at)
		}
	}
	add(texts(feature, "x,y"))
	for _, l := range feature.lines("also") {
		add(texts(l, "x,y"))
	}
	return out
}

// pattern finds the circle or the row that the places of a feature make, and counts them. What the
// drawing does not say that exactly is typed.
func (c *context) pattern() {
	feature := c.role("feature")
	at := placesOf(feature)
	n := len(at)
	if n < 2 {
		return
	}
	like := at[0][0]
	x, y := make([]float64, n), make([]float64, n)
	var mx, my float64
	for i, p := range at {
		a, ok := lengthOf(p[0])
		b, of := lengthOf(p[1])
		if !ok || !of {
			return
		}
		x[i], y[i] = a.Inches(), b.Inches()
		mx += x[i] / float64(n)
		my += y[i] / float64(n)
	}
	in := func(v float64) string { return telling(units.FromInches(v), like) }
	put := func(key, said string) { c.say(key, said, feature, "The same again at") }
	const near = 5e-5
	turn := func(dx, dy float64) string {
		d, _ := units.Round(math.Atan2(dy, dx)*180/math.Pi, 4)
		return d.Trim()
	}
	switch c.sheet {
	case "bolts":
		r := math.Hypot(x[0]-mx, y[0]-my)
		chord := math.Hypot(x[1]-x[0], y[1]-y[0])
		even := n > 2 && r > near
		for i := range n {
			next := (i + 1) % n
			even = even && math.Abs(math.Hypot(x[i]-mx, y[i]-my)-r) < near &&
				math.Abs(math.Hypot(x[next]-x[i], y[next]-y[i])-chord) < near
		}
		if even && math.Abs(chord-float64(2*r*math.Sin(math.Pi/float64(n)))) < near {
			put("n", strconv.Itoa(n))
			put("dia", in(2*r))
			put("x", in(mx))
			put("y", in(my))
			put("first", turn(x[0]-mx, y[0]-my))
		}
	case "row":
		over := math.Hypot(x[n-1]-x[0], y[n-1]-y[0])
		even := over > near
		for i := range n {
			t := float64(i) / float64(n-1)
			even = even && math.Abs(x[0]+float64(t*(x[n-1]-x[0]))-x[i]) < near &&
				math.Abs(y[0]+float64(t*(y[n-1]-y[0]))-y[i]) < near
		}
		if even {
			put("n", strconv.Itoa(n))
			put("over", in(over))
			put("x", in(x[0]))
			put("y", in(y[0]))
			put("angle", turn(x[n-1]-x[0], y[n-1]-y[0]))
		}
	case "grid":
		c.grid(x, y, in, put)
	}
}

// grid finds columns and rows that a feature's places fill.
func (c *context) grid(x, y []float64, in func(float64) string, put func(key, said string)) {
	nx, x0, px := steps(x)
	ny, y0, py := steps(y)
	if nx < 2 || ny < 2 || nx*ny != len(x) {
		return
	}
	put("nx", strconv.Itoa(nx))
	put("ny", strconv.Itoa(ny))
	put("px", in(px))
	put("py", in(py))
	put("x", in(x0))
	put("y", in(y0))
}

// steps counts the values that differ, and gives the least and the step, where all steps are alike;
// 0 where they are not.
func steps(v []float64) (n int, least, step float64) {
	var seen []float64
	for _, a := range v {
		known := false
		for _, b := range seen {
			known = known || math.Abs(a-b) < 5e-5
		}
		if !known {
			seen = append(seen, a)
		}
	}
	order := arrange(len(seen), func(a, b int) int {
		if seen[a] < seen[b] {
			return -1
		}
		return 1
	})
	least = seen[order[0]]
	for i := 1; i < len(order); i++ {
		d := seen[order[i]] - seen[order[i-1]]
		if i > 1 && math.Abs(d-step) > 5e-5 {
			return 0, 0, 0
		}
		step = d
	}
	return len(order), least, step
}

// side is where the finder stands for an edge of the part, as long as the part sits as it is drawn.
func (c *context) side() {
	feature, setup := c.role("feature"), c.role("setup")
	look := feature.text("looks")
	turned := setup.text("turn") != "" && setup.text("turn") != "0"
	if !hasWord("edge face", feature.text("kind")) || len(look) != 2 || look[1] == 'z' || turned ||
		setup.text("downside") != "" && setup.text("downside") != "-z" {
		return
	}
	c.take("side", sides[look], feature, "looks")
	c.take("want", feature.said(look[1:]), feature, look[1:])
}

// up is the side of the part, as it is drawn, that is up in a setup.
func up(setup *document) string {
	down := setup.text("downside")
	if len(down) != 2 {
		return "+z"
	}
	if down[0] == '-' {
		return "+" + down[1:]
	}
	return "-" + down[1:]
}

// upright is the axis of the part that stands upright in a setup: 0, 1 or 2.
func upright(setup *document) int { return int(up(setup)[1]-'x') % 3 }

// above are the holes, bores and bosses of the face that is up, where their place is known.
func (c *context) above() []*document {
	look := up(c.role("setup"))
	list := c.features(c.role("part"))
	var faces []string
	for _, f := range list {
		if f.text("kind") == "face" && f.text("looks") == look {
			faces = append(faces, f.text("face"))
		}
	}
	var out []*document
	for _, f := range list {
		if hasWord("hole tapped bore boss", f.text("kind")) && f.said("x") != "" && f.said("y") != "" &&
			(f.text("looks") == look || f.text("looks") == "" && f.text("face") != "" && has(faces, f.text("face"))) {
			out = append(out, f)
		}
	}
	return out
}

// askew has the two features of the face that is up that stand farthest apart, to be found, and the
// places of the others. What was found is typed.
func (c *context) askew() {
	var at [][]string
	for _, f := range c.above() {
		at = append(at, placesOf(f)...)
	}
	if len(at) < 2 {
		return
	}
	a, b, most := 0, 1, -1.0
	for i := range at {
		for j := range i {
			if d, ok := lengthOf(apart(at[j], at[i])); ok && d.Inches() > most {
				a, b, most = j, i, d.Inches()
			}
		}
	}
	var found, wanted cells
	for i, p := range at {
		if i == a || i == b {
			found.row(p[0], p[1], "", "")
		} else if i < 40 {
			wanted.row(p...)
		}
	}
	part := c.role("part")
	c.say("features", string(found.text), part, "the face that is up")
	c.say("places", string(wanted.text), part, "the face that is up")
}

// turnedFace has length and width the other way round where they lie across the table.
func (c *context) turnedFace() {
	n, _ := strconv.Atoi(c.role("setup").text("turn"))
	d, across := c.role("feature"), n%2 == 1
	if d.said("long") == "" || d.said("wide") == "" {
		d = c.role("part")
	} else if d.text("runs") == "y" {
		across = !across
	}
	if across && d != nothing {
		c.give("long", d, "wide")
		c.give("wide", d, "long")
	}
}

// eye is an eyebolt in a hole for it: a tapped feature that is called so.
func (c *context) eye() {
	material := c.role("material")
	c.say("metal", material.metal(2), material, "Metal")
	for _, f := range c.features(c.role("part")) {
		named := false
		for _, w := range chunks(f.text("name")) {
			named = named || hasWord("lug eye eyebolt lift lifting", w)
		}
		size, _, _ := strings.Cut(f.text("thread"), "-")
		if named && hasWord("1/4 3/8 1/2 5/8 3/4 1 2", size) {
			c.take("size", size, f, "thread")
			c.give("grip", f, "depth")
			return
		}
	}
}

// accepted is a size against its limits: the last reading of the feature with its doubt.
func (c *context) accepted(f *document) {
	if f == nothing {
		return
	}
	for _, limit := range [...][2]string{{"low", "minus"}, {"high", "plus"}} {
		if size, off := f.said("nominal"), f.said(limit[1]); size != "" && off != "" {
			if off[0] != '-' && off[0] != '+' {
				off = "+" + off
			}
			c.take(limit[0], size+off, f, limit[1])
		}
	}
	for _, d := range arranged(c.all("reading", "feature", f.id), func(a, b *document) int { return byMade(b, a) }) {
		if d.text("kind") == "size" {
			c.give("size", d, "value")
			c.give("unsure", d, "unsure")
			break
		}
	}
	g := c.role("gauge")
	c.give("unsure", g, "unsure")
}

// doubts are what is known of the gauge: its step, and how sure it is.
func (c *context) doubts() {
	g := c.role("gauge")
	if g == nothing {
		g = c.role("indicator")
	}
	var rows cells
	if v := g.said("graduation"); v != "" {
		rows.row("step", "step", v)
	}
	if v := g.said("unsure"); v != "" {
		rows.row("gauge", "k2", v)
	}
	c.say("parts", string(rows.text), g, "Graduation and Sure within")
}

// kept gives the results of the answer of a worksheet that was kept last, of the step, else of the
// setup, else of the job.
func (c *context) kept(sheet string) (results *node, d *document) {
	for _, role := range [...]string{"step", "setup", "job"} {
		of := c.role(role)
		if of == nothing {
			continue
		}
		d = nothing
		for _, k := range c.all("kept", role, of.id) {
			if k.text("worksheet") == sheet {
				d = k
			}
		}
		if d == nothing {
			continue
		}
		answer := d.value("answer")
		if answer.kind != object {
			c.lack("whole " + d.id)
		}
		return answer.get("results"), d
	}
	return none, nothing
}

// last fills an input with a number of the answer kept last, as it stands on the dial.
func (c *context) last(sheet, result, key string) {
	results, d := c.kept(sheet)
	found := results.get(result)
	c.put(key, first(found.str("shown"), found.str("text")), joined(d.title(), ", ", "kept"))
}

// stock is what has to come off the face of a step: of the clean-up that was kept.
func (c *context) stock() {
	feature := c.role("feature")
	results, d := c.kept("cleanup")
	table := results.get("surfaces")
	for _, row := range table.get("value").list {
		if len(row.list) > 3 && row.list[0].text == feature.text("name") && feature != nothing {
			unit := ""
			if u := table.get("units").list; len(u) > 3 {
				unit = u[3].text
			}
			c.put("stock", joined(row.list[3].text, " ", unit), joined(d.title(), ", ", "kept"))
		}
	}
}
