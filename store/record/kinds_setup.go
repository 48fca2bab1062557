package record

var setupFields = []Field{
	{Key: "order", Label: "Order", Type: number1, Min: "0", Max: "10000", Help: "Setups are done in this order."},
	{Key: "name", Label: "Setup", Type: Text, Required: true, Example: "base up, bore face to the plate"},
	{Key: "job", Label: "Job", Type: Link, Of: jobLink},
	{Key: "part", Label: "Part", Type: Link, Of: partLink},
	{Key: "machine", Label: "Machine", Type: Link, Of: machineLink},
	{Key: "fixture", Label: "Fixture", Type: Link, Of: fixtureLink},
	{Key: "state", Label: "State", Type: Choice, Options: []Option{{"planned", "planned"}, {"running", "running"}, {"done", "done"}}},
	{Key: "when", Label: "Set up on", Type: Date},
	{Key: "down", Label: "Face down", Type: Text, Help: "The face that sits on the table or the parallels."},
	{Key: "against", Label: "Face against the plate", Type: Text},
	{Key: "stands", Label: "How the fixture stands", Type: Text, Help: "Which way round, and where on the table."},
	{Key: "datum", Label: "Datum", Type: Text, Help: "What counts as zero."},
	{Key: "pickup", Label: "How it was picked up", Type: Long, Help: "Edge finder or indicator, tip diameter, from which side."},
	{Key: "zero", Label: "Dials at zero", Type: Text, Help: "What the dials or the readout said there."},
	{Key: "bolts", Label: "Bolts", Type: Table, Section: "Held by", Columns: []Field{
		{Key: "hole", Label: "Hole", Type: Text, Required: true},
		{Key: "thread", Label: "Thread", Type: Thread},
		{Key: "torque", Label: "Torque", Type: torque, Min: "0", Max: "10000 lbf-ft"},
		{Key: "order", Label: "Order", Type: Count, Min: "1", Max: "100"},
	}},
	{Key: "shims", Label: "Shims", Type: Table, Section: "Held by", Columns: []Field{
		{Key: "place", Label: "Place", Type: Text, Required: true},
		{Key: "thick", Label: "Thickness", Type: length, Min: "0 in", Max: "10 in", Required: true},
	}},
	{Key: "stops", Label: "Stops", Type: Table, Section: "Held by", Columns: []Field{
		{Key: "place", Label: "Place", Type: Text, Required: true},
		{Key: "at", Label: "At", Type: length, Min: "-1000 in", Max: maxLength},
	}},
	{Key: "indicator", Label: "Indicator", Type: Link, Of: gaugeLink, Section: "Readings"},
	{Key: "sign", Label: "Sign", Type: Text, Section: "Readings", Help: "Which way is plus: plus is toward the spindle, for one."},
	{Key: "wanted", Label: "Wanted within", Type: length, Min: "0 in", Max: "1 in", Section: "Readings", Help: "How true the setup has to be."},
	{Key: "expected", Label: "Expected readings", Type: Table, Section: "Readings", Help: "From the last time. A check, never in place of a fresh pick-up.", Columns: []Field{
		{Key: "station", Label: "Station", Type: Text, Required: true},
		{Key: "x", Label: "X", Type: length, Min: "-1000 in", Max: maxLength},
		{Key: "y", Label: "Y", Type: length, Min: "-1000 in", Max: maxLength},
		{Key: "value", Label: "Reading", Type: length, Required: true, Min: "-1000 in", Max: maxLength, Units: Units{"thou", "um"}},
		{Key: "kind", Label: "When read", Type: Choice, Options: readingKinds},
	}},
	{Key: "parttemp", Label: "Part temperature", Type: temperature, Min: "-40 C", Max: "500 C", Section: "Readings"},
	{Key: "machinetemp", Label: "Machine temperature", Type: temperature, Min: "-40 C", Max: "200 C", Section: "Readings"},
	{Key: "repeats", Label: "Repeats setup", Type: Link, Of: setupLink, Help: "The earlier setup this one was made from."},
	{Key: "wrong", Label: "What went wrong", Type: Long},
	{Key: "notes", Label: "Notes", Type: Long, Help: notesHelp},
}

var readingKinds = []Option{{"before", "before tightening"}, {"after", "after tightening"}, {"cut", "after the cut"}, {"check", "check"}, {"head", "head sweep"}, {"size", "size"}}

var readingFields = []Field{
	{Key: "setup", Label: "Setup", Type: Link, Of: setupLink},
	{Key: "step", Label: "Step", Type: Link, Of: stepLink},
	{Key: "feature", Label: "Feature", Type: Link, Of: featureLink},
	{Key: "fixture", Label: "Fixture", Type: Link, Of: fixtureLink, Help: "For a reading that belongs to the fixture itself."},
	{Key: "machine", Label: "Machine", Type: Link, Of: machineLink, Help: "For a reading that belongs to the machine itself."},
	{Key: "station", Label: "Station", Type: Text, Most: 80, Example: "top left"},
	{Key: "x", Label: "X", Type: length, Min: "-1000 in", Max: maxLength},
	{Key: "y", Label: "Y", Type: length, Min: "-1000 in", Max: maxLength},
	{Key: "z", Label: "Z", Type: length, Min: "-1000 in", Max: maxLength},
	{Key: "value", Label: "Reading", Type: length, Required: true, Min: "-1000 in", Max: maxLength, Units: Units{"thou", "um"}, Help: "A bare number is thousandths, with its sign.", Example: "+2"},
	{Key: "kind", Label: "When read", Type: Choice, Options: readingKinds},
	{Key: "when", Label: "Read at", Type: Date},
	{Key: "who", Label: "Read by", Type: Text, Most: 80},
	{Key: "gauge", Label: "Gauge", Type: Link, Of: gaugeLink},
	{Key: "unsure", Label: "Sure within", Type: length, Min: "0 in", Max: "1 in", Units: Units{"thou", "um"}, Help: "Expanded uncertainty of the reading, plus or minus."},
	{Key: "temp", Label: "Temperature", Type: temperature, Min: "-40 C", Max: "500 C"},
	{Key: "note", Label: "Note", Type: Text},
}
