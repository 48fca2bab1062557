package jobbook

var setupFields = []Field{
	{Key: "order", Label: "Order", Kind: Number, Min: "0", Max: "10000", Help: "Setups are done in this order."},
	{Key: "name", Label: "Setup", Kind: Text, Required: true, Example: "base up, bore face to the plate"},
	{Key: "job", Label: "Job", Kind: Link, Of: jobLink},
	{Key: "part", Label: "Part", Kind: Link, Of: partLink},
	{Key: "machine", Label: "Machine", Kind: Link, Of: machineLink},
	{Key: "fixture", Label: "Fixture", Kind: Link, Of: fixtureLink},
	{Key: "state", Label: "State", Kind: Choice, Options: choices("planned; running; done")},
	{Key: "when", Label: "Set up on", Kind: Date},
	{Key: "down", Label: "Face down", Kind: Text, Help: "The face that sits on the table or the parallels."},
	{Key: "downside", Label: "Side down", Kind: Choice, Options: looks, Help: "Of the part as it is drawn."},
	{Key: "turn", Label: "Quarter turns", Kind: Count, Min: "0", Max: "3", Help: "Counter-clockwise seen from above."},
	{Key: "seat", Label: "Located on", Kind: Link, Of: featureLink, Help: "The finished face it sits on or is bolted to."},
	{Key: "against", Label: "Face against the plate", Kind: Text},
	{Key: "stands", Label: "How the fixture stands", Kind: Text, Help: "Which way round, and where on the table."},
	{Key: "datum", Label: "Datum", Kind: Text, Help: "What counts as zero."},
	{Key: "pickup", Label: "How it was picked up", Kind: Long,
		Help: "Edge finder or indicator, tip diameter, from which side."},
	{Key: "zero", Label: "Dials at zero", Kind: Text, Help: "What the dials or the readout said there."},
	{Key: "bolts", Label: "Bolts", Kind: Table, Section: "Held by", Columns: []Field{
		{Key: "hole", Label: "Hole", Kind: Text},
		{Key: "thread", Label: "Thread", Kind: Thread, Optional: true},
		{Key: "grade", Label: "Strength", Kind: Choice, Options: grades, Optional: true},
		{Key: "torque", Label: "Torque", Kind: Torque, Min: "0", Max: "10000 lbf-ft", Optional: true},
		{Key: "order", Label: "Order", Kind: Count, Min: "1", Max: "100", Optional: true},
	}},
	{Key: "shims", Label: "Shims", Kind: Table, Section: "Held by", Columns: []Field{
		{Key: "place", Label: "Place", Kind: Text},
		{Key: "thick", Label: "Thickness", Kind: Length, Min: "0 in", Max: "10 in"},
		{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "z", Label: "Z", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
	}},
	{Key: "stops", Label: "Stops", Kind: Table, Section: "Held by", Columns: []Field{
		{Key: "place", Label: "Place", Kind: Text},
		{Key: "at", Label: "At", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
	}},
	{Key: "indicator", Label: "Indicator", Kind: Link, Of: gaugeLink, Section: "Readings"},
	{Key: "sign", Label: "Sign", Kind: Text, Section: "Readings",
		Help: "Which way is plus: plus is toward the spindle, for one."},
	{Key: "wanted", Label: "Wanted within", Kind: Length, Min: "0 in", Max: "1 in", Section: "Readings",
		Help: "How true the setup has to be."},
	{Key: "expected", Label: "Expected readings", Kind: Table, Section: "Readings", Columns: []Field{
		{Key: "station", Label: "Station", Kind: Text},
		{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "value", Label: "Reading", Kind: Length, Min: "-1000 in", Max: maxLength,
			Units: Units{Inch: "thou", Metric: "um"}},
		{Key: "kind", Label: "When read", Kind: Choice, Options: readingKinds, Optional: true},
	}, Help: "From the last time. A check, never in place of a fresh pick-up."},
	{Key: "tapin", Label: "Tapped in by", Kind: Pairs, Section: "Readings"},
	{Key: "parttemp", Label: "Part temperature", Kind: Temperature, Min: "-40 C", Max: "500 C", Section: "Readings"},
	{Key: "machinetemp", Label: "Machine temperature", Kind: Temperature, Min: "-40 C", Max: "200 C", Section: "Readings"},
	{Key: "repeats", Label: "Repeats setup", Kind: Link, Of: setupLink, Help: "The earlier setup this one was made from."},
	{Key: "wrong", Label: "What went wrong", Kind: Long},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

// grades are those of studs and bolts, by the keys that the worksheets have for them.
var grades = choices("rod=unmarked rod; sae2=SAE grade 2; sae5=SAE grade 5; sae8=SAE grade 8; a574=socket head; " +
	"4.6; 8.8; 10.9; 12.9")

var readingKinds = choices("before=before tightening; after=after tightening; cut=after the cut; check; " +
	"head=head sweep; size; tap=tapping in; rough=touch on the rough")

var readingFields = []Field{
	{Key: "setup", Label: "Setup", Kind: Link, Of: setupLink},
	{Key: "step", Label: "Step", Kind: Link, Of: stepLink},
	{Key: "feature", Label: "Feature", Kind: Link, Of: featureLink},
	{Key: "fixture", Label: "Fixture", Kind: Link, Of: fixtureLink,
		Help: "For a reading that belongs to the fixture itself."},
	{Key: "machine", Label: "Machine", Kind: Link, Of: machineLink,
		Help: "For a reading that belongs to the machine itself."},
	{Key: "station", Label: "Station", Kind: Text, Most: 80, Example: "top left"},
	{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "z", Label: "Z", Kind: Length, Min: "-1000 in", Max: maxLength},
	{Key: "value", Label: "Reading", Kind: Length, Required: true, Min: "-1000 in", Max: maxLength,
		Units: Units{Inch: "thou", Metric: "um"}, Help: "A bare number is thousandths, with its sign.", Example: "+2"},
	{Key: "kind", Label: "When read", Kind: Choice, Options: readingKinds},
	{Key: "round", Label: "Round", Kind: Count, Min: "1", Max: "1000"},
	{Key: "move", Label: "Moved before it", Kind: Text, Most: 80},
	{Key: "when", Label: "Read at", Kind: Date},
	{Key: "who", Label: "Read by", Kind: Text, Most: 80},
	{Key: "gauge", Label: "Gauge", Kind: Link, Of: gaugeLink},
	{Key: "unsure", Label: "Sure within", Kind: Length, Min: "0 in", Max: "1 in", Units: Units{Inch: "thou", Metric: "um"},
		Help: "Expanded uncertainty of the reading, plus or minus."},
	{Key: "temp", Label: "Temperature", Kind: Temperature, Min: "-40 C", Max: "500 C"},
	{Key: "note", Label: "Note", Kind: Text},
}
