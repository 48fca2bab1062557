package engage

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

// What is said first, with each mark, half filled in, and in millimetres.
func TestHeadlines(t *testing.T) {
	registrytest.Heads(t, Sheets(), []registrytest.Head{
		{"engage", "", "", "Which stud?", ""},
		{"engage", "thread=5/8-11|bolt=rod", "open", "Needs .96 of thread. How deep?",
			"Grey iron class 20 · stud breaks at 13,000 lbf"},
		{"engage", "thread=5/8-11|metal=mild|length=1|pull=3000", "good", "Holds: the stud breaks first",
			".909 of thread · needs .66 · strips at 37,000 lbf"},
		{"engage", "thread=5/8-11|bolt=rod|length=1", "careful", "Holds by one reckoning only",
			"▲ needs .96 by tension, .40 by shear · .909 of thread"},
		{"engage", "thread=5/8-18|metal=grey30|length=1.5|lost=0", "careful", "Holds: the stud breaks first",
			"▲ fine threads crumble in iron · 1.500 of thread"},
		{"engage", "thread=5/8-11|length=.6|pull=5000", "careful", "Bears the pull only 1.4 times",
			".509 of thread · needs 1.91 · strips at 7,200 lbf"},
		{"engage", "thread=5/8-11|length=.6|pull=3000", "careful", "Bears the pull 2.4 times",
			"▲ strips before the stud breaks · .509 of thread"},
		{"engage", "thread=5/8-11|bolt=rod|length=.4", "stop", "Strips before the stud breaks",
			"needs .96 of thread · has .309 · strips at 4,400 lbf"},
		{"engage", "thread=5/8-11|length=.5", "stop", "Strips before the stud breaks",
			"insert, or a through bolt · has .409 · strips at 5,800 lbf"},
		{"engage", "thread=5/8-11|length=.6|pull=8000", "stop", "Does not bear 8,000 lbf",
			"3,600 lbf at most · has .509 · strips at 7,200 lbf"},
		{"engage", "mm|thread=M12|bolt=8.8|length=30", "careful", "Holds by one reckoning only",
			"▲ needs 37.6 by tension, 14.4 by shear · 28.25 of thread"},
	})
}
