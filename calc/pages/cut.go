package pages

// Pages about cutting, most used first.
var cut = []Page{
	{Name: "speed", Title: "Speed and feed", Stages: []string{"cut"}, Ways: []Way{
		{Sheet: "speed", Chip: "Speed", Boxes: "dia thread? teeth? depth? width? maxrpm?", Chips: "op work tool",
			Bold: "rpm feed perrev push twist", Habit: "tool work speeds feeds revfeeds motor drive"},
		{Sheet: "drillforce", Chip: "Push", Boxes: "dia feed rpm motor?", Chips: "point wear work",
			Bold: "thrust torque motorpower", Habit: "work motor drive",
			Takes: "feed=speed.perrev rpm=speed.rpm"},
		{Sheet: "taptorque", Chip: "Twist", Boxes: "thread hole breaks? rpm?", Chips: "tap work",
			Bold: "torque double breaks", Habit: "tap work", Takes: "rpm=speed.rpm"}}},
	{Name: "power", Title: "Will it pull?", Stages: []string{"cut"}, Icon: "power", Ways: []Way{
		{Sheet: "power", Boxes: "depth width feed cutter teeth rpm motor?", Chips: "wear work",
			Bold: "force motorpower deepest pertooth", Habit: "cutter teeth motor drive wear work"}}},
	{Name: "facing", Title: "Passes", Stages: []string{"cut"}, Icon: "facing", Ways: []Way{
		{Sheet: "facing", Boxes: "long wide stock cutter teeth rpm pertooth", Chips: "ends way",
			Bold: "total each start apart", Habit: "cutter teeth rpm pertooth depth finish"}}},
}
