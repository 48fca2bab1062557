package jobbook

// Kinds lists the kinds of the job book, in display order. Keys never change once published: stored
// documents use them.
var Kinds = []Kind{
	{Key: "job", Label: "Job", Plural: "Jobs", Help: "What was asked for, by whom and by when.",
		Title: []string{"name"}, Detail: []string{"drawing", "state", "due"}, Fields: jobFields},
	{Key: "part", Label: "Part", Plural: "Parts", Help: "The casting or piece that is machined.",
		Title: []string{"name"}, Detail: []string{"drawing", "casting"}, Fields: partFields},
	{Key: "feature", Label: "Feature", Plural: "Features", Help: "A face, hole, slot or bore with its size and tolerance.",
		Title: []string{"name"}, Detail: []string{"kind", "nominal", "thread", "face"}, Fields: featureFields},
	{Key: "setup", Label: "Setup", Plural: "Setups", Help: "How the part sits on the machine, and what was found before cutting.",
		Title: []string{"order", "name"}, Detail: []string{"down", "against", "state"}, Fields: setupFields},
	{Key: "step", Label: "Step", Plural: "Steps", Help: "One thing to do in a setup, ticked when done.",
		Title: []string{"order", "name"}, Detail: []string{"notes"}, Fields: stepFields},
	{Key: "reading", Label: "Reading", Plural: "Readings", Help: "One number read off a gauge, where and when it was read.",
		Title: []string{"station", "value"}, Detail: []string{"kind", "when"}, Fields: readingFields},
	{Key: "note", Label: "Note", Plural: "Notes", Help: "A few words about anything.",
		Title: []string{"text"}, Fields: noteFields},
	{Key: "photo", Label: "Photo", Plural: "Photos", Help: "A picture, kept with what it shows. A new picture is a new record.",
		Title: []string{"name"}, Detail: []string{"view", "taken"}, Fields: photoFields},
	{Key: "kept", Label: "Kept result", Plural: "Kept results", Help: "A worksheet with what was typed and what it answered, and what was found afterwards.",
		Title: []string{"worksheet", "jobname"}, Detail: []string{"note", "measured"}, Fields: keptFields},
	{Key: "machine", Label: "Machine", Plural: "Machines", Help: "Travels, speeds, feeds, dials, and what is known about its errors.",
		Title: []string{"name"}, Detail: []string{"kind", "tag"}, Fields: machineFields},
	{Key: "fixture", Label: "Fixture", Plural: "Fixtures", Help: "An angle plate, vise, table or parallel with its ribs, slots and holes, and why each hole is there.",
		Title: []string{"name"}, Detail: []string{"kind", "tag"}, Fields: fixtureFields},
	{Key: "tool", Label: "Cutter, tap or drill", Plural: "Cutters, taps and drills", Help: "What you own to cut with.",
		Title: []string{"name"}, Detail: []string{"kind", "diameter", "thread"}, Fields: toolFields},
	{Key: "gauge", Label: "Indicator or gauge", Plural: "Indicators and gauges", Help: "What you read with, how fine, and when it was last checked.",
		Title: []string{"name"}, Detail: []string{"kind", "graduation", "checked"}, Fields: gaugeFields},
	{Key: "set", Label: "Set of sizes", Plural: "Sets of sizes", Help: "Shims, blocks and other things owned in a run of sizes.",
		Title: []string{"name"}, Detail: []string{"kind"}, Fields: setFields},
	{Key: "material", Label: "Material", Plural: "Materials", Help: "A metal, with what is known of it.",
		Title: []string{"name"}, Detail: []string{"metal", "grade"}, Fields: materialFields},
}

const (
	maxLength = "1000 in"
	notesHelp = "Anything worth knowing next time."
)

var (
	jobLink     = []string{"job"}
	partLink    = []string{"part"}
	featureLink = []string{"feature"}
	setupLink   = []string{"setup"}
	stepLink    = []string{"step"}
	machineLink = []string{"machine"}
	fixtureLink = []string{"fixture"}
	gaugeLink   = []string{"gauge"}
	toolLink    = []string{"tool"}
	matLink     = []string{"material"}
)

var jobFields = []Field{
	{Key: "name", Label: "Job", Kind: Text, Required: true, Help: "What you call it."},
	{Key: "words", Label: "In the customer's own words", Kind: Long,
		Help: "What was asked for, as it was said or written."},
	{Key: "customer", Label: "Customer", Kind: Text},
	{Key: "drawing", Label: "Drawing number", Kind: Text},
	{Key: "revision", Label: "Revision", Kind: Text, Most: 40},
	{Key: "quantity", Label: "How many", Kind: Count, Min: "1", Max: "100000", Example: "1"},
	{Key: "due", Label: "Due", Kind: Date, Example: "2026-03-09"},
	{Key: "state", Label: "State", Kind: Choice,
		Options: choices("asked=asked for; planned; running; waiting; done; dropped")},
	{Key: "repeats", Label: "Repeats job", Kind: Link, Of: jobLink, Help: "The earlier job this one was made from."},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var partFields = []Field{
	{Key: "name", Label: "Part", Kind: Text, Required: true},
	{Key: "job", Label: "Job", Kind: Link, Of: jobLink},
	{Key: "drawing", Label: "Drawing number", Kind: Text},
	{Key: "revision", Label: "Revision", Kind: Text, Most: 40},
	{Key: "casting", Label: "Casting number", Kind: Text},
	{Key: "material", Label: "Material", Kind: Link, Of: matLink},
	{Key: "long", Label: "Length", Kind: Length, Min: "0 in", Max: maxLength, Example: "14"},
	{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "high", Label: "Height", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "weight", Label: "Weight", Kind: Mass, Min: "0 lb", Max: "100000 lb",
		Help: "As weighed or estimated. Check it before lifting."},
	{Key: "balx", Label: "Balances, from its left end", Kind: Length, Min: "-1000 in", Max: maxLength,
		Help: "Of the part as it is drawn: where its weight has its centre."},
	{Key: "baly", Label: "from its front", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "balz", Label: "up from its bottom", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var featureFields = []Field{
	{Key: "name", Label: "Feature", Kind: Text, Required: true, Example: "base face"},
	{Key: "part", Label: "Part", Kind: Link, Of: partLink},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("face; hole; tapped=tapped hole; bore; slot; boss; edge; line=centre line; " +
			"wall=wall that stays as cast; ring=metal round a bore that stays as cast")},
	{Key: "face", Label: "On face", Kind: Text,
		Help: "The face it is in, by its name on the drawing or in your own words."},
	{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength, Help: "From the datum, along the part."},
	{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "z", Label: "Z", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "looks", Label: "It looks", Kind: Choice, Options: looks,
		Help: "With the part as it is drawn; for a bore the way its axis runs."},
	{Key: "also", Label: "The same again at", Kind: Table, MaxRows: 40, Columns: []Field{
		{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength},
		{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength},
	}},
	{Key: "nominal", Label: "Size", Kind: Length, Min: "0 in", Max: maxLength,
		Help: "Diameter, width, thickness or distance as drawn.", Example: "4.000"},
	{Key: "plus", Label: "Tolerance above", Kind: Length, Min: "-10 in", Max: "10 in",
		Help: "Upper deviation from the size: +.002 is .002.", Example: ".002"},
	{Key: "minus", Label: "Tolerance below", Kind: Length, Min: "-10 in", Max: "10 in",
		Help: "Lower deviation from the size, with its sign: -.001.", Example: "-.001"},
	{Key: "depth", Label: "Depth", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "thread", Label: "Thread", Kind: Thread, Example: "3/8-16"},
	{Key: "long", Label: "Length", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "runs", Label: "Runs", Kind: Choice, Options: runs},
	{Key: "datum", Label: "Datum", Kind: Text, Most: 80, Help: "What it is measured from."},
	{Key: "to", Label: "Held to", Kind: Link, Of: featureLink, Help: "The face it has to be square or parallel to."},
	{Key: "square", Label: "Square or parallel within", Kind: Length, Min: "0 in", Max: "1 in"},
	{Key: "least", Label: "At least", Kind: Length, Min: "-1 in", Max: "20 in",
		Help: "Stock wanted on the rough, or metal that has to stay in a wall."},
	{Key: "finish", Label: "Finish", Kind: Text, Most: 80},
	{Key: "bolt", Label: "Takes bolt", Kind: Thread,
		Help: "For a hole or slot that is bolted through: the bolt's thread."},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var looks = choices("+x=right; -x=left; +y=back; -y=front; +z=top; -z=bottom")

var stepFields = []Field{
	{Key: "setup", Label: "Setup", Kind: Link, Of: setupLink, Required: true},
	{Key: "order", Label: "Order", Kind: Number, Min: "0", Max: "10000",
		Help: "Steps are done in this order; 2.5 goes between 2 and 3."},
	{Key: "name", Label: "Step", Kind: Text, Required: true, Example: "face the base"},
	{Key: "done", Label: "Done", Kind: Flag, Help: "Ticked when done. Who and when is kept."},
	{Key: "who", Label: "Done by", Kind: Text, Most: 80},
	{Key: "worksheet", Label: "Worksheet", Kind: Sheet, Most: 40, Help: "The worksheet this step opens."},
	{Key: "feature", Label: "Feature", Kind: Link, Of: featureLink},
	{Key: "tool", Label: "Tool", Kind: Link, Of: toolLink},
	{Key: "gauge", Label: "Gauge", Kind: Link, Of: gaugeLink},
	{Key: "spin", Label: "Spindle speed used", Kind: Spin, Min: "0", Max: "100000"},
	{Key: "feed", Label: "Feed used", Kind: TableFeed, Min: "0", Max: "10000 in/min"},
	{Key: "took", Label: "Time of a pass", Kind: Time, Min: "0 min", Max: "24 h", Example: "4.2",
		Help: "By the stopwatch at the mill, or as typed; a bare number is minutes."},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

// placeField names the place of a fixture that a note or picture is of: the table and the row.
var placeField = Field{Key: "place", Label: "Place on it", Kind: Text, Most: 80}

var noteFields = []Field{
	{Key: "text", Label: "Note", Kind: Long, Required: true},
	{Key: "about", Label: "About", Kind: Link, Help: "What the note is about."},
	placeField,
}

var photoFields = []Field{
	{Key: "name", Label: "What it shows", Kind: Text},
	{Key: "about", Label: "Of", Kind: Link, Help: "What the picture belongs to."},
	placeField,
	{Key: "image", Label: "Picture", Kind: Photo, Required: true},
	{Key: "view", Label: "Seen from", Kind: Text, Most: 80, Help: "Two fixed viewpoints make setups easy to compare."},
	{Key: "taken", Label: "Taken", Kind: Date},
	{Key: "wide", Label: "Pixels across", Kind: Count, Min: "1", Max: "100000"},
	{Key: "high", Label: "Pixels down", Kind: Count, Min: "1", Max: "100000"},
}

var keptFields = []Field{
	{Key: "worksheet", Label: "Worksheet", Kind: Text, Required: true, Most: 40},
	{Key: "unit", Label: "Units", Kind: Choice, Options: choices("in=inch; mm=millimetre")},
	{Key: "inputs", Label: "As typed", Kind: Pairs, MaxRows: 200},
	{Key: "answer", Label: "Answer", Kind: Any},
	{Key: "state", Label: "Planned or found", Kind: Choice, Options: choices("planned; found")},
	{Key: "measured", Label: "Measured", Kind: Text, Help: "What was measured afterwards, as typed."},
	{Key: "found", Label: "As found", Kind: Table, MaxRows: 60, Columns: []Field{
		{Key: "what", Label: "Result", Kind: Text, Help: "The key of the worksheet's result it is held against."},
		{Key: "value", Label: "Found", Kind: Text},
	}},
	{Key: "jobname", Label: "Job, in words", Kind: Text},
	{Key: "job", Label: "Job", Kind: Link, Of: jobLink},
	{Key: "setup", Label: "Setup", Kind: Link, Of: setupLink},
	{Key: "step", Label: "Step", Kind: Link, Of: stepLink},
	{Key: "feature", Label: "Feature", Kind: Link, Of: featureLink},
	{Key: "note", Label: "Note", Kind: Long},
}
