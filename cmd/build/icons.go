package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
)

// The icon is a section through a drilled and tapped hole hanging from a datum line: drawn once as
// polygons on a square of side 100, from which both the SVG and the PNGs are made.
type shape struct {
	fill   color.RGBA
	points [][2]float64
}

// Layout dye, bare metal, a hole and the datum, as in the app's tokens.css.
var (
	dyeRGB   = color.RGBA{0x1c, 0x3c, 0x94, 0xff}
	castRGB  = color.RGBA{0xd5, 0xda, 0xde, 0xff}
	holeRGB  = color.RGBA{0x10, 0x15, 0x1a, 0xff}
	datumRGB = color.RGBA{0xff, 0xe0, 0x8a, 0xff}
)

func drawing() []shape {
	shapes := []shape{
		{castRGB, [][2]float64{{14, 34}, {86, 34}, {86, 84}, {14, 84}}},
		// The drilled hole and its point, 118 degrees included: depth of the point is the radius
		// over tan 59.
		{holeRGB, [][2]float64{{38, 34}, {62, 34}, {62, 64}, {50, 64 + 12/math.Tan(59*math.Pi/180)}, {38, 64}}},
		{datumRGB, [][2]float64{{8, 28}, {92, 28}, {92, 34}, {8, 34}}},
		// The datum's triangle, standing on the line.
		{datumRGB, [][2]float64{{40, 14}, {60, 14}, {50, 29}}},
	}
	for y := 36.0; y < 58; y += 7 { // thread crests on both walls
		shapes = append(shapes,
			shape{holeRGB, [][2]float64{{38.2, y}, {33, y + 3}, {38.2, y + 6}}},
			shape{holeRGB, [][2]float64{{61.8, y}, {67, y + 3}, {61.8, y + 6}}})
	}
	return shapes
}

// round is a circle as a polygon.
func round(fill color.RGBA, x, y, radius float64) shape {
	s := shape{fill: fill}
	for i := range 60 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 30)
		s.points = append(s.points, [2]float64{x + radius*cos, y + radius*sin})
	}
	return s
}

// dial is an indicator with its needle off zero, glass a magnifying glass: what shortcuts show.
func dial() []shape {
	return []shape{
		{castRGB, [][2]float64{{45, 80}, {55, 80}, {55, 96}, {45, 96}}},
		round(castRGB, 50, 46, 38), round(dyeRGB, 50, 46, 30),
		{castRGB, [][2]float64{{48, 18}, {52, 18}, {52, 26}, {48, 26}}},
		{datumRGB, [][2]float64{{47, 47}, {66, 22}, {53, 49}}}, round(datumRGB, 50, 48, 5),
	}
}

func glass() []shape {
	return []shape{
		round(castRGB, 42, 42, 30), round(dyeRGB, 42, 42, 21),
		{castRGB, [][2]float64{{58, 65}, {65, 58}, {90, 83}, {83, 90}}},
	}
}

// icons makes every icon file. A maskable one keeps its drawing inside the circle that any
// launcher's shape leaves.
func icons() (map[string][]byte, error) {
	files := map[string][]byte{"icon.svg": svgIcon()}
	for _, icon := range []struct {
		name   string
		size   int
		scale  float64
		corner float64
		shapes []shape
	}{
		{"icon-180.png", 180, 0.92, 0, drawing()}, // the system rounds this one itself
		{"icon-192.png", 192, 0.92, 18, drawing()},
		{"icon-512.png", 512, 0.92, 18, drawing()},
		{"icon-maskable-512.png", 512, 0.72, 0, drawing()},
		{"read-96.png", 96, 0.8, 18, dial()},
		{"hole-96.png", 96, 0.8, 18, drawing()},
		{"find-96.png", 96, 0.8, 18, glass()},
	} {
		var body bytes.Buffer
		encoder := png.Encoder{CompressionLevel: png.BestCompression}
		if err := encoder.Encode(&body, paint(icon.shapes, icon.size, icon.scale, icon.corner)); err != nil {
			return nil, err
		}
		files[icon.name] = body.Bytes()
	}
	return files, nil
}

func svgIcon() []byte {
	var svg strings.Builder
	fmt.Fprintf(&svg, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect width="100" height="100" rx="18" fill="%s"/>`, hexOf(dyeRGB))
	svg.WriteString(`<g transform="translate(4 4) scale(.92)">`)
	for _, s := range drawing() {
		var points []string
		for _, p := range s.points {
			points = append(points, fmt.Sprintf("%.4g,%.4g", p[0], p[1]))
		}
		fmt.Fprintf(&svg, `<path d="M%sz" fill="%s"/>`, strings.Join(points, " "), hexOf(s.fill))
	}
	svg.WriteString("</g></svg>\n")
	return []byte(svg.String())
}

func hexOf(c color.RGBA) string {
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

// paint fills the polygons on a square of size pixels. A pixel whose corners and centre agree has
// their colour; any other is the mean of 4 x 4 points, which is finer than any shape here.
func paint(shapes []shape, size int, scale, corner float64) image.Image {
	img := image.NewNRGBA(image.Rect(0, 0, size, size))
	unit := 100 / float64(size)
	at := func(x, y float64) color.RGBA {
		x, y = x*unit, y*unit
		if !insideRounded(x, y, corner) {
			return color.RGBA{}
		}
		c := dyeRGB
		dx, dy := (x-50)/scale+50, (y-50)/scale+50
		for _, s := range shapes {
			if inside(s.points, dx, dy) {
				c = s.fill
			}
		}
		return c
	}
	row := func(y int) []color.RGBA {
		corners := make([]color.RGBA, size+1)
		for x := range corners {
			corners[x] = at(float64(x), float64(y))
		}
		return corners
	}
	above := row(0)
	for y := range size {
		below := row(y + 1)
		for x := range size {
			c := at(float64(x)+0.5, float64(y)+0.5)
			if above[x] != c || above[x+1] != c || below[x] != c || below[x+1] != c {
				img.SetNRGBA(x, y, mean(at, x, y))
			} else {
				img.SetNRGBA(x, y, color.NRGBA(c))
			}
		}
		above = below
	}
	return img
}

// mean averages a pixel over 4 x 4 points, those outside the icon as transparent.
func mean(at func(x, y float64) color.RGBA, x, y int) color.NRGBA {
	const fine = 4
	var r, g, b, n float64
	for i := range fine * fine {
		c := at(float64(x)+(float64(i%fine)+0.5)/fine, float64(y)+(float64(i/fine)+0.5)/fine)
		if c.A > 0 {
			r, g, b, n = r+float64(c.R), g+float64(c.G), b+float64(c.B), n+1
		}
	}
	if n == 0 {
		return color.NRGBA{}
	}
	return color.NRGBA{uint8(r/n + 0.5), uint8(g/n + 0.5), uint8(b/n + 0.5), uint8(255*n/(fine*fine) + 0.5)}
}

// insideRounded says whether a point lies in the square of side 100 with corners of that radius.
func insideRounded(x, y, radius float64) bool {
	dx := math.Max(math.Max(radius-x, x-(100-radius)), 0)
	dy := math.Max(math.Max(radius-y, y-(100-radius)), 0)
	return dx*dx+dy*dy <= radius*radius || dx == 0 || dy == 0
}

// inside counts the edges that a ray to the right crosses.
func inside(points [][2]float64, x, y float64) bool {
	in := false
	for i, p := range points {
		q := points[(i+1)%len(points)]
		if (p[1] > y) != (q[1] > y) && x < p[0]+(y-p[1])*(q[0]-p[0])/(q[1]-p[1]) {
			in = !in
		}
	}
	return in
}
