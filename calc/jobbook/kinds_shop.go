package jobbook

// head is the section of the screws that swing a head.
const head = "Screws of the head"

var machineFields = []Field{
	{Key: "name", Label: "Machine", Kind: Text, Required: true},
	{Key: "tag", Label: "Shop number", Kind: Text, Most: 40},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("mill=vertical mill; turret=turret mill; borer=horizontal boring mill; " +
			"vbm=vertical boring mill; drill=radial or upright drill; lathe; grinder; other")},
	{Key: "axes", Label: "Travels and dials", Kind: Table, MaxRows: 12, Columns: []Field{
		{Key: "axis", Label: "Axis", Kind: Choice,
			Options: choices("x=X, long; y=Y, cross; z=Z, up and down; w=quill or bar; ram")},
		{Key: "travel", Label: "Travel", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
		{Key: "division", Label: "One division", Kind: Length, Min: "0 in", Max: "1 in", Optional: true},
		{Key: "turn", Label: "One turn", Kind: Length, Min: "0 in", Max: "10 in", Optional: true},
		{Key: "slack", Label: "Backlash", Kind: Length, Min: "0 in", Max: "1 in", Optional: true},
		{Key: "error", Label: "Known error", Kind: Text,
			Help: "What is known: reads short by a tenth a foot, for one.", Optional: true},
	}},
	{Key: "tablelong", Label: "Table length", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "tablewide", Label: "Table width", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "slots", Label: "Table slots", Kind: Table, MaxRows: 40, Columns: []Field{
		{Key: "at", Label: "From the front", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
		{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: "10 in"},
	}},
	{Key: "daylight", Label: "Most room, spindle to table", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "throat", Label: "Throat", Kind: Length, Min: "0 in", Max: maxLength, Help: "Spindle centre to the column."},
	{Key: "load", Label: "Table load", Kind: Mass, Min: "0 lb", Max: "1000000 lb", Help: "As the maker gives it."},
	{Key: "taper", Label: "Spindle taper", Kind: Text, Most: 80},
	{Key: "speeds", Label: "Spindle speeds", Kind: List, MaxRows: 60, Section: "Speeds and feeds",
		Columns: []Field{{Key: "rpm", Label: "Speed", Kind: Spin, Min: "0.1", Max: "100000"}}},
	{Key: "feeds", Label: "Feeds", Kind: List, MaxRows: 60, Section: "Speeds and feeds",
		Columns: []Field{{Key: "feed", Label: "Feed", Kind: TableFeed, Min: "0", Max: "1000 in/min"}}},
	{Key: "motor", Label: "Motor", Kind: Power, Min: "0 hp", Max: "1000 hp", Section: "Speeds and feeds"},
	{Key: "swingarm", Label: "Right-left adjuster from its pivot", Kind: Length, Min: "0 in", Max: "100 in", Section: head},
	{Key: "swingpitch", Label: "Its advance in a turn", Kind: Length, Min: "0 in", Max: "2 in", Section: head},
	{Key: "nodarm", Label: "Nod adjuster from its pivot", Kind: Length, Min: "0 in", Max: "100 in", Section: head},
	{Key: "nodpitch", Label: "Its advance in a turn", Kind: Length, Min: "0 in", Max: "2 in", Section: head},
	{Key: "errors", Label: "Known errors", Kind: Long,
		Help: "Squareness, twist, wear: what was measured, when, with what."},
	{Key: "checked", Label: "Last checked", Kind: Date},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var fixtureFields = []Field{
	{Key: "name", Label: "Fixture", Kind: Text, Required: true},
	{Key: "tag", Label: "Shop number", Kind: Text, Most: 40},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("angle=angle plate; vise; table=table or sub-plate; parallel=parallels; " +
			"vblock=V-blocks; rotary=rotary table; chuck; other")},
	{Key: "material", Label: "Material", Kind: Link, Of: matLink},
	{Key: "long", Label: "Length", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "high", Label: "Height", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "thick", Label: "Plate thickness", Kind: Length, Lately: "stock", Min: "0 in", Max: "100 in",
		Help: "What a tapped hole has to go into."},
	{Key: "weight", Label: "Weight", Kind: Mass, Min: "0 lb", Max: "100000 lb", Help: "Check it before lifting."},
	{Key: "ratio", Label: "Turns of the crank to one of the table", Kind: Count, Min: "1", Max: "360",
		Help: "Of a rotary table or dividing head."},
	{Key: "square", Label: "Out of square", Kind: Slope, Min: "-1000 mm/m", Max: "1000 mm/m",
		Units: Units{Inch: "thou/ft", Metric: "mm/m"}, Help: "As measured, with the sign you use."},
	{Key: "faces", Label: "Faces", Kind: Table, Section: "Its face", Columns: []Field{
		{Key: "face", Label: "Face", Kind: Text, Most: 80, Optional: true},
		{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength},
		{Key: "high", Label: "Height", Kind: Length, Min: "0 in", Max: maxLength},
		{Key: "left", Label: "Left edge at X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "bottom", Label: "Bottom edge at Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
	}, Help: "Size of each face, and where its edges lie from the zero of its holes."},
	{Key: "ribs", Label: "Ribs", Kind: Table, Section: "Its face", Help: "Where nothing can be drilled or bolted behind.",
		Columns: []Field{
			{Key: "face", Label: "Behind face", Kind: Text, Most: 80, Optional: true},
			{Key: "x", Label: "Centre X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
			{Key: "y", Label: "Centre Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
			{Key: "long", Label: "Length", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
			{Key: "thick", Label: "Thickness", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
			{Key: "runs", Label: "Runs", Kind: Choice, Options: runs, Optional: true},
			whyColumn,
		}},
	{Key: "slots", Label: "Slots", Kind: Table, Section: "Its face", Columns: []Field{
		{Key: "name", Label: "Slot", Kind: Text, Most: 40, Optional: true},
		{Key: "face", Label: "Face", Kind: Text, Most: 80, Optional: true},
		{Key: "x", Label: "Centre X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "y", Label: "Centre Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: "100 in"},
		{Key: "long", Label: "Length", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
		{Key: "runs", Label: "Runs", Kind: Choice, Options: runs, Optional: true},
		{Key: "kind", Label: "Kind", Kind: Choice, Options: choices("through; tee=T-slot"), Optional: true},
		{Key: "depth", Label: "Depth", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
		whyColumn,
		{Key: "when", Label: "Cut on", Kind: Date, Optional: true},
		{Key: "job", Label: "For job", Kind: Link, Of: jobLink, Optional: true},
	}},
	{Key: "holes", Label: "Holes", Kind: Table, Section: "Its face", Columns: []Field{
		{Key: "name", Label: "Hole", Kind: Text, Most: 40},
		{Key: "face", Label: "Face", Kind: Text, Most: 80, Optional: true},
		{Key: "x", Label: "X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "y", Label: "Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "kind", Label: "Kind", Kind: Choice,
			Options: choices("tapped; clear=clearance; dowel; bore; plug=plugged"), Optional: true},
		{Key: "thread", Label: "Thread", Kind: Thread, Optional: true},
		{Key: "dia", Label: "Diameter", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
		{Key: "depth", Label: "Depth", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
		{Key: "full", Label: "Full thread", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
		{Key: "through", Label: "Goes through", Kind: Flag, Optional: true},
		whyColumn,
		{Key: "when", Label: "Drilled on", Kind: Date, Optional: true},
		{Key: "job", Label: "For job", Kind: Link, Of: jobLink, Optional: true},
	}, Help: "Every hole, and why and when it was put there."},
	{Key: "keepout", Label: "Keep clear", Kind: Table, Section: "Its face", Columns: []Field{
		{Key: "face", Label: "Face", Kind: Text, Most: 80, Optional: true},
		{Key: "x", Label: "Centre X", Kind: Length, Min: "-1000 in", Max: maxLength},
		{Key: "y", Label: "Centre Y", Kind: Length, Min: "-1000 in", Max: maxLength},
		{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength},
		{Key: "high", Label: "Height", Kind: Length, Min: "0 in", Max: maxLength},
		{Key: "why", Label: "Why", Kind: Text, Optional: true},
	}},
	{Key: "marks", Label: "Grooves, repairs, ribs taken off", Kind: Table, Section: "Its face", Columns: []Field{
		{Key: "name", Label: "Place", Kind: Text, Most: 40, Optional: true},
		{Key: "face", Label: "Face", Kind: Text, Most: 80, Optional: true},
		{Key: "kind", Label: "Kind", Kind: Choice, Options: choices("groove; repair; ribgone=rib taken off; other")},
		{Key: "x", Label: "Centre X", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "y", Label: "Centre Y", Kind: Length, Min: "-1000 in", Max: maxLength, Optional: true},
		{Key: "wide", Label: "Width", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
		{Key: "high", Label: "Height", Kind: Length, Min: "0 in", Max: maxLength, Optional: true},
		{Key: "depth", Label: "Depth", Kind: Length, Min: "0 in", Max: "100 in", Optional: true},
		whyColumn,
		{Key: "when", Label: "Done on", Kind: Date, Optional: true},
		{Key: "job", Label: "For job", Kind: Link, Of: jobLink, Optional: true},
	}, Help: "What was cut into it, filled, welded or taken off, and why. No new hole is offered there."},
	{Key: "made", Label: "Made or bought", Kind: Date},
	{Key: "checked", Label: "Last checked", Kind: Date},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

// whyColumn is what nobody asks about next month.
var whyColumn = Field{Key: "why", Label: "Why it is there", Kind: Text, Optional: true}

var runs = choices("x=along X; y=along Y")

var toolFields = []Field{
	{Key: "name", Label: "Tool", Kind: Text, Required: true, Example: "3/4 four-tooth end mill"},
	{Key: "tag", Label: "Tool number", Kind: Text, Most: 40},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("endmill=end mill; facemill=face or shell mill; flycutter=fly cutter; " +
			"bar=boring bar or head; drill; " +
			"centre=centre or spot drill; tap; reamer; cbore=counterbore; csk=countersink; other")},
	{Key: "diameter", Label: "Diameter", Kind: Length, Min: "0 in", Max: "100 in", Example: "3/4"},
	{Key: "thread", Label: "Thread", Kind: Thread, Help: "For a tap.", Example: "3/8-16"},
	{Key: "lead", Label: "Tap lead", Kind: Choice, Options: choices("taper; plug; bottoming")},
	{Key: "teeth", Label: "Teeth or flutes", Kind: Count, Min: "1", Max: "200"},
	{Key: "made", Label: "Made of", Kind: Choice,
		Options: choices("hss=high speed steel; cobalt; carbide=solid carbide; insert=carbide insert; " +
			"brazed=brazed carbide; carbon=carbon steel")},
	{Key: "flute", Label: "Flute length", Kind: Length, Min: "0 in", Max: "100 in"},
	{Key: "long", Label: "Overall length", Kind: Length, Min: "0 in", Max: "200 in"},
	{Key: "stickout", Label: "Stick-out in the holder", Kind: Length, Min: "0 in", Max: "200 in"},
	{Key: "shank", Label: "Shank", Kind: Length, Min: "0 in", Max: "20 in"},
	{Key: "holder", Label: "Holder", Kind: Text, Most: 80},
	{Key: "count", Label: "How many", Kind: Count, Min: "0", Max: "100000"},
	{Key: "place", Label: "Where it is kept", Kind: Text, Most: 80},
	{Key: "state", Label: "State", Kind: Choice, Options: choices("sharp; used; dull; broken")},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var gaugeFields = []Field{
	{Key: "name", Label: "Gauge", Kind: Text, Required: true},
	{Key: "tag", Label: "Shop or serial number", Kind: Text, Most: 80},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("lever=lever indicator; dial=dial indicator; finder=edge finder; " +
			"mike=micrometer; caliper; bore=bore gauge; height=height gauge; " +
			"level; square; plug=plug or ring gauge; thermometer; other")},
	{Key: "graduation", Label: "Graduation", Kind: Length, Min: "0 in", Max: "1 in",
		Help: "One division.", Example: ".0005"},
	{Key: "range", Label: "Range", Kind: Length, Min: "0 in", Max: maxLength},
	{Key: "tip", Label: "Tip diameter", Kind: Length, Min: "0 in", Max: "10 in"},
	{Key: "unsure", Label: "Sure within", Kind: Length, Min: "0 in", Max: "1 in",
		Help: "From its certificate, or as you know it, plus or minus."},
	{Key: "checked", Label: "Last checked", Kind: Date},
	{Key: "due", Label: "Next check", Kind: Date},
	{Key: "place", Label: "Where it is kept", Kind: Text, Most: 80},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var setFields = []Field{
	{Key: "name", Label: "Set", Kind: Text, Required: true, Example: "brass shims"},
	{Key: "kind", Label: "Kind", Kind: Choice, Required: true,
		Options: choices("shims; blocks=gauge blocks; parallels; feelers; drills; studs=studs and bolts; " +
			"slings=slings and chains; eyes=eyebolts; other")},
	{Key: "sizes", Label: "Sizes owned", Kind: List,
		Columns: []Field{{Key: "size", Label: "Size", Kind: Length, Min: "0 in", Max: "100 in"}},
		Example: ".001, .0015, .002"},
	{Key: "rated", Label: "Carries", Kind: Force, Min: "0 lbf", Max: "1000000 lbf",
		Help: "Of a sling what its tag says; of eyebolts what their maker says, straight."},
	{Key: "place", Label: "Where it is kept", Kind: Text, Most: 80},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}

var materialFields = []Field{
	{Key: "name", Label: "Material", Kind: Text, Required: true, Example: "grey iron, class 30"},
	{Key: "metal", Label: "Metal", Kind: Choice,
		Options: choices("iron=grey iron; ductile=ductile iron; steel; stainless; aluminium; bronze=bronze or brass; other")},
	{Key: "grade", Label: "Grade", Kind: Text, Most: 80},
	{Key: "hardness", Label: "Hardness", Kind: Text, Most: 80},
	{Key: "tensile", Label: "Tensile strength", Kind: Stress, Min: "0 psi", Max: "1000 ksi"},
	{Key: "density", Label: "Density", Kind: Density, Min: "0 g/cm3", Max: "30 g/cm3"},
	{Key: "expansion", Label: "Expansion", Kind: Expansion, Min: "0 ppm/K", Max: "100 ppm/K"},
	{Key: "speed", Label: "Cutting speed used", Kind: SurfaceSpeed, Min: "0", Max: "10000 ft/min"},
	{Key: "notes", Label: "Notes", Kind: Long, Help: notesHelp},
}
