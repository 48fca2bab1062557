package tapin

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, of every mark and every way it is moved.
func TestFirst(t *testing.T) {
	const good, careful, stop, open = worksheet.Good, worksheet.Careful, worksheet.Stop, worksheet.Open
	is := func(typed string, mark worksheet.Mark, says, facts string) {
		t.Helper()
		registrytest.First{Typed: "tapin|" + typed, Mark: mark, Says: says, Facts: facts}.Check(t, Sheets())
	}
	const unlearned = "until the needle reads 0 · gives 90 %, not learned yet"
	is("mode=tap", "", "A end reads?", "")
	is("pairs=0, 6 thou", careful, "B end: tap back 6 thou", unlearned)
	is("pairs=0, 6 thou|span=12|side=column", careful, "B end: tap forward 6 thou", unlearned)
	is("pairs=0, 6 thou; 0, 1.5 thou|span=12", careful, "B end: tap back 1-3/4 thou",
		"until the needle reads -1/4 · this plate gives 78 %")
	is("pairs=0, 6 thou; 0, 0; 0, 0, none|allow=.0015", good, "Good enough: tighten, read again",
		"nothing more you could read · 99 in 100 sure")
	is("pairs=0, 6 thou; 0, .5 thou; 0, .5 thou, none|span=12|allow=.0015", good, "Good enough: tighten, read again",
		"1/2 off over 12 · 99 in 100 sure")
	is("pairs=0, 0|span=12|allow=.0015", good, "In line", "within 1-1/2 over 12 · nothing more you could read")
	is("pairs=0, 6 thou; 0, 0", careful, "In line, as near as it shows", "one more reading of each end · sure only to ±.6")
	is("pairs=0, 6 thou; 0, 6 thou", careful, "B end: tap back 6 thou", "▲ it stuck: tap harder · until the needle reads 0")
	is("pairs=0, 6 thou; 0, 6 thou; 0, 6 thou", stop, "It does not move: loosen it",
		"asked 6, gave none, twice · slacken, ask the same again")
	is("pairs=0, 6 thou; 0, 12 thou", stop, "It went the other way",
		"the right end? the needle's way? · see that nothing is loose")
	is("pairs=0, 6 thou; 0, 9 thou, none", stop, "End B reads 3 thou apart",
		"read twice: loose, or a chip · nothing moved till it repeats")
	is("pairs=0, .6 thou|span=12|reach=2", careful, "Out by too little to tap", ".6 out in 12, sure only to ±.6")
	is("pairs=0, .5", open, "500 thou? Or 1/2 thou?", "")
	is("mode=shim|pairs=0, 6 thou", careful, "Take 6 thou from under B",
		"gives 95 %, not learned yet · 6 out, sure to ±.6")
	is("mode=shim|pairs=0, -6 thou; 0, -1 thou|span=12", careful, "Put 1 thou more under B",
		"shims here give 88 % · 1 out in 12, sure only to ±.6")
	is("mode=head", "", "Right reads?", "")
	is("mode=head|sweeps=0, 0, 0, 0", "", "How wide is the swing?", "")
	is("mode=head|sweeps=3 thou, .5 thou, -1 thou, 1.5 thou|span=10", careful, "Top left until right reads +1",
		"snug, sweep again · then back until front reads +1")
	const screws = "|span=10|leadx=.05|armx=10|leady=.05|army=10"
	is("mode=head|sweeps=12 thou, 9 thou, 0, 3 thou"+screws, careful, "Top: 1/8 turn left, 1/16 front",
		"snug, sweep again · right 12 nearer on 10")
	is("mode=head|sweeps=12 thou, 6 thou, 0, 6 thou"+screws, careful, "Top left 1/8 turn",
		"snug, sweep again · right 12 nearer on 10 · leave the nod")
	is("mode=head|sweeps=0, 0, 0, 0|span=10|allow=.0015", good, "Head square",
		"within 1-1/2 on 10 · nothing more you could read")
	is("mode=head|sweeps=12 thou, 6 thou, 0, 6 thou; 0, 0, 0, 0|span=10|allow=.0015", good, "Good enough: snug, sweep again",
		"99 in 100 sure · within 1-1/2 on 10")
	is("mode=head|sweeps=3 thou, 0, 0, 0|span=10", stop, "Sides do not add up: 3 thou",
		"right + left against back + front · table, gib or a slip")
}

// What is moved does not depend on how far the ends are apart.
func TestNoSpan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "rows")
		rows := make([]string, n)
		for i := range rows {
			rows[i] = rapid.SampledFrom([]string{"0", ".5 thou", "-1 thou"}).Draw(t, "a") + ", " +
				rapid.SampledFrom([]string{"0", ".5 thou", "-3 thou", "6 thou"}).Draw(t, "b")
		}
		pairs := []worksheet.Pair{{Key: "pairs", Text: strings.Join(rows, "; ")},
			{Key: "mode", Text: rapid.SampledFrom([]string{"tap", "shim"}).Draw(t, "mode")}}
		a := worksheet.Run(&tapSheet, units.InchSystem, pairs)
		b := worksheet.Run(&tapSheet, units.InchSystem, append(pairs, worksheet.Pair{Key: "span", Text: "13"}))
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.Equal(t, a.Mark(), b.Mark())
		for _, r := range tapSheet.Results {
			if r.Key != "verdict" {
				require.Equal(t, b.Text(r.Key), a.Text(r.Key), r.Key)
			}
		}
	})
}
