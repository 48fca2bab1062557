package engage

import (
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{engage} }

var engage = &worksheet.Sheet{
	Name:     "engage",
	Title:    "Thread engagement",
	Question: "Will the thread hold?",
	Group:    "holes",
	About: []string{
		"A joint that fails should break the bolt, which can be seen and drilled out, and not strip the thread of the casting. This gives the full thread a bolt must have in the hole for that, and the load at which the thread you have lets go.",
		"Two ways are worked. The standard's way compares tensile strengths and takes the shear strength of both metals as half of those; it is the safe way and asks for much thread in grey iron. The other way uses the metal's own shear strength, which for grey iron is above its tensile strength. The longer answer counts unless you have tested the metal.",
		"Only full thread counts: not the countersink, not the bolt's chamfered end, not the tap's chamfer at the bottom of a blind hole.",
	},
	Drawing: "engage",
	Inputs:  inputs,
	Results: results,
	Sources: []worksheet.Source{
		{Key: "B1.1", Title: "ASME B1.1-2003 Unified Inch Screw Threads, nonmandatory appendix B: thread strength"},
		{Key: "H28", Title: "FED-STD-H28/2B (1991) Screw-Thread Standards, Unified Inch: length of engagement"},
		{Key: "ISO 898-1", Title: "ISO 898-1:2013 Mechanical properties of fasteners: stress area and property classes"},
		{Key: "J429", Title: "SAE J429 Mechanical and Material Requirements for Externally Threaded Fasteners; ASTM A307, A193, A574"},
		{Key: "A48", Title: "ASTM A48 Gray Iron Castings, A536 Ductile Iron Castings, and the specifications of the other metals: least tensile strength"},
		{Key: "SMED", Title: "Mechanical Engineering Design, 5th edition, table A-22: shear strength of grey iron"},
		{Key: "RP-1228", Title: "NASA Reference Publication 1228 Fastener Design Manual (1990): pull-out of tapped holes"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "bolt", Text: "5"}, {Key: "metal", Text: "grey30"}, {Key: "length", Text: "1 in"}},
	Compute: compute,
}

const own, fine = "Own figures", "Fine points"

var inputs = []worksheet.Input{
	{Key: "thread", Label: "Thread", Kind: worksheet.Thread, Required: true, Example: "5/8-11", Ask: "Which stud?",
		Box: "stud", Canon: thread.Canon("5/8-11 or M12", true),
		Help: "Unified or ISO metric: 5/8-11, 1/2-13 UNC-2B, M12, M12x1.25."},
	{Key: "bolt", Label: "Bolt or stud", Kind: worksheet.Choice, Default: "5", Options: gradeOptions(),
		Help: "Its strength grade, from the marks on the head. Plain threaded rod has no marks."},
	{Key: "metal", Label: "Metal of the hole", Kind: worksheet.Choice, Default: "grey20", Options: metalOptions(),
		Help: "What is tapped. An old grey iron casting of unknown class is taken as class 20."},
	{Key: "length", Label: "Thread in the hole", Kind: worksheet.Length, Example: "1", Min: "0.01 in", Max: "40 in",
		Ask: "How deep?", Box: "goes in",
		Help: "How far the bolt goes into the tapped hole. Empty: only the length needed is worked out."},
	{Key: "pull", Label: "Pull on the bolt", Kind: worksheet.Force, Example: "5000", Min: "0 lbf", Max: "2000000 lbf",
		Ask: "What pull?", Box: "pull",
		Help: "The tension it must bear: preload or working load, whichever is larger. Empty: judged by whether " +
			"the bolt breaks first."},
	{Key: "hole", Label: "Hole measured", Kind: worksheet.Length, Section: fine, Example: ".546", Min: "0.02 in", Max: "6 in",
		Help: "The tapped hole's minor diameter as measured with pins. Empty: the largest its class allows."},
	{Key: "lost", Label: "Thread that does not count", Kind: worksheet.Length, Section: fine, Default: "pitch", Min: "0 in", Max: "4 in",
		Help: "Countersink, chamfered end of the bolt and tap chamfer, taken off the length above.", Words: []worksheet.Option{{Key: "pitch", Label: "one pitch"}}},
	{Key: "boltsu", Label: "Bolt's tensile strength", Kind: worksheet.Stress, Ask: "How strong a bolt?",
		Box: "bolt strength", Section: own, Example: "120", Min: "1 ksi", Max: "400 ksi",
		Help: "Used when the bolt is 'own'."},
	{Key: "tensile", Label: "Hole metal's tensile strength", Kind: worksheet.Stress, Ask: "How strong a metal?",
		Box: "metal strength", Section: own, Example: "30", Min: "0.5 ksi", Max: "400 ksi",
		Help: "Used when the metal is 'own'."},
	{Key: "shear", Label: "Hole metal's shear strength", Kind: worksheet.Stress, Section: own, Example: "40", Min: "0.5 ksi", Max: "400 ksi",
		Help: "Used when the metal is 'own'. Empty: 0.577 of its tensile strength, the rule for steel."},
}

var results = []worksheet.Result{
	worksheet.Verdict,
	{Key: "holds", Label: "The thread holds", Kind: worksheet.Flag, Judges: true},
	{Key: "needed", Label: "Full thread needed", Kind: worksheet.Length, Main: true, Dial: "threadneed"},
	{Key: "diameters", Label: "In diameters", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
	{Key: "usable", Label: "Full thread there is", Kind: worksheet.Length, Main: true, Dial: "thread"},
	{Key: "strip", Label: "Thread lets go at", Kind: worksheet.Force, Main: true, Digits: worksheet.WholeDigits,
		Dial: "grip", Help: "The lower of the two ways."},
	{Key: "breaks", Label: "Bolt breaks at", Kind: worksheet.Force, Main: true, Digits: worksheet.WholeDigits,
		Dial: "grip"},
	{Key: "margin", Label: "Strength over pull", Kind: worksheet.Number, Main: true,
		Digits: worksheet.Digits{Inch: 2, Metric: 2}, Dial: "margin"},
	{Key: "ways", Label: "Ways out", Kind: worksheet.Lines},
	{Key: "bytensile", Label: "Needed by tensile strengths", Kind: worksheet.Length},
	{Key: "byshear", Label: "Needed by shear strengths", Kind: worksheet.Length},
	{Key: "equal", Label: "Needed in a hole as strong as the bolt", Kind: worksheet.Length},
	{Key: "turns", Label: "Turns of thread needed", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 1, Metric: 1}},
	{Key: "rule", Label: "Shop rule for this metal", Kind: worksheet.Length},
	{Key: "ratio", Label: "J", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}, Help: "Above 1 the hole strips before the bolt's thread."},
	{Key: "striptens", Label: "Lets go, by tensile strengths", Kind: worksheet.Force, Digits: worksheet.WholeDigits},
	{Key: "stripshear", Label: "Lets go, by shear strengths", Kind: worksheet.Force, Digits: worksheet.WholeDigits},
	{Key: "pullout", Label: "Lets go, rough or worn thread", Kind: worksheet.Force, Digits: worksheet.WholeDigits},
	{Key: "first", Label: "Goes first", Kind: worksheet.Text},
	{Key: "area", Label: "Tensile stress area", Kind: worksheet.Area, Digits: worksheet.Digits{Inch: 4, Metric: 2}},
	{Key: "shearbolt", Label: "Shear area, bolt's thread, per unit length", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 4, Metric: 2}},
	{Key: "shearhole", Label: "Shear area, hole's thread, per unit length", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 4, Metric: 2}},
	{Key: "minor", Label: "Minor diameter reckoned with", Kind: worksheet.Length},
	{Key: "percent", Label: "Percentage of thread", Kind: worksheet.Percent},
	{Key: "dia", Label: "Bolt diameter", Kind: worksheet.Length},
	{Key: "pitch", Label: "Pitch", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 5, Metric: 3}},
}
