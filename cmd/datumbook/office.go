package main

import (
	"bufio"
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
	"os"
	"path/filepath"
	"strconv"
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
	token, err := pairing.ReadLocalToken(data)
	if err != nil {
		return nil, false // another user's office, or one of an earlier version
	}
	roots, err := x509.SystemCertPool()
	if err != nil {
		roots = x509.NewCertPool()
	}
	if own, err := os.ReadFile(filepath.Join(data, "authority.pem")); err == nil {
		roots.AppendCertsFromPEM(own)
	}
	safe := &tls.Config{RootCAs: roots, ServerName: at.Name, MinVersion: tls.VersionTLS12,
		NextProtos: []string{"http/1.1"}}
	plain, secret := net.Dialer{}, tls.Dialer{Config: safe}
	o := &office{url: at.URL, token: token, client: &http.Client{
		Transport: &http.Transport{DialContext: proven(plain.DialContext, token),
			DialTLSContext: proven(secret.DialContext, token)},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	ctx, stop := context.WithTimeout(ctx, 5*time.Second)
	defer stop()
	// Not /healthz: an office in trouble serves all the same.
	if err := o.call(ctx, http.MethodGet, "/api/prove?nonce="+pairing.NewNonce(), nil, io.Discard); err != nil {
		return nil, false
	}
	return o, true
}

// proveTime is the longest that a server may take to prove itself.
const proveTime = 5 * time.Second

type dial = func(ctx context.Context, network, address string) (net.Conn, error)

// proven gives connections to the server that has this token's data folder open, and to no other:
// where a killed server had listened, another program may listen now, and would be shown the token
// by the first request. Each connection is asked before anything else is sent on it.
func proven(to dial, token string) dial {
	return func(ctx context.Context, network, address string) (net.Conn, error) {
		c, err := to(ctx, network, address)
		if err != nil {
			return nil, err
		}
		if err := prove(ctx, c, address, token); err != nil {
			_ = c.Close()
			return nil, err
		}
		return c, nil
	}
}

var errStranger = errors.New("another program answers where the office was: stop it, or start the office anew")

// prove asks a connection's server for its proof.
func prove(ctx context.Context, c net.Conn, address, token string) error {
	_, text, err := net.SplitHostPort(address)
	if err != nil {
		return err
	}
	port, err := strconv.Atoi(text)
	if err != nil {
		return err
	}
	nonce := pairing.NewNonce()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+address+"/api/prove?nonce="+nonce, nil)
	if err != nil {
		return err
	}
	if err := c.SetDeadline(time.Now().Add(proveTime)); err != nil {
		return err
	}
	if err := req.Write(c); err != nil {
		return err
	}
	resp, err := http.ReadResponse(bufio.NewReader(io.LimitReader(c, 64<<10)), req)
	if err != nil {
		return errStranger
	}
	defer resp.Body.Close()
	var said struct{ Proof string }
	body, err := io.ReadAll(resp.Body)
	if err != nil || json.Unmarshal(body, &said) != nil || resp.Close || !pairing.Proven(token, nonce, port, said.Proof) {
		return errStranger
	}
	return c.SetDeadline(time.Time{})
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
	req.Header.Set("Authorization", "Bearer "+o.token)
	resp, err := o.client.Do(req)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	if resp.StatusCode == http.StatusUnauthorized {
		return errors.New("the office does not take this machine's own token any more: " +
			"stop it and start it again, which makes a new one")
	}
	if resp.StatusCode >= http.StatusMultipleChoices {
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
