package hold

import (
	"strings"

	"datumbook/calc/joint"
	"datumbook/calc/worksheet"
)

// finishSays are the finishes as a headline says them.
var finishSays = [...][2]string{{"oiled", "threads oiled"}, {"dry", "threads dry"}, {"zinc", "zinc plated"},
	{"black", "black and dry"}, {"cadmium", "cadmium plated"}, {"antiseize", "anti-seize"}}

// changeSays are the ways out of changes in a few words.
var changeSays = [len(changes)]string{"bottoming tap", "run the stud down", "deeper hole", "thick plate washer",
	"stronger studs"}

// headline says first what the nut is pulled to, or what gives before that.
func (g *tightened) headline(v *worksheet.Values, o *worksheet.Out) {
	g.headStop(v, o)
	in, r := &g.In, &g.R
	nut := []string{g.asTyped, ""}
	switch {
	case g.unsaid():
		o.Head("Nut {s}: hole not checked", nut)
		common := joint.Common(in.Thread, in.Bolt.Su)
		if r.Preload.Max > common || r.Weakest.Part == joint.TheCommonHole {
			o.Fact("▲ a short hole bears {+wrench lbf-in}", nil, g.takes(common))
		}
	case r.Soft != nil:
		o.Head("Nut {s}: it may bed in", nut)
		o.Fact("▲ beds in above {+wrench lbf-in}", nil, g.takes(r.Soft.Bears))
	default:
		for _, f := range finishSays {
			if f[0] == v.Choice("finish") {
				nut[1] = f[1]
			}
		}
		o.Head("Nut {s}", nut)
		o.Head("Nut {s}, {s}", nut)
	}
	o.Fact("pulls about {+pull lbf}", nil, r.Preload.Aim)
	o.Fact("{=grip lbf} to {=push lbf}", nil, r.Preload.Min, r.Preload.Max)
	if in.Tapped() {
		o.Fact("thread holds", nil)
	}
}

// takes is the torque at which the tension may come to a load, scatter and all.
func (g *tightened) takes(load float64) float64 {
	return g.In.Bolt.Torque(load/(1+g.In.Scatter), g.In.K)
}

// headStop says first what gives, in the order sayJoint refuses it, and what would bear it.
func (g *tightened) headStop(v *worksheet.Values, o *worksheet.Out) {
	in, r := &g.In, &g.R
	stop := func(head, way string, s ...string) {
		o.HeadStop(head, s)
		o.FactStop(way, nil)
	}
	switch {
	case in.Tapped() && r.Usable.Engaged <= 0:
		g.noThread(o)
	case in.Seat.Opening != joint.NoSeat && r.Bearing.Area <= 0:
		stop("The nut falls into its {s}", "wider washer", worksheet.Either(in.Seat.Opening == joint.Round, "hole",
			"slot"))
	case r.Bearing.Little:
		stop("The nut bears on too little", "thick washer over it")
		g.bearsOn(o)
	case r.Most <= 0 && in.Wrench(r.Cap) > 0:
		stop("Under the wrench's first mark", "ask for more, or a finer wrench")
	case r.Most <= 0:
		stop("No torque is safe", "")
		g.shortWays(o)
		o.FactStop("{s} bears {+grip lbf}", []string{r.Weakest.Part.String()}, r.Weakest.Bears)
	case r.Over != nil && v.Has("tension"):
		o.HeadStop("Too tight: {+grip lbf} at most", nil, in.Bolt.Tension(r.Cap, in.K))
		g.overHead(o)
	case r.Over != nil:
		g.overHead(o)
	}
}

// overHead says what a torque typed overloads.
func (g *tightened) overHead(o *worksheet.Out) {
	r, at := &g.R, g.takes(g.R.Over.Bears)
	typed, _, _ := strings.Cut(g.asTyped, " ")
	what := "Strips the plate"
	switch r.Over.Part {
	case joint.TheNut:
		what = "Strips the nut"
	case joint.TheStudThread:
		what = "Strips the stud"
	case joint.TheStud:
		what = "Stretches the stud"
		o.HeadStop("Too tight: {s} stretches the stud", []string{typed})
		o.FactStop("{+wrench lbf-in} at most", nil, r.Most)
	}
	o.HeadStop("{s} above {+wrench lbf-in}", []string{what}, at)
	o.HeadStop("{s}", []string{what})
	if r.Over.Part != joint.TheStud {
		g.shortWays(o)
	}
	o.FactStop("may pull to {+push lbf}", nil, r.Preload.Max)
	o.FactStop("bears {+grip lbf}", nil, r.Over.Bears)
	if g.In.Tapped() {
		o.FactStop("{=thread in} of thread", nil, r.Usable.Engaged)
	}
}

// shortWays says in a few words what would let the joint bear it, each reckoned.
func (g *tightened) shortWays(o *worksheet.Out) {
	for i, c := range changes {
		in := g.In
		if c(o, &in) == "" {
			continue
		}
		if r, f := in.Make(); f == nil && !r.None() && r.Over == nil {
			o.FactStop("{s}", changeSays[i:i+1])
			return
		}
	}
}
