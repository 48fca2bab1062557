package fits

import "datumbook/calc/worksheet"

// Pair is a hole and its shaft, or one of the two. Lengths are in inches.
type Pair struct {
	Basic              float64
	Name               string // "H7/g6", "RC4"
	Says               string // what the class is for, "" for ISO
	HasHole, HasShaft  bool
	HoleMin, HoleMax   float64
	ShaftMin, ShaftMax float64
	Inch               bool       // of ANSI B4.1
	FromMemory         bool       // rows not looked up
	HoleDev, ShaftDev  [2]float64 // lower, upper; from the basic size
	Tightest, Loosest  float64    // hole less shaft; less than 0 is squeeze
}

// Kind is "clearance", "transition" or "interference", "" for a single part.
func (p Pair) Kind() string {
	switch {
	case !p.HasHole || !p.HasShaft:
		return ""
	case p.Tightest > -1e-9:
		return "clearance"
	case p.Loosest < 1e-9:
		return "interference"
	}
	return "transition"
}

// Limits gives the limits of size of a fit. The class is one of ISO 286 for a
// hole, a shaft or both, "H7", "g6", "H7/g6", or one of ANSI B4.1, "RC4". The
// size is in inches, above 0 to 500 mm (ISO) or 19.69 in (B4.1). The fault names
// the field: size or fit.
func Limits(class string, size float64) (Pair, *worksheet.InputError) {
	hole, shaft, inch, f := splitFit(class)
	if f != nil {
		return Pair{}, f
	}
	p := Pair{Basic: size}
	if inch != "" {
		c, h, low, high, found, ok := inchFit(inch, size)
		if !found {
			return p, worksheet.Refuse("fit", "ANSI B4.1 has no class "+inch+" here. The classes are RC1 to RC9, LC1 to LC8, LT1 to LT6, LN1 to LN3 and FN1 to FN5.")
		}
		if !ok {
			return p, worksheet.Refuse("size", "class "+inch+" is not tabled at this size. Choose another class, or an ISO fit such as H7/g6.")
		}
		p.Name, p.Says, p.Inch, p.FromMemory = inch, c.says, true, c.unread(size)
		p.setHole(0, h)
		p.setShaft(low, high)
		return p.closed(), nil
	}
	mm := size * mmPerInch
	if mm > 500+1e-9 {
		return p, worksheet.Refuse("size", "the tables of ISO 286 here go to 500 mm. Choose an ANSI B4.1 class or a smaller size.")
	}
	mm = min(mm, 500)
	const um = 1 / (1000 * mmPerInch)
	if hole != "" {
		letter, grade := splitClass(hole)
		lo, hi, ok := HoleZone(letter, grade, mm)
		if !ok {
			return p, worksheet.Refuse("fit", "ISO 286 has no hole class "+hole+" at this size. H7, H8 and H11 are the usual ones.")
		}
		p.Name = hole
		p.setHole(float64(lo*um), float64(hi*um))
	}
	if shaft != "" {
		letter, grade := splitClass(shaft)
		lo, hi, ok := ShaftZone(letter, grade, mm)
		if !ok {
			return p, worksheet.Refuse("fit", "ISO 286 has no shaft class "+shaft+" at this size. g6, h6, k6 and p6 are the usual ones.")
		}
		if p.Name != "" {
			p.Name += "/"
		}
		p.Name += shaft
		p.setShaft(float64(lo*um), float64(hi*um))
	}
	return p.closed(), nil
}

func (p *Pair) setHole(lo, hi float64) {
	p.HasHole, p.HoleDev = true, [2]float64{lo, hi}
	p.HoleMin, p.HoleMax = p.Basic+lo, p.Basic+hi
}

func (p *Pair) setShaft(lo, hi float64) {
	p.HasShaft, p.ShaftDev = true, [2]float64{lo, hi}
	p.ShaftMin, p.ShaftMax = p.Basic+lo, p.Basic+hi
}

func (p Pair) closed() Pair {
	if p.HasHole && p.HasShaft {
		p.Tightest, p.Loosest = p.HoleDev[0]-p.ShaftDev[1], p.HoleDev[1]-p.ShaftDev[0]
	}
	return p
}

// splitFit splits a fit: an ISO hole and shaft, or a class of B4.1.
func splitFit(text string) (hole, shaft, inch string, f *worksheet.InputError) {
	bad := worksheet.Refuse("fit", "'"+clip(text)+"' is not a fit this can read. Type it like H7/g6, H7, g6 or RC4.")
	for _, part := range parts(text) {
		up := raised(part)
		letter, grade := splitClass(part)
		switch {
		case grade < 0:
			return "", "", "", bad
		case len(up) == 3 && (up[:2] == "RC" || up[:2] == "LC" || up[:2] == "LT" || up[:2] == "LN" || up[:2] == "FN"):
			if inch != "" || hole != "" || shaft != "" {
				return "", "", "", bad
			}
			inch = up
		case letter == raised(letter) && hole == "" && inch == "":
			hole = part
		case letter == lowered(letter) && shaft == "" && inch == "":
			shaft = part
		default:
			return "", "", "", bad
		}
	}
	if hole == "" && shaft == "" && inch == "" {
		return "", "", "", bad
	}
	return hole, shaft, inch, nil
}

// splitClass parts "js6" into "js" and 6; the grade is -1 where it is no class.
func splitClass(s string) (string, int) {
	i := 0
	for i < len(s) && s[i]|0x20 >= 'a' && s[i]|0x20 <= 'z' {
		i++
	}
	n, ok := number(s[i:])
	if i == 0 || i > 2 || !ok {
		return "", -1
	}
	return s[:i], n
}

// parts splits a text at slashes, dashes and spaces.
func parts(s string) []string {
	var out []string
	start := 0
	for i := 0; i <= len(s); i++ {
		if i == len(s) || s[i] == '/' || s[i] == ' ' || s[i] == '-' {
			if i > start {
				out = append(out, s[start:i])
			}
			start = i + 1
		}
	}
	return out
}

func raised(s string) string {
	b := []byte(s)
	for i, c := range b {
		if 'a' <= c && c <= 'z' {
			b[i] = c - 'a' + 'A'
		}
	}
	return string(b)
}
