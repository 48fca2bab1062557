package pages

// What stays on a phone from one reading to the next.
const needle = "allow grad sense repeat"

// Pages about what is in line and square, most used first.
var line = []Page{
	{Name: "tram", Title: "Is it in line?", Stages: []string{"line"}, Ways: []Way{
		{Sheet: "tram", Chip: "First round", Boxes: "readings length?", List: "readings", Flat: "reading x",
			Ends: "left end,right end", Bold: "move aim straight", Habit: needle + " side stylus"},
		{Sheet: "tapin", Chip: "Read again", Takes: "pairs=tram.ends span=tram.length", Boxes: "pairs",
			List: "pairs", Chips: "mode", Bold: "move aim lean", Habit: needle + " side level mode"}}},
	{Name: "sweep", Title: "Is the head square?", Stages: []string{"line"}, Icon: "sweep", Ways: []Way{
		{Sheet: "sweep", Chip: "Sweep", Boxes: "right left back front swing? cutter?", Chips: "machine",
			Bold: "mean turnx turny hollow over", Habit: needle + " distx pitchx disty pitchy"},
		{Sheet: "tapin", Chip: "Read again", Sets: "mode=head", Takes: "sweeps=sweep.round span=sweep.dia",
			Boxes: "sweeps", List: "sweeps", Bold: "turnx turny lean leany", Habit: needle,
			Like: "sweeps=0in,3thou,4thou,1thou;0in,1.5thou,2thou,.5thou span=10in"},
		{Sheet: "dish", Chip: "Hollow", Boxes: "along cutter width? flat?", Bold: "hollow most", Habit: "flat"}}},
	{Name: "shim", Title: "Shim it up", Stages: []string{"line"}, Icon: "shim", Ways: []Way{
		{Sheet: "shim", Chip: "Edge", Sets: "by=edge", Boxes: "readings pivot? under?", List: "readings",
			Flat: "reading x", Ends: "left end,right end", Bold: "need total over", Habit: "grad sense repeat owned"},
		{Sheet: "shim", Chip: "Feet", Sets: "by=feet", Boxes: "readings", List: "readings", Bold: "need",
			Habit: "grad sense repeat owned", Like: "readings=0in,0in,4thou;12in,0in,0in;12in,6in,1thou;0in,6in,5thou"},
		{Sheet: "shim", Chip: "Lifts", Sets: "by=amounts", Boxes: "amounts", List: "amounts", Like: "amounts=0.0046in,0.012in",
			Bold: "need", Habit: "owned"},
		{Sheet: "shims", Chip: "Gap", Boxes: "want", Bold: "total off", Habit: "owned"}}},
	{Name: "square", Title: "Is it square?", Stages: []string{"line"}, Icon: "square", Ways: []Way{
		{Sheet: "square", Chip: "Square", Sets: "turned=square", Boxes: "readings height?", List: "readings",
			Flat: "first/second height", Ends: "bottom,top", Bold: "out other", Habit: needle},
		{Sheet: "square", Chip: "Plate", Sets: "turned=plate", Boxes: "readings height? foot?",
			List: "readings", Flat: "first/second height", Ends: "bottom,top", Bold: "out other shim", Habit: needle},
		{Sheet: "square", Chip: "Neither", Sets: "turned=no", Boxes: "readings height?", List: "readings",
			Flat: "first height", Ends: "bottom,top", Bold: "out", Habit: needle}}},
	{Name: "bar", Title: "Spindle or bar?", Stages: []string{"line"}, Icon: "bar", Ways: []Way{
		{Sheet: "bar", Boxes: "readings length?", List: "readings", Flat: "first/second z", Ends: "at the nose,far end",
			Bold: "out tir", Habit: needle}}},
	{Name: "lever", Title: "Stylus at an angle", Stages: []string{"line"}, Icon: "lever", Ways: []Way{
		{Sheet: "lever", Boxes: "reading angle", Bold: "true show", Habit: "angle self grad"}}},
	{Name: "chain", Title: "Will it come out square?", Stages: []string{"line"}, Icon: "chain", Ways: []Way{
		{Sheet: "chain", Boxes: "setups causes faces", List: "causes", Bold: "expected sure shim"}}},
}
