package cut

import "math"

// Milling is a milling cut: inches, in/min, rpm.
type Milling struct {
	Depth, Width float64 // of cut
	Feed         float64 // table feed, in/min
	Cutter       float64 // diameter
	Teeth        float64
	RPM          float64
	Offset       float64 // middle of the cut left of the cutter's middle, facing the way it goes
}

// Removal gives the metal removed in in3/min: Q = ap ae vf.
func (c Milling) Removal() float64 { return float64(c.Depth*c.Width) * c.Feed }

// PerTooth gives the feed per tooth in inches: fz = vf/(z n).
func (c Milling) PerTooth() float64 { return c.Feed / float64(c.Teeth*c.RPM) }

// Engaged gives how many teeth cut at once in the mean: z arc/(2 pi).
func (c Milling) Engaged() float64 {
	enters, leaves := c.Arc()
	return c.Teeth * (leaves - enters) / (2 * math.Pi)
}

// feedFactors: C by feed per tooth or turn, in. Machinery's Handbook, 31st ed.,
// feed factors, from memory of that table.
var feedFactors = [...][2]float64{{.001, 1.60}, {.002, 1.40}, {.003, 1.30}, {.004, 1.25}, {.005, 1.19}, {.006, 1.15}, {.008, 1.08},
	{.010, 1.04}, {.012, 1.00}, {.015, .96}, {.020, .90}, {.025, .86}, {.030, .83}}

// FeedFactor returns C for a feed in inches, linear between the table's feeds and constant beyond
// them.
func FeedFactor(feed float64) float64 {
	last := feedFactors[0]
	if feed <= last[0] {
		return last[1]
	}
	for _, f := range feedFactors[1:] {
		if feed <= f[0] {
			return last[1] + float64((feed-last[0])/(f[0]-last[0])*(f[1]-last[1]))
		}
		last = f
	}
	return last[1]
}

// hpPerKc turns a specific cutting force in N/mm2 into hp per in3/min: 1 N/mm2
// is 1 J/cm3; 16.387064 cm3/in3, 60 s/min, 745.6999 W/hp.
const hpPerKc = 16.387064 / 60 / 745.69987158227022

// PowerConstant gives Kp in hp per in3/min at a Brinell hardness; inside says
// whether the table reaches it. A metal without power constants gets its
// specific cutting force at the feed.
func (m Material) PowerConstant(hb, perTooth float64) (kp float64, inside bool) {
	if len(m.Kp) == 0 {
		return m.Specific(perTooth) * hpPerKc, true
	}
	return lookup(m.Kp, hb)
}

// Specific gives the specific cutting force in milling, N/mm2, at a feed per tooth in inches,
// linear between the table's feeds and constant beyond them; 0 where there is none.
func (m Material) Specific(perTooth float64) float64 {
	f := float64(perTooth * 25.4)
	if f <= kcFeeds[0] {
		return m.Kc[0]
	}
	for i := 1; i < len(kcFeeds); i++ {
		if f <= kcFeeds[i] {
			share := (f - kcFeeds[i-1]) / (kcFeeds[i] - kcFeeds[i-1])
			return m.Kc[i-1] + float64(share*(m.Kc[i]-m.Kc[i-1]))
		}
	}
	return m.Kc[len(m.Kc)-1]
}

// PowerAtCutter gives hp at the cutter: Pc = Kp C Q W (Machinery's Handbook,
// estimating machining power).
func PowerAtCutter(kp, c, q, w float64) float64 { return float64(kp*c) * float64(q*w) }

// Tangential gives the mean force along the cutter's rim in lbf: Ft = 33000 Pc/V.
func Tangential(hp, v float64) float64 { return 33000 * hp / v }

// SpindleTorque gives lbf-in: M = 63025 Pc/n (Machinery's Handbook).
func SpindleTorque(hp, rpm float64) float64 { return 63025 * hp / rpm }

// Drilling is a drilling cut: inches, rpm.
type Drilling struct {
	D, Feed, RPM float64
	Kd           float64
	Split        bool    // split point, chisel edge 0.03 of the diameter
	Piloted      bool    // a pilot hole takes the chisel edge
	Wear         float64 // W
}

// chisel edge factors A, B, J (Machinery's Handbook, 31st ed., p. 1152, table 7)
// for a standard point, c/d 0.18, and a split point, c/d 0.03.
func (d Drilling) chisel() (a, b, j float64) {
	a, b, j = 1.085, 1.355, .030
	if d.Split {
		a, b, j = 1.000, 1.100, .001
	}
	if d.Piloted {
		j = 0
	}
	return a, b, j
}

// root5 is the fifth root of a positive number, by Newton's method from the fourth root: the same
// digits on every machine, unlike Exp and Log.
func root5(x float64) float64 {
	y := math.Sqrt(math.Sqrt(x))
	for range 40 {
		y2 := y * y
		y = (float64(4*y) + x/float64(y2*y2)) / 5
	}
	return y
}

// pow8 is x^0.8: the fifth root of x to the fourth.
func pow8(x float64) float64 {
	r := root5(x)
	r *= r
	return r * r
}

// pow85 is x^0.85 = x^(17/20).
func pow85(x float64) float64 {
	r := root5(math.Sqrt(math.Sqrt(x))) // x^(1/20)
	p := r
	for range 4 {
		p *= p
	}
	return p * r
}

// Factors gives Ff = f^0.8, FT = D^0.8 and FM = D^1.8, which are the handbook's
// tables 8 and 9.
func Factors(f, d float64) (ff, ft, fm float64) {
	ft = pow8(d)
	return pow8(f), ft, ft * d
}

// Thrust gives lbf: T = 2 Kd Ff FT B W + Kd D^2 J W (p. 1152, inch units).
func (d Drilling) Thrust() float64 {
	_, b, j := d.chisel()
	ff, ft, _ := Factors(d.Feed, d.D)
	return d.Kd * d.Wear * (float64(2*ff*ft*b) + float64(d.D*d.D*j))
}

// Torque gives lbf-in: M = Kd Ff FM A W (p. 1152, inch units).
func (d Drilling) Torque() float64 {
	a, _, _ := d.chisel()
	ff, _, fm := Factors(d.Feed, d.D)
	return d.Kd * d.Wear * float64(ff*fm) * a
}

// Power gives hp at the drill: Pc = M N/63025.
func (d Drilling) Power() float64 { return d.Torque() * d.RPM / 63025 }

// makerK: material constants of a drill maker's technical pages.
var makerK = [...]struct {
	key string
	k   float64
}{{"greysoft", 1.00}, {"grey", 1.39}, {"greyhard", 1.88}, {"aluminium", 1.01}, {"mild", 2.22}, {"free", 1.42}, {"alloy", 2.41}}

// Maker gives thrust in lbf and torque in lbf-in a second way, by a drill maker's technical pages,
// sharp: T = 570 K D f^0.85 (N), M = K D^2 (0.630 + 16.84 f)/100 (N.m), mm. ok is false for
// unlisted metals.
func Maker(key string, d, feed float64) (thrust, torque float64, ok bool) {
	for _, m := range makerK {
		if m.key == key {
			dm, f := d*25.4, feed*25.4
			n := 570 * m.k * dm * pow85(f)
			t := m.k * float64(dm*dm) * (.630 + float64(16.84*f)) / 100
			return n / 4.4482216152605, t / .1129848290276167, true
		}
	}
	return 0, 0, false
}

// TapTorque gives the torque of a cutting tap in N.m, from millimetres and
// N/mm2: tan 30 kc K (D - Do)^2 (D + 2 Do)/24000 (a tap maker's technical
// pages): the area of the thread's triangle at the radius of its middle.
func TapTorque(d, hole, kc, k float64) float64 {
	const tan30 = .57735026918962576
	h := d - hole
	return float64(tan30*kc) * k * float64(h*h) * (d + float64(2*hole)) / 24000
}
