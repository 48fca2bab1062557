package reach

import (
	"strconv"
	"strings"
	"testing"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// The largest tables a worksheet takes: 24 boxes against 12 parts of the head.
func BenchmarkFoulFull(b *testing.B) {
	var boxes, heads strings.Builder
	for i := range 24 {
		x := strconv.Itoa(i)
		boxes.WriteString("b" + x + "," + x + " in," + x + ".5 in,0 in,1 in,0 in,3 in;")
	}
	for i := range 12 {
		heads.WriteString("h" + strconv.Itoa(i) + "," + strconv.Itoa(i) + " in,30 in,4 in;")
	}
	pairs := []worksheet.Pair{{Key: "boxes", Text: boxes.String()}, {Key: "heads", Text: heads.String()}, {Key: "x1", Text: "-3 in"}, {Key: "x2", Text: "50 in"}, {Key: "cut", Text: "4 in"}}
	s := foulSheet
	for b.Loop() {
		if a := worksheet.Run(s, units.InchSystem, pairs); a.Fault != nil {
			b.Fatal(a.Fault)
		}
	}
}
