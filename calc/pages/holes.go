package pages

// Pages about drilled and tapped holes, most used first.
var holes = []Page{
	{Name: "hole", Title: "Tapped hole", Stages: []string{"holes"}, Ways: []Way{
		{Sheet: "hole", Boxes: "thread stock depth? csk? drill?", Chips: "tap work", Bold: "drill full shoulder floor mark",
			Habit: "tap work point zero"}}},
	{Name: "bolts", Title: "Hole pattern", Stages: []string{"holes", "where"}, Ways: []Way{
		{Sheet: "bolts", Chip: "Circle", Boxes: "dia n first? x? y?", Bold: "chord across", Habit: handwheels},
		{Sheet: "row", Chip: "Row", Boxes: "n pitch over? angle? x? y?", Bold: "pitch over", Habit: handwheels},
		{Sheet: "grid", Chip: "Grid", Boxes: "nx ny px py x? y?", Bold: "diagonal", Habit: handwheels},
		{Sheet: "pairs", Chip: "Pairs", Boxes: "pairs x? y? angle?", List: "pairs", Bold: "nearest", Habit: handwheels},
		{Sheet: "dials", Chip: "Dials", Boxes: "holes leadx? leady?", List: "holes", Bold: "back over",
			Habit: "leadx leady div xdial ydial clock come"}}},
	{Name: "clear", Title: "Bolt hole", Stages: []string{"holes", "fits"}, Ways: []Way{
		{Sheet: "clear", Chip: "Through", Boxes: "size bolt?", Chips: "fit", Bold: "drill min max play", Habit: "fit"},
		{Sheet: "bore", Chip: "Head in", Sets: "head=socket", Boxes: "size thick below?", Chips: "fit",
			Bold: "drill bore depth left", Habit: "fit"},
		{Sheet: "bore", Chip: "Spotface", Sets: "head=hex", Boxes: "size thick? washer?", Chips: "fit",
			Bold: "drill bore left", Habit: "fit"}}},
	{Name: "engage", Title: "Stud in its hole", Stages: []string{"holes", "hold"}, Ways: []Way{
		{Sheet: "engage", Chip: "Will it hold?", Boxes: "thread length pull?", Chips: "bolt metal",
			Bold: "needed usable strip breaks", Habit: "metal"},
		{Sheet: "torque", Chip: "How tight?", Boxes: "thread length torque? tension?", Chips: "grade finish",
			Bold: "torque preload strip usable", Habit: "grade finish metal"}}},
}

const handwheels = "lead div clock come"
