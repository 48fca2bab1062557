package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"datumbook/server/pairing"
)

// office speaks to the server of this machine that has the store open.
type office struct {
	url    string
	token  string
	client *http.Client
}

// findOffice gives the running server of a data folder; ok is false where none
// answers, and the store can then be opened directly.
func findOffice(ctx context.Context, data string) (*office, bool) {
	at, ok := readServing(data)
	if !ok {
		return nil, false
	}
	roots, err := x509.SystemCertPool()
	if err != nil {
		roots = x509.NewCertPool()
	}
	if own, err := os.ReadFile(filepath.Join(data, "authority.pem")); err == nil {
		roots.AppendCertsFromPEM(own)
	}
	o := &office{url: at.URL, client: &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots, ServerName: at.Name, MinVersion: tls.VersionTLS12}}}}
	o.token, _ = pairing.ReadLocalToken(data) // not needed where only this machine has access
	ctx, stop := context.WithTimeout(ctx, 5*time.Second)
	defer stop()
	if err := o.call(ctx, http.MethodGet, "/healthz", nil, io.Discard); err != nil {
		return nil, false
	}
	return o, true
}

// call asks the office and copies the answer's body.
func (o *office) call(ctx context.Context, method, path string, in any, out io.Writer) error {
	var body io.Reader
	if in != nil {
		text, err := json.Marshal(in)
		if err != nil {
			return err
		}
		body = bytes.NewReader(text)
	}
	req, err := http.NewRequestWithContext(ctx, method, o.url+path, body)
	if err != nil {
		return err
	}
	if in != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	if o.token != "" {
		req.Header.Set("Authorization", "Bearer "+o.token)
	}
	resp, err := o.client.Do(req)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	if resp.StatusCode >= http.StatusBadRequest {
		var fault struct{ Error struct{ Message string } }
		text, _ := io.ReadAll(io.LimitReader(resp.Body, 64<<10))
		if json.Unmarshal(text, &fault) == nil && fault.Error.Message != "" {
			return fmt.Errorf("the office refuses: %s", fault.Error.Message)
		}
		return fmt.Errorf("the office answers %s", resp.Status)
	}
	_, err = io.Copy(out, resp.Body)
	return err
}

// get asks the office for JSON.
func (o *office) get(ctx context.Context, path string, into any) error {
	return o.json(ctx, http.MethodGet, path, nil, into)
}

// post sends JSON to the office and reads its answer.
func (o *office) post(ctx context.Context, path string, in, into any) error {
	return o.json(ctx, http.MethodPost, path, in, into)
}

func (o *office) json(ctx context.Context, method, path string, in, into any) error {
	var b bytes.Buffer
	if err := o.call(ctx, method, path, in, &b); err != nil {
		return err
	}
	return json.Unmarshal(b.Bytes(), into)
}
