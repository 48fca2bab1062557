package main

import (
	"encoding/base64"
	"fmt"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// middle is a proxy before an office that can answer in its place, and counts what is asked.
type middle struct {
	*httptest.Server
	asked atomic.Int64
	// meddle answers itself and says so, or leaves it to the office.
	meddle atomic.Pointer[func(w http.ResponseWriter, r *http.Request) bool]
}

func standBetween(t testing.TB, office string) *middle {
	b := &middle{}
	to := &url.URL{Scheme: "http", Host: office}
	proxy := &httputil.ReverseProxy{
		FlushInterval: -1,                         // the office's signs of life during a long poll
		ErrorLog:      log.New(io.Discard, "", 0), // of requests that a phone has ended
		Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(to)
			if r.Out.Header.Get("Origin") != "" {
				r.Out.Header.Set("Origin", "http://"+office)
			}
		},
	}
	b.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/sync/") {
			b.asked.Add(1)
		}
		if do := b.meddle.Load(); do != nil && (*do)(w, r) {
			return
		}
		proxy.ServeHTTP(w, r)
	}))
	t.Cleanup(func() { b.CloseClientConnections(); b.Close() })
	return b
}

func (b *middle) with(do func(w http.ResponseWriter, r *http.Request) bool) { b.meddle.Store(&do) }

// TestDamagedPhoto: the office answers for one photo that it is damaged. Everything else comes to the
// phone and goes from it, the head tells of the one, and once the office has it again it comes too.
func TestDamagedPhoto(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	at := "http://" + office.Addr + "/sync/shop/_bulk_docs"
	var docs []string
	for i := range 30 {
		photo := base64.StdEncoding.EncodeToString([]byte(strings.Repeat(fmt.Sprint("photo ", i), 1000)))
		docs = append(docs, fmt.Sprintf(`{"_id":"photo:%02d","_rev":"1-%032x","_revisions":{"start":1,"ids":["%032x"]},
			"type":"photo","v":1,"f":{},"_attachments":{"image":{"content_type":"image/jpeg","data":%q}}}`, i, i, i, photo))
	}
	put := func(docs ...string) {
		body := `{"new_edits":false,"docs":[` + strings.Join(docs, ",") + `]}`
		resp, err := http.Post(at, "application/json", strings.NewReader(body))
		require.NoError(t, err)
		require.NoError(t, resp.Body.Close())
		require.Equal(t, http.StatusCreated, resp.StatusCode)
	}
	put(docs...)
	b := standBetween(t, office.Addr)
	b.with(func(w http.ResponseWriter, r *http.Request) bool {
		if !strings.HasPrefix(r.URL.Path, "/sync/shop/photo:07/") {
			return false
		}
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(http.StatusInternalServerError)
		_, _ = w.Write([]byte(`{"error":"damaged","reason":"the content is damaged on the disk"}`))
		return true
	})
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	phone.Go(b.URL + "/")
	words := `document.querySelector(".sync-words")?.textContent`
	phone.Wait("the head tells of it", words+` === "1 not here"`)
	red := `document.querySelector(".sync-trouble.red")?.textContent`
	phone.Wait("in red", red+`.includes("the content is damaged on the disk")`)
	headSays(t, phone, "trouble", "stuck")
	phone.WaitText("The office has this record, but could not give it to this device")

	put(`{"_id":"note:later","_rev":"1-aa","_revisions":{"start":1,"ids":["aa"]},"type":"note","v":1,"f":{}}`)
	phone.Wait("what comes later comes", stored+`.then(all => all.includes("note:later"))`)
	here := browsertest.Eval[[]string](phone, stored)
	assert.Len(t, here, 30, "all but one of 31")
	assert.NotContains(t, here, "photo:07")
	planHole(phone, b.URL, "Pump cover", "goes all the same")
	all := `fetch("/sync/shop/_all_docs").then(r => r.json())`
	phone.Wait("it and its job are at the office", all+`.then(all => all.rows.length === 33)`)

	phone.Go(b.URL + "/#/where")
	phone.WaitText("could not give it to this device")
	look(t, phone, "damaged-photo")
	b.with(func(http.ResponseWriter, *http.Request) bool { return false })
	phone.Tap(`.form-foot .go`)
	phone.AtOffice()
	headSays(t, phone, "office", "")
}
