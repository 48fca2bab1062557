package pages

// Pages about what the machine reaches, most used first.
var reach = []Page{
	{Name: "reach", Title: "Can it reach?", Stages: []string{"reach"}, Ways: []Way{
		{Sheet: "reach", Chip: "Above", Boxes: "long wide cutter travel cross atx?", Chips: "machine",
			Bold: "sparel sparer xplace rows column", Habit: "machine travel cross throat table low"},
		{Sheet: "daylight", Chip: "Heights", Boxes: "under? part depth? over? tool daylight knee quill?", Chips: "feed",
			Bold: "place spare stroke", Habit: "daylight knee quill feed drop"}}},
	{Name: "foul", Title: "Does it hit?", Stages: []string{"reach"}, Ways: []Way{
		{Sheet: "foul", Boxes: "boxes heads x1 x2 cut", List: "boxes heads", Bold: "nearest"}}},
}
