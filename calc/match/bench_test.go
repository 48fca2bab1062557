package match

import (
	"testing"

	"datumbook/calc/hole"
)

func fixtures(n, features int) []Plate {
	var out []Plate
	state := uint32(1)
	rnd := func() float64 { state = state*1664525 + 1013904223; return float64(state>>8) / (1 << 24) }
	for range n {
		p := Plate{Fixture: "f", Width: 24, Height: 18, Thick: 1.5}
		for j := range features {
			q := tapped58(float64(int(rnd()*24*16))/16, float64(int(rnd()*18*16))/16)
			switch j % 8 {
			case 0:
				q = Place{Kind: Clear, X: q.X, Y: q.Y, Size: .6875}
			case 1:
				q = Place{Kind: Slot, X: q.X, Y: q.Y, Size: .6875, Length: 2, Angle: 90}
			}
			p.Places = append(p.Places, q)
		}
		out = append(out, p)
	}
	return out
}

func grid(n int) []Plate {
	var out []Plate
	for range n {
		p := Plate{Fixture: "grid", Width: 16, Height: 10, Thick: 2}
		for i := range 40 {
			p.Places = append(p.Places, tapped58(float64(i%8)*2+1, float64(i/8)*2+1))
		}
		out = append(out, p)
	}
	return out
}

func tees(n int) []Plate {
	var out []Plate
	for range n {
		p := Plate{Fixture: "table", Width: 48, Height: 20, Thick: 3}
		for i := range 5 {
			p.Places = append(p.Places, Place{Kind: Tee, X: 24, Y: 2 + 4*float64(i), Size: .6875, Length: 48})
		}
		for i := range 35 {
			p.Places = append(p.Places, tapped58(float64(i%7)*6+3, float64(i/7)*4))
		}
		out = append(out, p)
	}
	return out
}

func BenchmarkFind(b *testing.B) {
	four := []Place{clear58(0, 0), clear58(6, 0), clear58(6, 4), clear58(0, 4)}
	odd := []Place{clear58(0, 0), clear58(6.13, .3), clear58(5.87, 4.2), clear58(.4, 3.9)}
	for _, row := range []struct {
		name   string
		plates []Plate
		spots  []Place
		free   bool
	}{
		{"random", fixtures(200, 40), odd, false},
		{"random free", fixtures(200, 40), odd, true},
		{"grid", grid(200), four, false},
		{"grid free", grid(200), four, true},
		{"tees", tees(200), four, false},
		{"tees free", tees(200), four, true},
	} {
		b.Run(row.name, func(b *testing.B) {
			for range b.N {
				f := Find(Ask{Spots: row.spots, Free: row.free, Slack: .05, Flip: true}, row.plates)
				b.ReportMetric(float64(f.Total), "ways")
				if f.Stopped {
					b.ReportMetric(1, "stopped")
				}
			}
		})
	}
	b.Run("drill", func(b *testing.B) {
		plates := fixtures(200, 40)
		for range b.N {
			_, cut := Drill(Ask{Spots: odd}, Rules{-1, -1, -1, hole.Iron, -1, 0, true}, plates)
			if cut {
				b.ReportMetric(1, "cut")
			}
		}
	})
}
