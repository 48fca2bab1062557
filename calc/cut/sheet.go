package cut

import (
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{speedSheet, powerSheet, drillSheet, tapSheet, facingSheet}
}

const fine = "Fine points"

const (
	machineOwn = "The machine's own"
	loadPart   = "Load of a drill or tap"
)

var (
	points = []worksheet.Option{{Key: "standard", Label: "standard"}, {Key: "split", Label: "split or thinned"},
		{Key: "pilot", Label: "standard, hole piloted"}}
	taps = []worksheet.Option{{Key: "plug", Label: "hand tap, plug"}, {Key: "bottoming",
		Label: "hand tap, bottoming"}, {Key: "spiral", Label: "spiral flute"}, {Key: "gun", Label: "spiral point"},
		{Key: "form", Label: "forming tap"}}
)

var speedSheet = &worksheet.Sheet{
	Name: "speed", Title: "Speeds and feeds", Question: "How fast, and what feed?", Group: "cut",
	Drawing: "speed",
	About: []string{
		"A starting speed and feed for the tool and the metal, and then the speed and feed your machine really has: the nearest that is safe, as a rule the next slower one. The actual surface speed and chip are worked back from it.",
		"Type the machine's own spindle speeds and feeds once; a job keeps them. The tables are starting points for sharp tools: slower for weak set-ups, scale, dull tools or dry work.",
	},
	Inputs: []worksheet.Input{
		{Key: "op", Label: "Tool", Ask: "Which tool?", Kind: worksheet.Choice, Required: true, Example: "facemill", Help: "What cuts.",
			Options: []worksheet.Option{{Key: "facemill", Label: "face mill"}, {Key: "endmill", Label: "end mill"}, {Key: "drill", Label: "drill"}, {Key: "ream", Label: "reamer"},
				{Key: "tap", Label: "tap"}, {Key: "csink", Label: "countersink or counterbore"}, {Key: "bore", Label: "boring bar"}}},
		materialInput(),
		{Key: "tool", Label: "Tool material", Kind: worksheet.Choice, Default: "hss", Help: "Taps are always taken as high speed steel.",
			Options: []worksheet.Option{{Key: "hss", Label: "HSS"}, {Key: "carbide", Label: "carbide"}}},
		{Key: "dia", Label: "Diameter", Ask: "What diameter?", Box: "across", Kind: worksheet.Length, Example: "6", Min: "0.01 in", Max: "60 in", Help: "Of the tool; of the hole for a boring bar; largest for a countersink. Not needed for a tap."},
		{Key: "thread", Label: "Thread", Ask: "Which thread?", Box: "thread", Kind: worksheet.Thread, Example: "5/8-11", Help: "For a tap.",
			Canon: thread.Canon("5/8-11 or M12", false)},
		{Key: "teeth", Label: "Teeth or flutes", Ask: "How many teeth?", Box: "teeth", Kind: worksheet.Count, Default: "4", Min: "1", Max: "60", Help: "For mills and reamers."},
		{Key: "finish", Label: "Cut", Kind: worksheet.Choice, Default: "rough", Help: "A finishing cut takes the lower feed.",
			Options: []worksheet.Option{{Key: "rough", Label: "roughing"}, {Key: "finish", Label: "finishing"}}},
		{Key: "setup", Label: "Set-up", Kind: worksheet.Choice, Default: "normal", Help: "A weak set-up takes the low end of the speeds.",
			Options: []worksheet.Option{{Key: "weak", Label: "long, thin or hung"}, {Key: "normal", Label: "normal"}, {Key: "stiff", Label: "short and stiff"}}},
		{Key: "scale", Label: "First cut through scale", Kind: worksheet.Flag, Default: "no", Help: "Sand and hard skin of a raw casting: two thirds of the speed, and get under the skin in one cut."},
		{Key: "speeds", Label: "Spindle speeds", Kind: worksheet.List, Section: machineOwn, Example: "80 135 210 325 660 1115 1750 2720", MaxRows: 60,
			Help: "All the spindle speeds the machine has. Empty: any speed.", Columns: []worksheet.Column{{Key: "rpm", Label: "Speed", Kind: worksheet.Spin, Min: "1", Max: "60000"}}},
		{Key: "feeds", Label: "Table feeds", Kind: worksheet.List, Section: machineOwn, Example: "1.5 2.5 4 6 9 14", MaxRows: 60,
			Help: "All the table feeds, for milling.", Columns: []worksheet.Column{{Key: "feed", Label: "Feed", Kind: worksheet.TableFeed, Min: "0.01 in/min", Max: "1000 in/min"}}},
		{Key: "revfeeds", Label: "Feeds per turn", Kind: worksheet.List, Section: machineOwn, Example: "0.0015 0.003 0.006", MaxRows: 60,
			Help: "All the quill or spindle feeds, for drilling and boring.", Columns: []worksheet.Column{{Key: "feed", Label: "Feed", Kind: worksheet.Length, Min: "0.0001 in", Max: "1 in"}}},
		{Key: "maxrpm", Label: "Most the tool may turn", Ask: "Marked how fast?", Box: "most rpm", Kind: worksheet.Spin, Section: machineOwn, Example: "3000", Min: "1", Max: "60000", Help: "Marked on the cutter or in its maker's data. It is never passed."},
		{Key: "own", Label: "My own surface speed", Box: "own speed", Kind: worksheet.SurfaceSpeed, Section: fine, Example: "90 ft/min", Min: "1 ft/min", Max: "5000 ft/min", Help: "Taken in place of the table's."},
		{Key: "ownfeed", Label: "My own feed per tooth or turn", Box: "own feed", Kind: worksheet.Length, Section: fine, Example: "0.006", Min: "0.0001 in", Max: "0.2 in", Help: "Taken in place of the table's: per tooth for mills and reamers, else per turn."},
		{Key: "depth", Label: "Hole depth", Ask: "How deep a hole?", Box: "hole depth", Kind: worksheet.Length, Section: fine, Example: "2", Min: "0 in", Max: "100 in", Help: "For a drill: three diameters and deeper takes less speed and feed."},
		{Key: "width", Label: "Width of cut", Box: "width of cut", Kind: worksheet.Length, Section: fine, Example: "1/4", Min: "0.001 in", Max: "60 in", Help: "For a mill: less than half the diameter thins the chip, and the feed may rise."},
		motorInput(), driveInput(),
		{Key: "point", Label: "Drill's point", Kind: worksheet.Choice, Default: "standard", Section: loadPart,
			Help: "Grind of the chisel edge.", Options: points},
		{Key: "edges", Label: "Edges are", Kind: worksheet.Choice, Default: "used", Section: loadPart,
			Help: "Of a drill: a dull one takes half as much again.",
			Options: []worksheet.Option{{Key: "sharp", Label: "sharp"}, {Key: "used", Label: "in use"},
				{Key: "dull", Label: "dull"}}},
		{Key: "tap", Label: "Tap", Kind: worksheet.Choice, Default: "plug", Section: loadPart,
			Help: "Its grind sets how much is cut at once.", Options: taps},
		{Key: "breaks", Label: "Tap breaks at", Kind: worksheet.Torque, Section: loadPart, Example: "60 lbf-ft",
			Min: "0.01 lbf-ft", Max: "2000 lbf-ft", Ask: "Breaks at?", Box: "tap breaks at",
			Help: "Its maker's figure. Empty: reckoned from the tap's core."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "rpm", Label: "Spindle speed", Kind: worksheet.Spin, Main: true, Plan: true, Dial: "spindle"},
		{Key: "feed", Label: "Feed", Kind: worksheet.TableFeed, Main: true, Plan: true, Dial: "tablefeed"},
		{Key: "perrev", Label: "Feed per turn", Kind: worksheet.Length, Main: true, Plan: true, Dial: "tooth"},
		{Key: "pertooth", Label: "Feed per tooth", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 4, Metric: 3},
			Plan: true, Dial: "tooth"},
		{Key: "speed", Label: "Surface speed", Kind: worksheet.SurfaceSpeed, Main: true, Dial: "surface"},
		{Key: "depth", Label: "Starting depth of cut", Kind: worksheet.Length, Main: true,
			Help: "On a light machine; a heavy one takes several times that in roughing.", Plan: true, Dial: "pass"},
		{Key: "aimrpm", Label: "Speed aimed at", Kind: worksheet.Spin, Dial: "two"},
		{Key: "aimfeed", Label: "Feed aimed at", Kind: worksheet.TableFeed, Dial: "two"},
		{Key: "aimspeed", Label: "Surface speed aimed at", Kind: worksheet.SurfaceSpeed, Dial: "surface"},
		{Key: "low", Label: "Table's surface speed, least", Kind: worksheet.SurfaceSpeed, Dial: "surface"},
		{Key: "high", Label: "Table's surface speed, most", Kind: worksheet.SurfaceSpeed, Dial: "surface"},
		{Key: "toprpm", Label: "Never faster than", Kind: worksheet.Spin, Dial: "spindle"},
		{Key: "push", Label: "The drill pushes with", Kind: worksheet.Force, Dial: "push"},
		{Key: "twist", Label: "Drill or tap twists with", Kind: worksheet.Torque, Dial: "push"},
		{Key: "dull", Label: "A dull tap, or packed chips", Kind: worksheet.Torque, Dial: "push"},
		{Key: "stands", Label: "The tap breaks near", Kind: worksheet.Torque, Dial: "grip"},
		{Key: "motorpower", Label: "Power at the motor", Kind: worksheet.Power, Dial: "motor"},
		{Key: "share", Label: "Share of the motor", Kind: worksheet.Percent, Dial: "share"},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "op", Text: "drill"}, {Key: "work", Text: "grey"}, {Key: "dia", Text: "17/32 in"}, {Key: "speeds", Text: "80 135 210 325 660 1115 1750 2720"}, {Key: "revfeeds", Text: "0.0015 in, 0.003 in, 0.006 in"}},
	Compute: speedCompute,
}

func wearInput() worksheet.Input {
	return worksheet.Input{Key: "wear", Label: "Edges are", Kind: worksheet.Choice, Default: "used", Help: "A dull cutter takes half as much again.",
		Options: []worksheet.Option{{Key: "sharp", Label: "sharp"}, {Key: "used", Label: "used"}, {Key: "dull", Label: "dull"}}}
}

func driveInput() worksheet.Input {
	return worksheet.Input{Key: "drive", Label: "Drive", Kind: worksheet.Choice, Default: "gear", Section: "The machine", Help: "What is lost between motor and spindle.",
		Options: []worksheet.Option{{Key: "belt", Label: "belt, direct (90 %)"}, {Key: "gear", Label: "geared head (75 %)"}, {Key: "back", Label: "back gear (75 %)"}, {Key: "old", Label: "old or worn (65 %)"}}}
}

func motorInput() worksheet.Input {
	return worksheet.Input{Key: "motor", Label: "Motor", Ask: "What motor?", Box: "motor", Kind: worksheet.Power, Section: "The machine", Example: "1.5 hp", Min: "0.05 hp", Max: "500 hp", Help: "Rated power of the spindle motor. With it the share that is used is worked out."}
}

// efficiency E by the drive (Machinery's Handbook, machine tool efficiency
// factors, from memory; 'old' by practice).
func efficiency(key string) float64 {
	switch key {
	case "belt":
		return .90
	case "old":
		return .65
	}
	return .75
}

var powerSheet = &worksheet.Sheet{
	Name: "power", Title: "Power and force of a milling cut", Question: "Will the motor pull it?", Group: "cut",
	Drawing: "power",
	About: []string{
		"The metal removed in a minute times the power that metal takes, by hardness, feed and the state of the edges, is the power at the cutter; over the drive's efficiency it is what the motor must give. From it follow the torque at the spindle and the force on the part, which 'hold' and 'strap' ask for.",
		"The force to hold against is the mean force and one tooth's most: the force at an instant jumps as teeth enter " +
			"and leave, and this is never less.",
		"Seen from the spindle, the front teeth of a cutter that turns clockwise push the part to the right of the " +
			"cutter's way. Work on the left of the cutter is cut against the feed (conventional), work on its right with it " +
			"(climb): that pulls the table along.",
	},
	Inputs: []worksheet.Input{
		materialInput(),
		{Key: "depth", Label: "Depth of cut", Ask: "How deep?", Box: "depth", Kind: worksheet.Length, Example: "1/8", Min: "0.0005 in", Max: "10 in", Help: "Along the cutter's axis for a face mill.", Required: true},
		{Key: "width", Label: "Width of cut", Ask: "How wide a cut?", Box: "width", Kind: worksheet.Length, Example: "4", Min: "0.001 in", Max: "60 in", Help: "Across the feed.", Required: true},
		{Key: "feed", Label: "Table feed", Ask: "What table feed?", Box: "feed", Kind: worksheet.TableFeed, Required: true, Example: "4", Min: "0.01 in/min", Max: "1000 in/min", Help: "As set on the machine."},
		{Key: "cutter", Label: "Cutter diameter", Ask: "What cutter?", Box: "cutter", Kind: worksheet.Length, Example: "6", Min: "0.03 in", Max: "60 in", Help: "Over the cutting edges.", Required: true},
		{Key: "teeth", Label: "Teeth", Ask: "How many teeth?", Box: "teeth", Kind: worksheet.Count, Required: true, Example: "6", Min: "1", Max: "100", Help: "Cutting edges of the cutter."},
		{Key: "rpm", Label: "Spindle speed", Ask: "What spindle speed?", Box: "rpm", Kind: worksheet.Spin, Required: true, Example: "80", Min: "1", Max: "60000", Help: "As set on the machine."},
		wearInput(), motorInput(), driveInput(),
		{Key: "offset", Label: "Cut's middle off the cutter's", Box: "off the middle", Kind: worksheet.Length, Section: fine, Example: "1/2",
			Min: "-30 in", Max: "30 in", Help: "To the left of the cutter's way, as seen from the spindle; less than nothing " +
				"to the right. Empty: none."},
		{Key: "hand", Label: "Spindle turns", Kind: worksheet.Choice, Section: fine, Default: "right",
			Help:    "Seen from the spindle.",
			Options: []worksheet.Option{{Key: "right", Label: "clockwise"}, {Key: "left", Label: "counter-clockwise"}}},
		{Key: "hb", Label: "Hardness, Brinell", Box: "hardness", Kind: worksheet.Number, Section: fine, Example: "200", Min: "50", Max: "400", Help: "Empty: the usual of the metal."},
		{Key: "kp", Label: "My own power constant", Box: "own constant", Kind: worksheet.Number, Section: fine, Example: "0.6", Min: "0.05", Max: "5", Help: "Horsepower for a cubic inch a minute, sharp. Taken in place of the table's."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "motorpower", Label: "Power at the motor", Kind: worksheet.Power, Main: true, Dial: "motor"},
		{Key: "power", Label: "Power at the cutter", Kind: worksheet.Power, Main: true, Dial: "motor"},
		{Key: "share", Label: "Share of the motor", Kind: worksheet.Percent, Main: true, Dial: "share"},
		{Key: "ok", Label: "The motor pulls it", Kind: worksheet.Flag, Judges: true},
		{Key: "force", Label: "Cutting force to hold against", Kind: worksheet.Force, Main: true, Dial: "push",
			Help: "Mean and one tooth. Goes into 'hold' and 'strap'."},
		{Key: "push", Label: "It pushes the part", Kind: worksheet.Text,
			Help: "Seen from the spindle, looking the way the cutter goes over the work."},
		{Key: "mean", Label: "Mean force along the rim", Kind: worksheet.Force, Dial: "push"},
		{Key: "tooth", Label: "Most on one tooth", Kind: worksheet.Force, Dial: "push"},
		{Key: "ahead", Label: "Push ahead, mean", Kind: worksheet.Force, Dial: "pull",
			Help: "The way the cutter goes over the work, against the table's feed. Less than nothing pulls the table along."},
		{Key: "aheadlow", Label: "Push ahead, least", Kind: worksheet.Force, Dial: "pull"},
		{Key: "aheadhigh", Label: "Push ahead, most", Kind: worksheet.Force, Dial: "pull"},
		{Key: "across", Label: "Push to the left, mean", Kind: worksheet.Force, Dial: "pull",
			Help: "Less than nothing is to the right."},
		{Key: "worst", Label: "Push in the plane of the face, most", Kind: worksheet.Force, Dial: "push",
			Help: "At the worst instant: it jumps with the width where one more tooth is in. Hold against the force above."},
		{Key: "torque", Label: "Torque at the spindle", Kind: worksheet.Torque, Dial: "push"},
		{Key: "removal", Label: "Metal removed", Kind: worksheet.Removal, Main: true, Dial: "two"},
		{Key: "speed", Label: "Surface speed", Kind: worksheet.SurfaceSpeed, Dial: "surface"},
		{Key: "pertooth", Label: "Feed per tooth", Kind: worksheet.Length, Dial: "tooth"},
		{Key: "thickest", Label: "Thickest chip", Kind: worksheet.Length},
		{Key: "chip", Label: "Mean chip", Kind: worksheet.Length},
		{Key: "engaged", Label: "Teeth cutting at once", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "deepest", Label: "Depth at which the motor is at its rating", Kind: worksheet.Length, Dial: "pass"},
		{Key: "constant", Label: "Power constant, hp for a cubic inch a minute", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		{Key: "second", Label: "Power at the cutter a second way, sharp", Kind: worksheet.Power, Help: "From the specific cutting force of an insert maker's tables."},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "work", Text: "grey"}, {Key: "depth", Text: "0.1 in"}, {Key: "width", Text: "4 in"}, {Key: "feed", Text: "4 in/min"}, {Key: "cutter", Text: "6 in"}, {Key: "teeth", Text: "6"}, {Key: "rpm", Text: "80"}, {Key: "motor", Text: "3 hp"}},
	Half:    powerHalf,
	Compute: powerCompute,
}

var drillSheet = &worksheet.Sheet{
	Name: "drillforce", Title: "Drilling thrust and torque", Question: "What does the drill push and twist with?", Group: "cut",
	Drawing: "drillforce",
	About: []string{
		"Thrust pushes the part off its clamps and bends a weak knee; torque twists it and stalls the spindle. Both by the handbook's formulas from diameter, feed, metal and point. A pilot hole takes the chisel edge out of the thrust.",
	},
	Inputs: []worksheet.Input{
		materialInput(),
		{Key: "dia", Label: "Drill diameter", Ask: "What drill?", Box: "drill", Kind: worksheet.Length, Example: "7/8", Min: "0.02 in", Max: "6 in", Help: "Of the drill.", Required: true},
		{Key: "feed", Label: "Feed per turn", Ask: "What feed?", Box: "feed a turn", Kind: worksheet.Length, Example: "0.008", Min: "0.0002 in", Max: "0.1 in", Help: "As set, or as fed by hand.", Required: true},
		{Key: "rpm", Label: "Spindle speed", Ask: "What spindle speed?", Box: "rpm", Kind: worksheet.Spin, Required: true, Example: "350", Min: "1", Max: "30000", Help: "For the power."},
		{Key: "point", Label: "Point", Kind: worksheet.Choice, Default: "standard", Help: "Grind of the chisel edge.",
			Options: points},
		{Key: "wear", Label: "Drill is", Kind: worksheet.Choice, Default: "used", Help: "A new drill takes less.",
			Options: []worksheet.Option{{Key: "sharp", Label: "new or fresh ground"}, {Key: "used", Label: "in use"}, {Key: "dull", Label: "dull"}}},
		motorInput(), driveInput(),
		{Key: "kd", Label: "My own work material factor", Box: "own factor", Kind: worksheet.Number, Section: fine, Example: "15000", Min: "1000", Max: "100000", Help: "Kd of the handbook, taken in place of the table's."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "thrust", Label: "Thrust", Kind: worksheet.Force, Main: true, Dial: "push"},
		{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true, Dial: "push"},
		{Key: "power", Label: "Power at the drill", Kind: worksheet.Power, Main: true, Dial: "motor"},
		{Key: "motorpower", Label: "Power at the motor", Kind: worksheet.Power, Main: true, Dial: "motor"},
		{Key: "ok", Label: "The motor pulls it", Kind: worksheet.Flag, Judges: true},
		{Key: "share", Label: "Share of the motor", Kind: worksheet.Percent, Dial: "share"},
		{Key: "force", Label: "Force at the rim to hold against", Kind: worksheet.Force,
			Help: "Torque over the drill's radius: it turns the part if one clamp slips.", Dial: "push"},
		{Key: "speed", Label: "Surface speed", Kind: worksheet.SurfaceSpeed, Dial: "surface"},
		{Key: "feedrate", Label: "Feed", Kind: worksheet.TableFeed, Dial: "two"},
		{Key: "factor", Label: "Work material factor Kd", Kind: worksheet.Number, Digits: worksheet.WholeDigits},
		{Key: "thrust2", Label: "Thrust a second way, sharp", Kind: worksheet.Force, Dial: "push"}, {Key: "torque2",
			Label: "Torque a second way, sharp", Kind: worksheet.Torque, Dial: "push"},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "work", Text: "grey"}, {Key: "dia", Text: "17/32 in"}, {Key: "feed", Text: "0.010 in"}, {Key: "rpm", Text: "575"}, {Key: "motor", Text: "3 hp"}},
	Half:    drillHalf,
	Compute: drillCompute,
}

var tapSheet = &worksheet.Sheet{
	Name: "taptorque", Title: "Tapping torque", Question: "What does the tap take?", Group: "cut",
	Drawing: "taptorque",
	About: []string{
		"The torque of a cutting tap in a clean hole, from the thread's triangle, the metal and the kind of tap; a forming tap takes two to three times that. A dull tap, packed chips or no oil easily double it: set a tapping head's clutch with that in mind and well under what the tap breaks at.",
		"No public table of breaking torques is known. Without the maker's figure it is reckoned from the section the " +
			"flutes leave of the tap's core, on the low side.",
	},
	Inputs: []worksheet.Input{
		{Key: "thread", Label: "Thread", Ask: "Which thread?", Box: "thread", Kind: worksheet.Thread, Required: true, Example: "5/8-11", Help: "5/8-11, M12.",
			Canon: thread.Canon("5/8-11 or M12", false)},
		{Key: "hole", Label: "Hole", Ask: "What hole?", Box: "hole", Kind: worksheet.Drill, Required: true, Example: "17/32", Min: "0.01 in", Max: "6 in", Help: "The tap drill, or the hole's measured size."},
		materialInput(),
		{Key: "tap", Label: "Tap", Kind: worksheet.Choice, Default: "plug", Help: "Its grind sets how much is cut at once.",
			Options: taps},
		{Key: "rpm", Label: "Spindle speed", Box: "rpm", Kind: worksheet.Spin, Example: "80", Min: "1", Max: "10000", Help: "For the power. Empty: by hand."},
		{Key: "breaks", Label: "Tap breaks at", Ask: "Breaks at?", Box: "tap breaks at", Kind: worksheet.Torque, Example: "60 lbf-ft", Min: "0.01 lbf-ft",
			Max: "2000 lbf-ft", Help: "Its maker's figure. Empty: reckoned from the tap's core."},
		{Key: "kc", Label: "My own cutting resistance", Box: "own resistance", Kind: worksheet.Stress, Section: fine, Example: "2900 MPa", Min: "200 MPa", Max: "10000 MPa", Help: "Taken in place of the table's."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true, Dial: "push"},
		{Key: "double", Label: "With a dull tap or packed chips", Kind: worksheet.Torque, Main: true, Dial: "push"},
		{Key: "breaks", Label: "The tap breaks near", Kind: worksheet.Torque, Main: true, Dial: "grip",
			Help: "As typed; else reckoned from the tap's core, low."},
		{Key: "ok", Label: "The tap stands it", Kind: worksheet.Flag, Judges: true},
		{Key: "power", Label: "Power at the tap", Kind: worksheet.Power, Main: true, Dial: "motor"},
		{Key: "percent", Label: "Percentage of thread", Kind: worksheet.Percent, Dial: "percent"},
		{Key: "share", Label: "Share of what breaks it", Kind: worksheet.Percent, Dial: "share"},
		{Key: "factor", Label: "Tap factor K", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "resistance", Label: "Cutting resistance", Kind: worksheet.Stress, Dial: "three"},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "hole", Text: "17/32 in"}, {Key: "work", Text: "grey"}, {Key: "tap", Text: "bottoming"}},
	Half:    tapHalf,
	Compute: tapCompute,
}

const path = "The way"

var facingSheet = &worksheet.Sheet{
	Name: "facing", Title: "Passes and time for a face", Question: "How many passes, and how long?", Group: "cut",
	Drawing: "facing",
	About: []string{
		"From face, cutter and stock to take off: passes side by side and deep, the length of each, feeding time and the time with returns.",
		"Passes overlap so that none steps over more than the share of the cutter's diameter you set, and the outer ones hang over the edges.",
	},
	Inputs: []worksheet.Input{
		{Key: "long", Label: "Length of the face", Ask: "How long a face?", Box: "long", Kind: worksheet.Length, Example: "14", Min: "0.05 in", Max: "600 in", Help: "Along the feed.", Required: true},
		{Key: "wide", Label: "Width of the face", Ask: "How wide?", Box: "wide", Kind: worksheet.Length, Example: "5", Min: "0.05 in", Max: "600 in", Help: "Across it.", Required: true},
		{Key: "stock", Label: "Stock to take off", Ask: "How much stock?", Box: "stock", Kind: worksheet.Length, Example: "1/4", Min: "0.0005 in", Max: "20 in", Help: "In all, with the finishing cut.", Required: true},
		{Key: "cutter", Label: "Cutter diameter", Ask: "What cutter?", Box: "cutter", Kind: worksheet.Length, Example: "6", Min: "0.05 in", Max: "60 in", Help: "Over the cutting edges.", Required: true},
		{Key: "teeth", Label: "Teeth", Ask: "How many teeth?", Box: "teeth", Kind: worksheet.Count, Required: true, Example: "6", Min: "1", Max: "100", Help: "Cutting edges."},
		{Key: "rpm", Label: "Spindle speed", Ask: "What spindle speed?", Box: "rpm", Kind: worksheet.Spin, Required: true, Example: "80", Min: "1", Max: "60000", Help: "The worksheet 'speed' gives it."},
		{Key: "pertooth", Label: "Feed per tooth", Ask: "What feed a tooth?", Box: "feed a tooth", Kind: worksheet.Length, Example: "0.007", Min: "0.0001 in", Max: "0.2 in", Help: "The worksheet 'speed' gives it. The table feed follows.", Required: true},
		{Key: "depth", Label: "Depth of a roughing pass", Box: "a pass", Kind: worksheet.Length, Example: "0.1", Min: "0.001 in", Max: "5 in", Help: "At most.", Default: "0.1 in"},
		{Key: "finish", Label: "Finishing cut", Box: "last pass", Kind: worksheet.Length, Example: "0.015", Min: "0 in", Max: "1 in", Help: "Left for the last pass; 0 for none.", Default: "0.015 in"},
		{Key: "finfeed", Label: "Finishing feed", Box: "last feed", Kind: worksheet.Percent, Default: "50", Min: "5", Max: "200", Help: "Of the roughing feed."},
		{Key: "ends", Label: "The cutter clears", Kind: worksheet.Choice, Default: "both", Section: path, Help: "Clear of both ends leaves no marks.",
			Options: []worksheet.Option{{Key: "both", Label: "both ends"}, {Key: "one", Label: "the end it starts from"}}},
		{Key: "runout", Label: "Run-out", Box: "run-out", Kind: worksheet.Length, Section: path, Example: "1/4", Min: "0 in", Max: "20 in", Help: "Clear distance at each end.", Default: "1/4 in"},
		{Key: "edge", Label: "Cutter past the long edges", Box: "past the edge", Kind: worksheet.Length, Section: path, Example: "1/8", Min: "0 in", Max: "30 in", Help: "At least.", Default: "1/8 in"},
		{Key: "step", Label: "Step between passes", Box: "step", Kind: worksheet.Percent, Default: "75", Min: "5", Max: "95", Section: path, Help: "Of the cutter's diameter, at most."},
		{Key: "way", Label: "Cut", Kind: worksheet.Choice, Default: "one", Section: path, Help: "One way cuts the same way round each time; both ways saves the return.",
			Options: []worksheet.Option{{Key: "one", Label: "one way, and back clear of the work"}, {Key: "two", Label: "both ways"}}},
		{Key: "rapid", Label: "Return feed", Box: "return", Kind: worksheet.TableFeed, Default: "60 in/min", Min: "1 in/min", Max: "2000 in/min", Section: path, Help: "Rapid traverse, or how fast you wind it back."},
		{Key: "handling", Label: "Handling for each pass", Box: "handling", Kind: worksheet.Time, Default: "0.5 min", Min: "0 min", Max: "60 min", Section: path, Help: "Setting the depth, clearing chips."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "total", Label: "Time in all", Kind: worksheet.Time, Main: true, Dial: "clock"},
		{Key: "cutting", Label: "Time feeding", Kind: worksheet.Time, Main: true, Dial: "clock"},
		{Key: "passes", Label: "Passes in all", Kind: worksheet.Count, Main: true, Digits: worksheet.WholeDigits},
		{Key: "rows", Label: "Passes side by side", Kind: worksheet.Count, Main: true, Digits: worksheet.WholeDigits},
		{Key: "dialled", Label: "At the dial", Kind: worksheet.Lines, Plan: true},
		{Key: "levels", Label: "Roughing passes deep", Kind: worksheet.Count, Digits: worksheet.WholeDigits},
		{Key: "each", Label: "Depth of each roughing pass", Kind: worksheet.Length, Plan: true, Dial: "pass"},
		{Key: "feed", Label: "Table feed, roughing", Kind: worksheet.TableFeed, Main: true, Plan: true, Dial: "tablefeed"},
		{Key: "finefeed", Label: "Table feed, finishing", Kind: worksheet.TableFeed, Plan: true, Dial: "tablefeed"},
		{Key: "start", Label: "Cutter starts, from the middle", Kind: worksheet.Length, Plan: true, Dial: "need",
			Help: "Its middle, before the first pass, along the feed."},
		{Key: "travel", Label: "Length of a pass", Kind: worksheet.Length, Dial: "need"},
		{Key: "apart", Label: "Passes apart", Kind: worksheet.Length, Dial: "need"},
		{Key: "onepass", Label: "Time of a roughing pass", Kind: worksheet.Time, Dial: "clock"},
		{Key: "removal", Label: "Metal removed, roughing", Kind: worksheet.Removal, Dial: "two"},
		{Key: "volume", Label: "Metal in all", Kind: worksheet.Volume, Dial: "three"},
	},
	Sources: append([]worksheet.Source{{Key: "FMP", Title: "Fundamentals of Machining Processes, 2nd edition, CRC Press 2013, section 6.3: milling time"}}, sources...),
	Example: []worksheet.Pair{{Key: "long", Text: "14 in"}, {Key: "wide", Text: "5 in"}, {Key: "stock", Text: "0.25 in"}, {Key: "cutter", Text: "6 in"}, {Key: "teeth", Text: "6"}, {Key: "rpm", Text: "80"}, {Key: "pertooth", Text: "0.007 in"}},
	Half:    facingHalf,
	Compute: facingCompute,
}
