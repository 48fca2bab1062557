package bench

import (
	"testing"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first of a pack of shims, of every mark.
func TestShimsFirst(t *testing.T) {
	const good, careful, stop = worksheet.Good, worksheet.Careful, worksheet.Stop
	is := func(sys units.System, typed string, mark worksheet.Mark, says, facts string) {
		t.Helper()
		registrytest.First{Sys: sys, Typed: "shims" + typed, Mark: mark, Says: says, Facts: facts}.Check(t, Sheets())
	}
	is(0, "", "", "How thick is the gap?", "")
	is(0, "|want=.0265", good, ".025 + .0015", "exact · 2 leaves")
	is(0, "|want=.010", good, ".010", "exact")
	is(0, "|want=.0268", good, ".015 + .012", ".0002 over · 2 leaves")
	is(0, "|want=.0005", good, "No shim needed", ".0005 short")
	is(0, "|want=.0008|near=.0001", careful, ".001", "▲ .0002 over · the drawer has no closer")
	is(0, "|want=.0008|near=.0001|owned=.005 in", stop, "Thinnest leaf is too thick",
		"gap .0008, thinnest .005 · paper or stone the other side")
	is(0, "|want=.155|owned=.031 in", careful, "5 leaves: springy", ".031 + .031 + .031 + .031 + .031 · exact")
	is(units.MetricSystem, "|want=.42|owned=.1;.3;.02|near=.005", good, "0.30 + 0.10 + 0.02", "exact · 3 leaves")
}
