package lan

import (
	"crypto/x509"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStartPage(t *testing.T) {
	a, err := OpenAuthority(options(t.TempDir(), newClock(), "192.168.1.20"))
	require.NoError(t, err)
	p, err := NewStartPage(a, "https://datumbook.local:8471", "Chrome 109, iOS 16.4")
	require.NoError(t, err)
	get := func(method, path string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		p.ServeHTTP(w, httptest.NewRequest(method, path, nil))
		return w
	}
	page := get("GET", "/")
	assert.Equal(t, 200, page.Code)
	body := page.Body.String()
	assert.Contains(t, body, a.Fingerprint())
	assert.Contains(t, body, `href="https://datumbook.local:8471"`)
	assert.Contains(t, body, "Chrome 109, iOS 16.4", "whether the phone is new enough is told before anything is installed")
	assert.Contains(t, body, "iPhone and iPad")
	assert.Contains(t, body, "Android")

	// Nothing but the page, the certificate and the app: every link leads to one of them.
	for _, m := range regexp.MustCompile(`(?:href|src)="([^"]*)"`).FindAllStringSubmatch(body, -1) {
		assert.Contains(t, []string{certificatePath, "https://datumbook.local:8471"}, m[1])
	}
	assert.NotContains(t, strings.ToLower(body), "<script")
	assert.Contains(t, page.Header().Get("Content-Security-Policy"), "default-src 'none'")
	// The policy lets exactly this style through.
	style := body[strings.Index(body, "<style>")+len("<style>") : strings.Index(body, "</style>")]
	assert.Equal(t, startStyle, style)

	cert := get("GET", certificatePath)
	assert.Equal(t, "application/x-x509-ca-cert", cert.Header().Get("Content-Type"))
	parsed, err := x509.ParseCertificate(cert.Body.Bytes())
	require.NoError(t, err)
	assert.Equal(t, a.Certificate(), parsed.Raw)

	assert.Empty(t, get("HEAD", certificatePath).Body.Bytes())
	for _, path := range []string{"/sync/", "/api/calc", "/authority.pem", "/index.html", "//", "/../authority.pem", "/metrics"} {
		assert.Equal(t, http.StatusNotFound, get("GET", path).Code, path)
	}
	assert.Equal(t, http.StatusMethodNotAllowed, get("POST", "/").Code)
}
