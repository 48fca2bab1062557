package lan

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"regexp"
	"strconv"
	"strings"
	"testing"

	goqr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const qrText = "https://datumbook.local:8471/#pair=48219037"

// draw turns modules back into a picture that a reader can read.
func draw(side int, dark func(x, y int) bool) image.Image {
	const scale = 4
	img := image.NewGray(image.Rect(0, 0, side*scale, side*scale))
	for y := range side * scale {
		for x := range side * scale {
			c := color.White
			if dark(x/scale, y/scale) {
				c = color.Black
			}
			img.Set(x, y, c)
		}
	}
	return img
}

// Each way of showing the code is read back from what it shows.
func TestQRReadsBack(t *testing.T) {
	q, err := NewQR(qrText)
	require.NoError(t, err)
	side := q.size + 2*quiet
	t.Run("PNG", func(t *testing.T) {
		data, err := q.PNG(5)
		require.NoError(t, err)
		img, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		assert.Equal(t, side*5, img.Bounds().Dx())
		got, err := goqr.Decode(img)
		require.NoError(t, err)
		assert.Equal(t, qrText, got)
	})
	t.Run("terminal", func(t *testing.T) {
		lines := strings.Split(strings.TrimSuffix(q.Text(), "\n"), "\n")
		require.Len(t, lines, (side+1)/2)
		rows := make([][]rune, len(lines))
		for i, l := range lines {
			rows[i] = []rune(l)
			require.Len(t, rows[i], side)
		}
		got, err := goqr.Decode(draw(side, func(x, y int) bool {
			c := rows[y/2][x]
			return c == ' ' || c == '▄' && y%2 == 0 || c == '▀' && y%2 == 1
		}))
		require.NoError(t, err)
		assert.Equal(t, qrText, got)
	})
	t.Run("SVG", func(t *testing.T) {
		svg := string(q.SVG())
		assert.Contains(t, svg, fmt.Sprintf(`viewBox="0 0 %d %d"`, side, side))
		set := map[[2]int]bool{}
		for _, m := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`).FindAllStringSubmatch(svg, -1) {
			x, _ := strconv.Atoi(m[1])
			y, _ := strconv.Atoi(m[2])
			n, _ := strconv.Atoi(m[3])
			require.Equal(t, m[3], m[4])
			for i := range n {
				set[[2]int{x + i, y}] = true
			}
		}
		got, err := goqr.Decode(draw(side, func(x, y int) bool { return set[[2]int{x, y}] }))
		require.NoError(t, err)
		assert.Equal(t, qrText, got)
	})
}

// ISO/IEC 18004, 6.3: three finder patterns, timing patterns between them, and
// the format information, whose BCH(15,5) code must come out even.
func TestQRFollowsTheStandard(t *testing.T) {
	q, err := NewQR(qrText)
	require.NoError(t, err)
	assert.Zero(t, (q.size-17)%4, "size is 17 + 4 x version")
	for _, corner := range [][2]int{{0, 0}, {q.size - 7, 0}, {0, q.size - 7}} {
		for y := range 7 {
			for x := range 7 {
				ring := max(abs(x-3), abs(y-3))
				assert.Equal(t, ring != 2, q.at(corner[0]+x, corner[1]+y), "finder at %v, module %d,%d", corner, x, y)
			}
		}
	}
	for i := 8; i < q.size-8; i++ {
		assert.Equal(t, i%2 == 0, q.at(i, 6), "timing row, column %d", i)
		assert.Equal(t, i%2 == 0, q.at(6, i), "timing column, row %d", i)
	}
	// Format bits beside the upper left finder, most significant first.
	var bits uint
	read := func(x, y int) {
		bits <<= 1
		if q.at(x, y) {
			bits |= 1
		}
	}
	for x := range 6 {
		read(x, 8)
	}
	read(7, 8)
	read(8, 8)
	read(8, 7)
	for y := 5; y >= 0; y-- {
		read(8, y)
	}
	bits ^= 0b101010000010010 // the standard's mask
	const generator = 0b10100110111
	rest := bits
	for i := 14; i >= 10; i-- {
		if rest>>i&1 == 1 {
			rest ^= generator << (i - 10)
		}
	}
	assert.Zero(t, rest, "format information %015b is no code word", bits)
	assert.NotEqual(t, uint(0b01), bits>>13, "more than low correction: the library takes more where it costs no size")
}

func abs(n int) int { return max(n, -n) }

func TestQRRefusals(t *testing.T) {
	_, err := NewQR(strings.Repeat("x", 5000))
	assert.Error(t, err)
	q, err := NewQR("x")
	require.NoError(t, err)
	for _, scale := range []int{0, -1, 41} {
		_, err = q.PNG(scale)
		assert.Error(t, err)
	}
}
