package lan

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
)

// certificatePath is the address of the start page's one file.
const certificatePath = "/datumbook-shop.crt"

//go:embed startpage.html
var startText string

//go:embed startpage.css
var startStyle string

var startTemplate = template.Must(template.New("start").Parse(startText))

// StartPage is the page on plain HTTP that a phone opens first: what to do on
// each kind of phone, the certificate to install, its fingerprint to compare
// with the office screen; nothing else.
type StartPage struct {
	page   []byte
	cert   []byte
	policy string
}

// NewStartPage makes the page for an authority and the app's secure address; oldest names the oldest
// browsers that the app runs in.
func NewStartPage(a *Authority, app, oldest string) (*StartPage, error) {
	var b bytes.Buffer
	err := startTemplate.Execute(&b, struct {
		App, Oldest, Certificate, Fingerprint, Until string
		Style                                        template.CSS
	}{app, oldest, certificatePath, a.Fingerprint(), a.Until().Format("2 January 2006"), template.CSS(startStyle)})
	if err != nil {
		return nil, fmt.Errorf("make the start page: %w", err)
	}
	sum := sha256.Sum256([]byte(startStyle))
	return &StartPage{
		page: b.Bytes(),
		cert: a.Certificate(),
		policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
			"'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
	}, nil
}

// ServeHTTP answers with the page or the certificate.
func (p *StartPage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", p.policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
	var body []byte
	switch r.URL.Path {
	case "/":
		h.Set("Content-Type", "text/html; charset=utf-8")
		body = p.page
	case certificatePath:
		// The type that makes phones offer to install it.
		h.Set("Content-Type", "application/x-x509-ca-cert")
		h.Set("Content-Disposition", `attachment; filename="datumbook-shop.crt"`)
		body = p.cert
	default:
		p.plain(w, http.StatusNotFound, "there is nothing at this address; the start page is at /\n")
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		h.Del("Content-Disposition")
		h.Set("Allow", "GET, HEAD")
		p.plain(w, http.StatusMethodNotAllowed, "this address takes only GET and HEAD\n")
		return
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodGet {
		_, _ = w.Write(body) // the phone may have left
	}
}

func (p *StartPage) plain(w http.ResponseWriter, status int, says string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write([]byte(says))
}
