package lan

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"strings"

	goqr "github.com/piglig/go-qr"
)

// QR is a QR code (ISO/IEC 18004, model 2) that can be shown on a terminal, on
// a page and on paper.
type QR struct {
	size int
	dark [][]bool // [row][column]
}

// quiet is the width of the light border that the standard asks for, in modules.
const quiet = 4

// NewQR makes the code for a text. Medium correction (15 %) is enough for a screen and for smudged
// paper.
func NewQR(text string) (*QR, error) {
	code, err := goqr.EncodeText(text, goqr.Medium)
	if err != nil {
		return nil, fmt.Errorf("make a QR code: %w", err)
	}
	q := &QR{size: code.Size()}
	for y := range q.size {
		row := make([]bool, q.size)
		for x := range row {
			row[x] = code.Module(x, y)
		}
		q.dark = append(q.dark, row)
	}
	return q, nil
}

// at reports whether a module is dark; outside the code all is light.
func (q *QR) at(x, y int) bool {
	return y >= 0 && y < q.size && x >= 0 && x < q.size && q.dark[y][x]
}

// Text gives the code for a terminal, two rows of modules to a line. Light modules are printed as
// blocks, for light text on a dark background.
func (q *QR) Text() string {
	var b strings.Builder
	for y := -quiet; y < q.size+quiet; y += 2 {
		for x := -quiet; x < q.size+quiet; x++ {
			// Below the last row nothing is printed: it counts as dark.
			up, down := q.at(x, y), q.at(x, y+1) || y+1 >= q.size+quiet
			switch {
			case !up && !down:
				b.WriteRune('█')
			case !up:
				b.WriteRune('▀')
			case !down:
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// SVG returns the code as a scalable drawing; one unit is one module.
func (q *QR) SVG() []byte {
	var b bytes.Buffer
	side := q.size + 2*quiet
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges">`, side, side)
	fmt.Fprintf(&b, `<path fill="#fff" d="M0 0h%dv%dH0z"/><path d="`, side, side)
	for y := range q.size {
		for x := 0; x < q.size; x++ {
			if !q.at(x, y) {
				continue
			}
			n := 1
			for q.at(x+n, y) {
				n++
			}
			fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", x+quiet, y+quiet, n, n)
			x += n
		}
	}
	b.WriteString(`"/></svg>`)
	return b.Bytes()
}

// PNG returns the code as a picture with scale pixels to a module.
func (q *QR) PNG(scale int) ([]byte, error) {
	if scale < 1 || scale > 40 {
		return nil, fmt.Errorf("QR code scale %d is not between 1 and 40 pixels a module", scale)
	}
	side := (q.size + 2*quiet) * scale
	img := image.NewPaletted(image.Rect(0, 0, side, side), color.Palette{color.White, color.Black})
	for y := range side {
		for x := range side {
			if q.at(x/scale-quiet, y/scale-quiet) {
				img.SetColorIndex(x, y, 1)
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, fmt.Errorf("draw the QR code: %w", err)
	}
	return b.Bytes(), nil
}
