package hole

import (
	"math"
	"slices"

	"datumbook/calc/drill"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Grade is how certainly a drill's hole is within the minor diameter's limits.
type Grade int

// The grades, best first.
const (
	Inside  Grade = iota // even with the least and the most oversize usual
	Likely               // with the mean oversize
	Nominal              // only where the drill cuts its own size
	Over                 // by a hair over the most: tap drill tables name a few such drills
	Under                // the drill is under the least, and counts on cutting big
	Outside              // not even then
	Formed               // a forming tap makes the minor diameter itself: judged by percentage alone
)

// overBy is the most by which a drill of the usual tables exceeds the largest minor diameter, in
// inches: 9/16-18 with 33/64 and the like.
const overBy = .00065

// Say puts the grade in words.
func (g Grade) Say() string {
	switch g {
	case Inside:
		return "inside, oversize and all"
	case Likely:
		return "inside with the usual oversize"
	case Nominal:
		return "inside only if the drill cuts its size"
	case Over:
		return "a hair over the most minor diameter"
	case Under:
		return "under the least minor diameter, and counts on cutting big"
	case Formed:
		return "made by the forming tap"
	}
	return "outside the limits"
}

// Candidate is one drill and the hole it makes. Sizes are in inches.
type Candidate struct {
	Name            string
	Dia             float64
	Low, Mean, High float64 // the hole with the least, mean and most oversize usual
	Percent         float64 // of thread, of the drill's own size
	Likely          float64 // of thread, of the mean hole
	Grade           Grade
	Bored           bool // no drill does it: the size to bore or ream to
}

// choose sets the drill to use, and up to five runners-up: the drill of the usual tables where it
// is at hand and no percentage is asked for, else the one reckoned.
//
// Of the drills reckoned the best grade wins; among those of a grade the one whose likely hole
// comes nearest to the percentage aimed at, and of two as near the larger, which is kinder to the
// tap. None is smaller than the least minor diameter.
func (p *Plan) choose(in Input, l thread.Limits) {
	list := near(in, l, p.Target)
	p.Reckoned = bored(in, l, p.Target)
	if len(list) > 0 && list[0].Grade != Over && list[0].Grade != Under && list[0].Grade != Outside {
		p.Reckoned = list[0]
	}
	p.Pick = p.Reckoned
	if name, ok := in.Thread.TapDrill(); ok && !in.Forming {
		if size, found := drill.Lookup(name); found {
			p.Tabled = judge(in, l, size)
		}
	}
	switch {
	case in.Drill > 0:
		p.Pick = judge(in, l, drill.Size{Name: nameOf(in.Drill), Inches: in.Drill})
	case in.Percent == 0 && p.Tabled.Name != "" && owned(in, &p.Tabled):
		// In another class than the tables are made for, a drill that is surer to be inside.
		most := Over
		if l.Class != "2B" && l.Class != "6H" {
			most = worksheet.Either(p.Reckoned.Grade < Nominal && !p.Reckoned.Bored, Likely, Nominal)
		}
		if p.Tabled.Grade <= most {
			p.Pick = p.Tabled
		}
	}
	for _, c := range list {
		if c.Dia != p.Pick.Dia {
			p.Runners = append(p.Runners, c)
		}
	}
}

// owned says whether a drill is at hand, and names it as it stands in its set.
func owned(in Input, c *Candidate) bool {
	if in.Usual {
		return true
	}
	for _, s := range drill.Between(c.Dia-1e-9, c.Dia+1e-9, in.Sets...) {
		c.Name = s.Name
		return true
	}
	return false
}

// near lists the drills owned within reach of the wanted hole, best first.
func near(in Input, l thread.Limits, target float64) []Candidate {
	want, reach := in.Thread.Inches(holeFor(in, target)), float64(0.75*in.Thread.Inches(in.Thread.Pitch))
	var list []Candidate
	for _, s := range drill.Between(want-reach, want+reach, in.Sets...) {
		if n := len(list); n > 0 && list[n-1].Dia == s.Inches {
			continue // the same size under another name
		}
		list = append(list, judge(in, l, s))
	}
	slices.SortStableFunc(list, func(a, b Candidate) int {
		if a.Grade != b.Grade {
			return int(a.Grade) - int(b.Grade)
		}
		// A hole to be formed must be on size, so it is drilled to come out so.
		da, db := math.Abs(a.Likely-target), math.Abs(b.Likely-target)
		if in.Forming {
			da, db = math.Abs(a.Percent-target), math.Abs(b.Percent-target)
		}
		switch {
		case da < db-1e-9:
			return -1
		case da > db+1e-9:
			return 1
		case a.Dia > b.Dia:
			return -1
		}
		return 1
	})
	return shorten(list)
}

// shorten keeps the best six, and of those outside the limits only the two nearest, to show why
// they are unsuitable.
func shorten(list []Candidate) []Candidate {
	outside := 0
	for i, c := range list {
		if c.Grade == Outside {
			outside++
		}
		if i == 6 || outside > 2 {
			return list[:i]
		}
	}
	return list
}

func holeFor(in Input, percent float64) float64 {
	if in.Forming {
		return in.Thread.FormingHole(percent)
	}
	return in.Thread.HoleForPercent(percent)
}

// judge computes the hole a drill makes.
func judge(in Input, l thread.Limits, s drill.Size) Candidate {
	o, _ := drill.UsualOversize(s.Inches)
	c := Candidate{Name: s.Name, Dia: s.Inches, Low: s.Inches + o.Min, Mean: s.Inches + o.Mean, High: s.Inches + o.Max}
	c.Percent, c.Likely = percentOf(in, c.Dia), percentOf(in, c.Mean)
	if in.Forming {
		c.Grade = Formed
		return c
	}
	lo, hi := in.Thread.Inches(l.Minor.Min)-1e-9, in.Thread.Inches(l.Minor.Max)+1e-9
	holds := func(x float64) bool { return lo <= x && x <= hi }
	switch {
	case c.Dia < lo && holds(c.Mean):
		c.Grade = Under
	case holds(c.Low) && holds(c.High):
		c.Grade = Inside
	case holds(c.Mean):
		c.Grade = Likely
	case holds(c.Dia):
		c.Grade = Nominal
	case c.Dia > hi && c.Dia <= hi+overBy && ofTables(in.Thread, c.Dia):
		c.Grade = Over
	default:
		c.Grade = Outside
	}
	return c
}

// ofTables says whether the usual tables name a drill of this size for the thread.
func ofTables(t thread.Thread, dia float64) bool {
	name, _ := t.TapDrill()
	s, ok := drill.Lookup(name)
	return ok && math.Abs(s.Inches-dia) < 1e-7
}

func percentOf(in Input, hole float64) float64 {
	x := hole
	if in.Thread.System == thread.ISO {
		x = hole * 25.4
	}
	if in.Forming {
		return in.Thread.FormingPercent(x)
	}
	return in.Thread.PercentOfThread(x)
}

// bored is the result if no owned drill fits: a hole at six tenths of the minor diameter's
// tolerance, bored or reamed, without oversize.
func bored(in Input, l thread.Limits, target float64) Candidate {
	x := l.Minor.Min + float64(0.6*(l.Minor.Max-l.Minor.Min))
	if in.Forming {
		x = holeFor(in, target)
	}
	d := in.Thread.Inches(x)
	c := Candidate{Name: "bore or ream", Dia: d, Low: d, Mean: d, High: d, Bored: true, Grade: Inside}
	if in.Forming {
		c.Grade = Formed
	}
	c.Percent = percentOf(in, d)
	c.Likely = c.Percent
	return c
}

// nameOf finds the drill of a size; one without a name is told by its size.
func nameOf(inches float64) string {
	for _, s := range drill.Between(inches-1e-7, inches+1e-7) {
		return s.Name
	}
	return ""
}

// target is the usual percentage of thread for a metal: less in tough metals and deep holes, since
// torque rises steeply and strength hardly. Common practice, no published source; forming taps by
// Machinery's Handbook.
func target(in Input) float64 {
	switch {
	case in.Percent > 0:
		return in.Percent
	case in.Forming:
		return 65
	case in.Work == Stainless:
		return 60
	}
	return 75
}
