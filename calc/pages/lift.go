package pages

// Pages about lifting, most used first.
var lift = []Page{
	{Name: "sling", Title: "Sling and eyebolts", Stages: []string{"lift"}, Ways: []Way{
		{Sheet: "sling", Chip: "Legs", Boxes: "weight angle? leg? rise? rated? near? far?", Chips: "legs hitch",
			Bold: "tension angle inward"},
		{Sheet: "eyebolt", Chip: "Eye", Boxes: "size pull angle grip? rated?", Chips: "kind metal",
			Bold: "allowed thread", Takes: "pull=sling.tension angle=sling.lean"}}},
	{Name: "weigh", Title: "What does it weigh?", Stages: []string{"lift"}, Icon: "weigh", Ways: []Way{
		{Sheet: "weigh", Boxes: "parts scale?", List: "parts", Chips: "metal", Bold: "lift cgx cgy cgz"}}},
}
