package pages

// Pages about sizes that go together.
var fits = []Page{
	{Name: "room", Title: "Room for bolts", Stages: []string{"fits"}, Ways: []Way{
		{Sheet: "room", Boxes: "bolt hole here? there? hole2?", Chips: "how", Bold: "each differ spare open"}}},
	{Name: "fit", Title: "Limits and fits", Stages: []string{"fits"}, Ways: []Way{
		{Sheet: "fit", Boxes: "size fit bored?", Bold: "holemin holemax shaftmin shaftmax tight"}}},
	{Name: "dowel", Title: "Dowel pins", Stages: []string{"fits"}, Ways: []Way{
		{Sheet: "dowel", Boxes: "size reamed? spread?", Chips: "kind series", Bold: "pressmin pressmax slipmin drill",
			Habit: "kind"}}},
}
