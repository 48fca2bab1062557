package pages

// Pages about what holds a part, most used first.
var hold = []Page{
	{Name: "hold", Title: "Will it stay?", Stages: []string{"hold"}, Ways: []Way{
		{Sheet: "hold", Chip: "Hung", Boxes: "studs width height? weight cgy? cgz thread depth? force torque?", List: "studs",
			Chips: "ledge sides grade", Bold: "torque slip turn tip boltroom", Habit: "grade finish mu"},
		{Sheet: "strap", Chip: "Strapped", Boxes: "clamps heel nose thick? wide? weight? thread depth? force torque?",
			Chips: "into grade", Bold: "torque onwork onheel slip tip", Habit: "grade finish mu into"}}},
}
