package pages

// Pages about where things are, most used first.
var where = []Page{
	{Name: "middle", Title: "Pick it up", Stages: []string{"where"}, Icon: "edge", Ways: []Way{
		{Sheet: "middle", Chip: "Middle", Boxes: "a? b size? tip?", Bold: "middle move width", Habit: "tip"},
		{Sheet: "edge", Chip: "Edge", Boxes: "reads? tip? want?", List: "reads", Bold: "set at move", Habit: "tip"},
		{Sheet: "centre", Chip: "Bore", Sets: "of=bore", Boxes: "touches size? tip?", List: "touches",
			Bold: "x y dia form", Habit: "tip repeat"},
		{Sheet: "centre", Chip: "Boss", Sets: "of=boss", Boxes: "touches size? tip?", List: "touches",
			Bold: "x y dia form", Habit: "tip repeat"}}},
	{Name: "skew", Title: "Part askew", Stages: []string{"where"}, Ways: []Way{
		{Sheet: "skew", Boxes: "features places? tip?", List: "features places", Chips: "hold",
			Bold: "slope zerox zeroy", Habit: "tip"}}},
	{Name: "cleanup", Title: "Clean up?", Stages: []string{"where"}, Ways: []Way{
		{Sheet: "cleanup", Boxes: "features touches supports?", List: "features touches supports",
			Bold: "least laid zx zy zz"}}},
}
