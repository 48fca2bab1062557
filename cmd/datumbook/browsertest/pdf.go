package browsertest

import (
	"bytes"
	"regexp"
	"strconv"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// PDF prints the page on the paper that it asks for.
func (b *Browser) PDF() []byte {
	b.t.Helper()
	return run(b, "print the page", chromedp.PrintToPDF(chromedp.PDFPrintBackground(), func(p *page.PrintToPDFParams) {
		p.PreferCSSPageSize = new(true)
	}))
}

var (
	pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)
	pdfBox  = regexp.MustCompile(`/MediaBox\s*\[\s*0\s+0\s+([0-9.]+)\s+([0-9.]+)\s*\]`)
)

// PDFPages gives the size of each page of a PDF file in points, 72 to the
// inch.
func PDFPages(pdf []byte) [][2]float64 {
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || len(pdfPage.FindAll(pdf, -1)) == 0 {
		return nil
	}
	var out [][2]float64
	for _, m := range pdfBox.FindAllSubmatch(pdf, -1) {
		wide, _ := strconv.ParseFloat(string(m[1]), 64)
		high, _ := strconv.ParseFloat(string(m[2]), 64)
		out = append(out, [2]float64{wide, high})
	}
	return out
}
