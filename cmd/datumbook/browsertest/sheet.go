package browsertest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Sheet is a printed page as it comes out of the printer.
type Sheet struct {
	Text string
	// Ink is the share of the page that is not white; Edge how far it stays from the edges, in
	// millimetres.
	Ink, Edge float64
	// Pictures are the numbers that the file has for the photos on the page.
	Pictures []string
}

// sheetDots is how fine pages are drawn, in dots to the inch.
const sheetDots = 60

// Sheets draws the pages of a PDF file with poppler's tools, which 'task browser' installs.
func Sheets(t testing.TB, pdf []byte) []Sheet {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "print.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o644))
	tool := func(name string, args ...string) string {
		t.Helper()
		out, err := exec.CommandContext(t.Context(), name, args...).Output()
		require.NoError(t, err, "%s draws the printed pages: 'task browser' installs it", name)
		return string(out)
	}
	texts := strings.Split(tool("pdftotext", "-raw", file, "-"), "\f")
	tool("pdftoppm", "-gray", "-r", strconv.Itoa(sheetDots), file, filepath.Join(dir, "page"))
	files, err := filepath.Glob(filepath.Join(dir, "page-*.pgm"))
	require.NoError(t, err)
	sheets := make([]Sheet, len(files))
	for i, name := range files { // in order: the numbers in their names have noughts before them
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		sheets[i] = drawn(t, data)
		sheets[i].Text = strings.Join(strings.Fields(texts[i]), " ")
	}
	// The page, its number, its kind, and from the eleventh column on the object in the file.
	for _, line := range strings.Split(tool("pdfimages", "-list", file), "\n")[2:] {
		if f := strings.Fields(line); len(f) > 11 && f[2] == "image" {
			page, err := strconv.Atoi(f[0])
			require.NoError(t, err)
			sheets[page-1].Pictures = append(sheets[page-1].Pictures, f[10])
		}
	}
	return sheets
}

// drawn reads a grey picture: its head in words, then a byte for each dot.
func drawn(t testing.TB, data []byte) (s Sheet) {
	t.Helper()
	var wide, high, most int
	_, err := fmt.Fscanf(bytes.NewReader(data), "P5\n%d %d\n%d\n", &wide, &high, &most)
	require.NoError(t, err)
	dots := data[len(data)-wide*high:]
	edge, ink := wide, 0
	for i, dot := range dots {
		if dot > 235 {
			continue
		}
		ink++
		x, y := i%wide, i/wide
		edge = min(edge, x, y, wide-1-x, high-1-y)
	}
	s.Ink = float64(ink) / float64(wide*high)
	s.Edge = float64(edge) * 25.4 / sheetDots
	return s
}
