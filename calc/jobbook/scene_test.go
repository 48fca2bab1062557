package jobbook_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
)

// eighths draws a length in inches that a rule shows, as it would be typed.
type eighths struct{ *rand.Rand }

func (r eighths) between(low, high int) float64 { return float64(8*low+r.IntN(8*(high-low)+1)) / 8 }

func typed(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func inch(x float64) string { return typed(x) + " in" }

// hungSetup is a random part hung on a random angle plate by two studs, with what a person would
// read off the drawings of it.
type hungSetup struct {
	long, wide, high     float64 // of the part
	left, bottom         float64 // edges of the plate's face
	plate, tall          float64 // its face
	thick, foot          float64
	ax, bx, at           float64 // the studs
	weight               float64
	balx, baly, balz     float64
	travel, cross, table float64
	dia, out             float64
	rib, ribWide         float64
	slotX, slotY         float64
}

func drawSetup(r eighths) hungSetup {
	s := hungSetup{long: r.between(6, 16), wide: r.between(2, 5), high: r.between(5, 9), plate: r.between(16, 24), tall: r.between(12, 18),
		thick: r.between(1, 2), foot: r.between(8, 12), weight: r.between(20, 200), travel: r.between(20, 40), cross: r.between(10, 16),
		table: r.between(40, 60), dia: r.between(2, 5), out: r.between(2, 4), rib: r.between(1, 3), ribWide: r.between(1, 2)}
	s.left, s.bottom = -r.between(0, 9), -r.between(0, 7)
	s.ax = s.left + r.between(2, 4)
	s.bx = s.ax + r.between(3, 7)
	s.at = s.bottom + s.high/2 + r.between(1, 3)
	s.balx, s.baly, s.balz = r.between(1, int(s.long)-1), r.between(0, int(s.wide)), r.between(1, int(s.high)-1)
	s.slotX, s.slotY = s.left+r.between(2, 8), s.bottom+r.between(8, 10)
	return s
}

func (s *hungSetup) shop(t *testing.T) []obj {
	return shopOf(t, [][3]any{
		{"machine", "m", obj{"name": "mill", "kind": "mill", "tablelong": typed(s.table),
			"axes": []any{obj{"axis": "x", "travel": typed(s.travel)}, obj{"axis": "y", "travel": typed(s.cross)}}}},
		{"fixture", "f", obj{"name": "plate", "kind": "angle", "thick": typed(s.thick), "long": typed(s.plate), "wide": typed(s.foot),
			"high":  typed(s.tall),
			"faces": []any{obj{"face": "front", "wide": typed(s.plate), "high": typed(s.tall), "left": typed(s.left), "bottom": typed(s.bottom)}},
			"ribs":  []any{obj{"face": "front", "x": typed(s.left + s.rib), "y": typed(s.bottom + s.tall/2), "long": typed(s.tall), "thick": typed(s.ribWide), "runs": "y"}},
			"slots": []any{obj{"name": "S1", "face": "front", "x": typed(s.slotX), "y": typed(s.slotY), "wide": "9/16", "long": "2", "runs": "x"}},
			"holes": []any{obj{"name": "A1", "face": "front", "x": typed(s.ax), "y": typed(s.at), "kind": "tapped", "thread": "1/2-13", "depth": "1"},
				obj{"name": "A2", "face": "front", "x": typed(s.bx), "y": typed(s.at), "kind": "tapped", "thread": "1/2-13", "depth": "1"}},
			"marks": []any{obj{"name": "G1", "face": "front", "kind": "groove", "x": typed(s.left + 1), "y": typed(s.bottom + 1), "wide": "1", "high": "1/2"},
				obj{"face": "front", "kind": "ribgone", "x": typed(s.bx), "y": typed(s.at), "wide": "1", "high": "4"}}}},
		{"tool", "c", obj{"name": "face mill", "kind": "facemill", "diameter": typed(s.dia), "stickout": typed(s.out)}},
		{"part", "p", obj{"name": "part", "long": typed(s.long), "wide": typed(s.wide), "high": typed(s.high), "weight": typed(s.weight),
			"balx": typed(s.balx), "baly": typed(s.baly), "balz": typed(s.balz)}},
		{"feature", "back", obj{"name": "back", "part": "part:p", "kind": "face", "looks": "+y", "face": "back", "long": typed(s.long), "wide": typed(s.high)}},
		{"feature", "h", obj{"name": "bolt holes", "part": "part:p", "kind": "hole", "face": "back", "nominal": "9/16", "bolt": "1/2-13", "depth": "1/2",
			"x": "0", "y": "0", "also": []any{obj{"x": typed(s.bx - s.ax), "y": "0"}}}},
		{"setup", "s", obj{"name": "hung", "part": "part:p", "machine": "machine:m", "fixture": "fixture:f", "seat": "feature:back", "downside": "-z",
			"state": "running", "bolts": []any{obj{"hole": "A1", "thread": "1/2-13", "grade": "sae5", "torque": "40"}, obj{"hole": "A2", "thread": "1/2-13"}}}},
		{"step", "k", obj{"name": "face the top", "setup": "setup:s", "tool": "tool:c"}},
	}...)
}

// byHand is what a person types into the worksheets, read off the drawings: the plate stands on the
// table, the part hangs with its middle on the studs'.
func (s *hungSetup) byHand() map[string]map[string]string {
	middle, low := (s.ax+s.bx)/2, s.at-s.high/2
	up := -s.bottom + low // of the part's lower edge over the table
	row := func(name string, box ...float64) string {
		for _, x := range box {
			name += ", " + inch(x)
		}
		return name
	}
	left, right, back := s.left-middle, s.left+s.plate-middle, s.wide/2
	reach := s.long/2 + s.dia/2 + .25
	return map[string]map[string]string{
		"hold": {"width": inch(s.long), "height": inch(s.high),
			"studs":  fmt.Sprintf("%s, %s; %s, %s", inch(s.ax-middle), inch(s.at-low), inch(s.bx-middle), inch(s.at-low)),
			"weight": typed(s.weight) + " lb", "cgx": inch(s.balx - s.long/2), "cgy": inch(s.balz), "cgz": inch(s.wide - s.baly)},
		"foul": {"boxes": strings.Join([]string{row("part", -s.long/2, s.long/2, -back, back, up, up+s.high),
			row("plate", left, right, back, back+s.thick, 0, s.tall), row("plate foot", left, right, back, back+s.foot, 0, s.thick)}, "; "),
			"cut": inch(up + s.high), "heads": row("cutter", 0, s.out, s.dia), "x1": inch(-reach), "x2": inch(reach)},
		"reach": {"travel": inch(s.travel), "cross": inch(s.cross), "table": inch(s.table), "long": inch(s.long), "wide": inch(s.wide), "cutter": inch(s.dia)},
		"match": {"part": row("hole", 0, 0) + ", 1/2-13, 9/16 in; " + row("hole", s.bx-s.ax, 0) + ", 1/2-13, 9/16 in",
			"fixtures": row("plate, front", s.plate, s.tall, s.thick, s.left, s.bottom),
			"places": row("plate, front, tapped", s.ax, s.at) + ", , 1/2-13; " + row("plate, front, tapped", s.bx, s.at) + ", , 1/2-13; " +
				row("plate, front, slot", s.slotX, s.slotY) + ", 9/16 in, , 2 in, 0",
			"keep": row("plate, front, rib", s.left+s.rib, s.bottom+s.tall/2, s.ribWide, s.tall) + "; " +
				row("plate, front, clear", s.left+1, s.bottom+1, 1, .5)},
	}
}

// TestSetupsEqualHand: hold, foul, reach and match that are opened from a setup answer as they do where
// all lengths are typed by hand.
func TestSetupsEqualHand(t *testing.T) {
	r := eighths{rand.New(rand.NewPCG(13, 1))}
	answered := map[string]int{}
	for i := range 300 {
		s := drawSetup(r)
		shop := s.shop(t)
		for name, hand := range s.byHand() {
			given := asked(t, "prefill", obj{"worksheet": name, "step": "step:k"}, shop)["inputs"].(obj)
			answer := func(over map[string]string) (string, bool) {
				var pairs []worksheet.Pair
				for key, text := range given {
					if by, ours := over[key]; ours {
						text = by
					}
					pairs = append(pairs, worksheet.Pair{Key: key, Text: text.(string)})
				}
				body, failed, _ := registry.Run(name, "in", pairs)
				var said obj
				require.NoError(t, json.Unmarshal(body, &said))
				text, err := json.MarshalIndent([]any{said["headline"], said["results"], said["error"]}, "", " ")
				require.NoError(t, err)
				return string(text), !failed
			}
			for key := range hand {
				require.Contains(t, given, key, "%d: %s takes %s", i, name, key)
			}
			taken, ok := answer(nil)
			byHand, _ := answer(hand)
			require.Equal(t, byHand, taken, "%d: %s of %+v", i, name, s)
			if ok {
				answered[name]++
			}
		}
	}
	t.Log(answered)
	for _, name := range []string{"hold", "foul", "reach", "match"} {
		assert.Greater(t, answered[name], 200, name)
	}
}

// TestPlacesEqualRecords: what is drawn stands where the record says, and as large.
func TestPlacesEqualRecords(t *testing.T) {
	r := eighths{rand.New(rand.NewPCG(13, 2))}
	for range 200 {
		s := drawSetup(r)
		shop := s.shop(t)
		face := asked(t, "shape", obj{"id": "fixture:f"}, shop)["faces"].([]any)[0].(obj)
		assert.Equal(t, []any{s.left, s.bottom, s.left + s.plate, s.bottom + s.tall}, []any{face["left"], face["bottom"], face["right"], face["top"]})
		places := map[string]obj{}
		for _, p := range face["places"].([]any) {
			name, _ := p.(obj)["name"].(string)
			places[name+p.(obj)["what"].(string)] = p.(obj)
		}
		at := func(key string, want ...float64) {
			p := places[key]
			for i, k := range []string{"x", "y", "wide", "high"}[:len(want)] {
				assert.Equal(t, want[i], p[k], "%s %s", key, k)
			}
		}
		at("A1tapped", s.ax, s.at)
		at("A2tapped", s.bx, s.at)
		assert.Equal(t, .5, places["A1tapped"]["dia"])
		at("S1slot", s.slotX, s.slotY, 2, .5625)
		at("rib", s.left+s.rib, s.bottom+s.tall/2, s.ribWide, s.tall)
		at("G1groove", s.left+1, s.bottom+1, 1, .5)
		scene := asked(t, "shape", obj{"id": "setup:s"}, shop)
		zero := scene["zero"].([]any)
		part := scene["bodies"].([]any)[0].(obj)
		// The studs stand in the middle of the part, along and up.
		mid := func(i int) float64 {
			return (part["low"].([]any)[i].(float64) + part["top"].([]any)[i].(float64)) / 2
		}
		assert.InDelta(t, mid(0), (s.ax+s.bx)/2+zero[0].(float64), 1e-9)
		assert.InDelta(t, mid(2), s.at+zero[2].(float64), 1e-9)
	}
}
