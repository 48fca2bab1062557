package hold

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

// What the worksheet for a torque says first, with each mark, half filled in, and in newtons. The
// torque is that of the weaker of stud and hole: the same stud takes 105 lbf-ft in an inch of steel.
func TestTorqueHeadlines(t *testing.T) {
	const stud, steel = "thread=5/8-11|grade=sae5|", "into=length|depth=1 in|metal=mild|nut=j5|washer=wide"
	const iron = "into=blind|depth=13/16 in|to=shoulder|tap=bottoming|csk=11/16 in|nut=j5|washer=wide"
	registrytest.Heads(t, Sheets(), []registrytest.Head{
		{"torque", "", "", "Which stud?", ""},
		{"torque", stud, "open", "Nut 30 lbf-ft: hole not checked",
			"▲ a short hole bears 30 lbf-ft · pulls about 3,200 lbf"},
		{"torque", stud + "torque=60", "open", "Nut 60 lbf-ft: hole not checked",
			"▲ a short hole bears 30 lbf-ft · pulls about 6,400 lbf"},
		{"torque", stud + iron, "good", "Nut 50 lbf-ft, threads oiled",
			"pulls about 5,300 lbf · 3,800 to 6,700 · thread holds"},
		{"torque", stud + steel, "good", "Nut 105 lbf-ft, threads oiled",
			"pulls about 11,000 lbf · 7,900 to 14,000 · thread holds"},
		{"torque", stud + iron + "|finish=antiseize", "good", "Nut 30 lbf-ft, anti-seize",
			"pulls about 4,800 lbf · 3,400 to 6,000 · thread holds"},
		{"torque", stud + "into=nut|nut=j5|lug=alcast|torque=90", "careful", "Nut 90 lbf-ft: it may bed in",
			"▲ beds in above 55 lbf-ft · pulls about 9,600 lbf"},
		{"torque", stud + "into=length|depth=.3|torque=60", "stop", "Strips the plate above 30 lbf-ft",
			"deeper hole · may pull to 8,000 lbf · bears 4,200 lbf"},
		{"torque", stud + "into=nut|torque=150", "stop", "Too tight: 150 stretches the stud",
			"105 lbf-ft at most · may pull to 20,000 lbf"},
		{"torque", stud + "into=blind|depth=.2", "stop", "Hole .2 deep: no full thread",
			"1.71 deep: .938 of thread"},
		{"torque", "thread=1/4-20|into=nut|percent=1", "stop", "Under the wrench's first mark",
			"ask for more, or a finer wrench"},
		{"torque", "thread=5/8-11|into=nut|seat=2", "stop", "The nut falls into its hole", "wider washer"},
		{"torque", "mm|thread=M12|grade=8.8|tension=30 kN|into=nut", "stop", "Too tight: 29,000 N at most",
			"60 N.m at most · may pull to 38,000 N · bears 36,000 N"},
		{"torque", "mm|" + stud + steel, "good", "Nut 145 N.m, threads oiled",
			"pulls about 51,000 N · 36,000 to 64,000 · thread holds"},
	})
}
