package peer

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
	"unicode"
)

// Fault is what an end answered in place of what was asked for.
type Fault struct {
	Status int // 0: no answer came, or none that a database gives
	Name   string
	Reason string
	Wait   time.Duration // when to try again, where it says
}

// Error gives the sentence.
func (f *Fault) Error() string {
	switch {
	case f.Status == 0:
		return f.Reason
	case f.Name == "":
		return fmt.Sprintf("it answers %d", f.Status)
	}
	return fmt.Sprintf("it answers %d %s: %s", f.Status, f.Name, f.Reason)
}

// blames reports whether a fault is of what was sent, and not of the end.
func blames(err error) bool {
	var f *Fault
	if !errors.As(err, &f) {
		return false
	}
	switch f.Status {
	case http.StatusBadRequest, http.StatusConflict, http.StatusPreconditionFailed,
		http.StatusRequestEntityTooLarge, http.StatusRequestURITooLong, http.StatusUnsupportedMediaType,
		http.StatusUnprocessableEntity, http.StatusRequestHeaderFieldsTooLarge:
		return true
	}
	return false
}

// doubtful reports whether a fault may be of what was sent: some ends break over a record, and a
// proxy before them says so in its own way.
func doubtful(err error) bool {
	var f *Fault
	if !errors.As(err, &f) {
		return false
	}
	switch f.Status {
	case 0, http.StatusInternalServerError, http.StatusBadGateway, http.StatusGatewayTimeout:
		return true
	}
	return false
}

func isStatus(err error, status int) bool {
	var f *Fault
	return errors.As(err, &f) && f.Status == status
}

const (
	stall      = time.Minute // that a connection may stand still; longer than a heartbeat
	heartbeat  = 10 * time.Second
	pollTime   = time.Minute // of an idle long poll
	maxAnswer  = 64 << 20    // of an answer held in memory
	faultBytes = 64 << 10
)

// end is a database at one end of a leg.
type end struct {
	name   string
	near   bool   // this office
	base   string // address, without a slash at its end
	auth   func(*http.Request)
	client *http.Client
}

// newEnd gives the end that a peer stands for.
func newEnd(p Peer) (*end, error) {
	roots, err := x509.SystemCertPool()
	if err != nil {
		roots = x509.NewCertPool()
	}
	if p.CA != "" && !roots.AppendCertsFromPEM([]byte(p.CA)) {
		return nil, CheckCA([]byte(p.CA))
	}
	dialer := net.Dialer{Timeout: 10 * time.Second}
	dial := func(ctx context.Context, network, address string) (net.Conn, error) {
		c, err := dialer.DialContext(ctx, network, address)
		if err != nil {
			return nil, err
		}
		return patient{c}, nil
	}
	e := &end{name: p.Name(), base: p.URL}
	e.client = clientOf(&http.Transport{
		Proxy:               http.ProxyFromEnvironment,
		DialContext:         dial,
		TLSClientConfig:     &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}},
		TLSHandshakeTimeout: 10 * time.Second,
		MaxIdleConnsPerHost: photosAtOnce + 2,
		IdleConnTimeout:     stall,
	})
	e.auth = func(r *http.Request) {
		switch {
		case p.User != "":
			r.SetBasicAuth(p.User, p.Secret)
		case p.Secret != "":
			r.Header.Set("Authorization", "Bearer "+p.Secret)
		}
	}
	return e, nil
}

// clientOf makes a client that follows no redirect: a secret goes nowhere else.
func clientOf(t *http.Transport) *http.Client {
	return &http.Client{Transport: t,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// patient is a connection that ends when it stands still.
type patient struct{ net.Conn }

func (c patient) Read(p []byte) (int, error) {
	if err := c.SetReadDeadline(time.Now().Add(stall)); err != nil {
		return 0, err
	}
	return c.Conn.Read(p)
}

// Write moves the deadline of reading too: one read waits for the answer all the while a request is
// sent, and has since the answer before it.
func (c patient) Write(p []byte) (int, error) {
	if err := c.SetDeadline(time.Now().Add(stall)); err != nil {
		return 0, err
	}
	return c.Conn.Write(p)
}

// do sends a request; every answer but 2xx is a Fault.
func (e *end) do(ctx context.Context, method, path string, body io.Reader, header http.Header) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, method, e.base+path, body)
	if err != nil {
		return nil, err
	}
	for k, v := range header {
		r.Header[k] = v
	}
	if r.Header.Get("Accept") == "" {
		r.Header.Set("Accept", "application/json")
	}
	if e.auth != nil {
		e.auth(r)
	}
	resp, err := e.client.Do(r)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, &Fault{Reason: "it cannot be reached: " + plainly(err)}
	}
	if resp.StatusCode/100 == 2 {
		return resp, nil
	}
	defer resp.Body.Close()
	return nil, faultOf(resp)
}

// plainly says why no answer came.
func plainly(err error) string {
	var u *url.Error
	if errors.As(err, &u) {
		err = u.Err // without the address, which is named where this is shown
	}
	var unknown x509.UnknownAuthorityError
	var name *net.DNSError
	var slow net.Error
	switch {
	case errors.As(err, &unknown):
		return "its certificate is signed by nobody this machine trusts: " +
			"add it with --ca and the file of whoever signed it"
	case errors.As(err, &name):
		return "the name is not known here: check the address, and the network"
	case errors.Is(err, syscall.ECONNREFUSED):
		return "nothing listens at that address: is it running?"
	case errors.Is(err, syscall.EHOSTUNREACH), errors.Is(err, syscall.ENETUNREACH):
		return "there is no way to it: check the network"
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, syscall.ECONNRESET), errors.Is(err, syscall.EPIPE):
		return "the connection broke off"
	case errors.As(err, &slow) && slow.Timeout():
		return "it does not answer in time"
	}
	return err.Error()
}

func faultOf(resp *http.Response) error {
	f := &Fault{Status: resp.StatusCode}
	text, _ := io.ReadAll(io.LimitReader(resp.Body, faultBytes))
	var said struct {
		Error  json.RawMessage
		Reason string
	}
	var other struct{ Message string } // of an office beside the protocol
	if json.Unmarshal(text, &said) == nil && json.Unmarshal(said.Error, &f.Name) == nil {
		f.Reason = said.Reason
	} else if json.Unmarshal(said.Error, &other) == nil {
		f.Name, f.Reason = "error", other.Message
	}
	f.Name, f.Reason = clean(f.Name), clean(f.Reason)
	if s, err := strconv.Atoi(resp.Header.Get("Retry-After")); err == nil && s > 0 {
		f.Wait = time.Duration(s) * time.Second
	}
	return f
}

// ask sends JSON, if in is not nil, and reads JSON.
func (e *end) ask(ctx context.Context, method, path string, in, out any) error {
	var body io.Reader
	header := http.Header{}
	if in != nil {
		text, err := json.Marshal(in)
		if err != nil {
			return err
		}
		body = bytes.NewReader(text)
		header.Set("Content-Type", "application/json")
	}
	resp, err := e.do(ctx, method, path, body, header)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	return decode(ctx, resp.Body, out)
}

// decode reads a whole answer. What is no JSON of the wanted form is no database's answer: success
// that a captive page claims must not count.
func decode(ctx context.Context, r io.Reader, out any) error {
	text, err := io.ReadAll(io.LimitReader(r, maxAnswer+1))
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return &Fault{Reason: "its answer broke off: " + plainly(err)}
	case len(text) > maxAnswer:
		return &Fault{Reason: "its answer does not end"}
	}
	if err := json.Unmarshal(text, out); err != nil {
		return garbage()
	}
	return nil
}

func garbage() *Fault {
	return &Fault{Name: noDatabase, Reason: "what answers there is not a database: check the address, and what stands between"}
}

// noDatabase is the name of the fault that an answer is, which no database gives.
const noDatabase = "no database"

// mostReason is how much of another's words is kept.
const mostReason = 300

// clean makes another's words fit for a line: short, and without characters that change a terminal.
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
	if len(text) > mostReason {
		text = strings.ToValidUTF8(text[:mostReason], "") + "..."
	}
	return text
}

// info is what a database says of itself.
type info struct {
	Name    string          `json:"db_name"`
	Seq     json.RawMessage `json:"update_seq"`
	Started string          `json:"instance_start_time"`
}

// identity names the history that an end has, as far as it can be told: a restored Datumbook has
// another uuid, a database that was made anew another start.
func (e *end) identity(ctx context.Context) (string, error) {
	var db info
	if err := e.ask(ctx, http.MethodGet, "/", nil, &db); err != nil {
		return "", err
	}
	if db.Name == "" || len(db.Seq) == 0 {
		return "", garbage()
	}
	at := strings.LastIndex(e.base, "/")
	var root struct {
		UUID   string
		Vendor struct{ Name string }
	}
	whole := *e
	whole.base = e.base[:at]
	err := whole.ask(ctx, http.MethodGet, "/", nil, &root)
	if err == nil && root.Vendor.Name == "Datumbook" && root.UUID != "" {
		return root.UUID + " " + db.Name, nil
	}
	if err != nil && !withoutRoot(err) {
		return "", err
	}
	return e.base + " " + db.Started, nil // each machine of a cluster may have a uuid of its own
}

// withoutRoot reports whether an end shows its databases only, as behind some proxies.
func withoutRoot(err error) bool {
	var f *Fault
	if !errors.As(err, &f) {
		return false
	}
	switch f.Status {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound, http.StatusMethodNotAllowed:
		return true
	}
	return f.Name == noDatabase
}

func isFault(err error) bool {
	var f *Fault
	return errors.As(err, &f)
}

// change is a row of _changes.
type change struct {
	ID      string `json:"id"`
	Changes []leaf `json:"changes"`
}

type leaf struct {
	Rev string `json:"rev"`
}

// page is what changed after a sequence. Sequences are opaque: numbers here, long strings elsewhere.
type page struct {
	Results []change        `json:"results"`
	Last    json.RawMessage `json:"last_seq"`
	Pending *int64          `json:"pending"`
}

// changes reads up to limit rows after since; with a wait it waits so long for one.
func (e *end) changes(ctx context.Context, since string, limit int, wait time.Duration) (page, error) {
	q := url.Values{"style": {"all_docs"}, "limit": {strconv.Itoa(limit)}, "since": {since}}
	waiting := ctx
	if wait > 0 {
		q.Set("feed", "longpoll")
		if wait < heartbeat {
			q.Set("timeout", strconv.Itoa(int(wait/time.Millisecond)))
			wait += stall
		} else {
			q.Set("heartbeat", strconv.Itoa(int(heartbeat/time.Millisecond)))
		}
		var stop context.CancelFunc
		waiting, stop = context.WithTimeout(ctx, wait)
		defer stop()
	}
	var p page
	err := e.ask(waiting, http.MethodGet, "/_changes?"+q.Encode(), nil, &p)
	if waiting.Err() != nil && ctx.Err() == nil {
		return page{}, nil // a poll with heartbeats need not end by itself
	}
	if err == nil && (!p.whole() || len(p.Last) == 0 || string(p.Last) == "null") {
		err = garbage()
	}
	return p, err
}

// whole reports whether rows say what they must: one that names no revision would be passed over.
func (p page) whole() bool {
	return p.Results != nil && !slices.ContainsFunc(p.Results, func(c change) bool {
		return c.ID == "" || len(c.Changes) == 0 || slices.ContainsFunc(c.Changes, func(r leaf) bool { return r.Rev == "" })
	})
}

// sequence gives a last_seq as it is put into a query: a number as it is, a string without quotes.
func sequence(raw json.RawMessage) string {
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return text
	}
	return string(raw)
}

// lacking is what one document has that an end has not.
type lacking struct {
	Missing   []string `json:"missing"`
	Ancestors []string `json:"possible_ancestors"`
}

func (e *end) revsDiff(ctx context.Context, revs map[string][]string) (map[string]lacking, error) {
	var out map[string]lacking
	err := e.ask(ctx, http.MethodPost, "/_revs_diff", revs, &out)
	if err == nil && out == nil {
		err = garbage()
	}
	for id, lack := range out {
		if len(lack.Missing) == 0 {
			delete(out, id)
		}
	}
	return out, err
}

// refusal is a row of _bulk_docs.
type refusal struct {
	ID     string `json:"id"`
	Error  string `json:"error"`
	Reason string `json:"reason"`
}

// final reports whether a refusal is of the record; other words may be of a moment.
func (r refusal) final() bool {
	switch r.Error {
	case "forbidden", "unauthorized", "bad_request", "doc_validation", "missing_stub", "too_large",
		"document_too_large", "attachment_too_large":
		return true
	}
	return false
}

func (r refusal) fault() *Fault {
	return &Fault{Status: http.StatusInternalServerError, Name: r.Error, Reason: r.Reason}
}

// take sends revisions and gives those that were refused.
func (e *end) take(ctx context.Context, docs []doc) ([]refusal, error) {
	var b bytes.Buffer
	b.WriteString(`{"new_edits":false,"docs":[`)
	for i, d := range docs {
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(d.text)
	}
	b.WriteString("]}")
	resp, err := e.do(ctx, http.MethodPost, "/_bulk_docs", &b, http.Header{"Content-Type": {"application/json"}})
	if err != nil {
		return nil, err
	}
	defer resp.Body.Close()
	var rows []refusal
	if err := decode(ctx, resp.Body, &rows); err != nil {
		return nil, err
	}
	if rows == nil {
		return nil, garbage()
	}
	bad := rows[:0]
	for _, row := range rows {
		if row.Error != "" {
			bad = append(bad, row)
		}
	}
	return bad, nil
}

// docPath is the address of a document below its database. Some ends read + as a blank.
func docPath(id string) string {
	coded := func(text string) string { return strings.ReplaceAll(url.PathEscape(text), "+", "%2B") }
	if name, ok := strings.CutPrefix(id, "_design/"); ok {
		return "/_design/" + coded(name)
	}
	return "/" + coded(id)
}
