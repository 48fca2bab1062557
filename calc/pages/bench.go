package pages

var bench = []Page{
	{Name: "repeat", Title: "Is it inside?", Icon: "accept", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "repeat", Boxes: "readings step? low? high?", List: "readings", Bold: "mean expanded", Habit: "step level"},
		{Sheet: "accept", When: "low high size unsure", Boxes: "readings low? high? size? unsure? step?", Chips: "rule",
			Bold: "size zonelow zonehigh", Takes: "size=repeat.mean unsure=repeat.expanded", Habit: "rule"},
	}},
	{Name: "heat", Title: "Size at 68°", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "heat", Boxes: "reading tpart tgauge want?", Chips: "part gauge", Bold: "size aim change"},
	}},
	{Name: "blocks", Title: "Make a stack", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "blocks", Chip: "Blocks", Boxes: "height", Chips: "set", Bold: "total", Habit: "set"},
		{Sheet: "sine", Chip: "Sine bar", Boxes: "angle stack? bar?", Chips: "set", Bold: "stack angle", Habit: "set bar"},
	}},
	{Name: "divide", Title: "Dividing", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "divide", Boxes: "divisions angle? ratio?", Chips: "plates", Bold: "turns holes circle sum",
			Habit: "ratio plates"},
	}},
	{Name: "taper", Title: "Taper", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "taper", Chip: "Drawn", Boxes: "big small length rate? ratio? angle?", Bold: "half rate big small setover"},
		{Sheet: "taper", Chip: "Over pins", Sets: "from=pins", Boxes: "pin low high blocks", Bold: "half plate rate",
			Like: "pin=.25in low=1.2in high=1.3in blocks=1in"},
		{Sheet: "taper", Chip: "Discs", Sets: "from=discs", Boxes: "disc1 disc2 apart", Bold: "half rate",
			Like: "disc1=1in disc2=.6in apart=2in"},
		{Sheet: "taper", Chip: "Balls", Sets: "from=balls", Boxes: "ball1 top1 ball2 top2", Bold: "half mouth rate",
			Like: "ball1=1in top1=.2in ball2=.75in top2=1.8in"},
	}},
	{Name: "triangle", Title: "Triangle", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "triangle", Boxes: "a b c anga angb angc", Chips: "kind", Bold: "a b c anga angb height"},
	}},
	{Name: "arc", Title: "Arc", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "arc", Boxes: "chord rise radius? angle?", Bold: "radius rise chord length"},
	}},
	{Name: "sure", Title: "How sure?", Stages: []string{"bench"}, Ways: []Way{
		{Sheet: "sure", Boxes: "parts", List: "parts", Chips: "level", Bold: "expanded better", Habit: "level"},
	}},
}
