package pages

// The page that finds a fixture for a part.
var match = []Page{
	{Name: "match", Title: "Which fixture?", Stages: []string{"hold"}, Ways: []Way{
		{Sheet: "match", Boxes: "part fixtures places? keep?", List: "part fixtures places keep", Chips: "turn flip",
			Bold: "room px py"}}},
}
