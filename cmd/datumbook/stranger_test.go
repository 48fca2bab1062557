package main

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/store"
)

// ear records all that a server is sent, and how often.
type ear struct {
	mu   sync.Mutex
	got  bytes.Buffer
	came int
}

func (e *ear) hear(to http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		text, _ := httputil.DumpRequest(r, true)
		e.mu.Lock()
		e.came++
		e.got.Write(text)
		e.mu.Unlock()
		to.ServeHTTP(w, r)
	})
}

func (e *ear) all() (string, int) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.got.String(), e.came
}

// leftBehind makes a data folder as a killed office leaves it: its address, where something else
// listens by now, and the token.
func leftBehind(t *testing.T, url string) (data, token string) {
	t.Helper()
	data = t.TempDir()
	path, err := openData(data)
	require.NoError(t, err)
	st, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	require.NoError(t, haveBook(st, "shop"))
	token, err = (&pairing.Service{Keeper: st}).LocalToken(data)
	require.NoError(t, err)
	require.NoError(t, st.Close())
	text, err := json.Marshal(serving{URL: url, PID: 1})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(data, servingFile), text, 0o600))
	return data, token
}

// everyCommand is each command that speaks to a running office, in an order in which the earlier
// ones leave the data as it was.
func everyCommand(dir string) [][]string {
	return [][]string{
		{"devices"}, {"devices", "--revoke", "nobody"}, {"devices", "--pair", "owner"}, {"open"},
		{"backup", filepath.Join(dir, "copy.backup")}, {"verify"}, {"doctor", "--addr", "127.0.0.1:0"},
		{"export", filepath.Join(dir, "all.json")}, {"print", "setup", "none"},
		{"demo"}, {"import", filepath.Join(dir, "all.json")}, {"restore", filepath.Join(dir, "copy.backup")},
	}
}

// The office was killed and another program listens at its port. No command shows it the token,
// whatever it answers, and each works on the store itself or says that there is no office.
func TestNoCommandShowsAStrangerTheToken(t *testing.T) {
	// an office of the same data folder that runs at another port: it would answer for it
	var honest *server.Server
	var token string
	honest = &server.Server{Addr: "127.0.0.1:0", Pairing: &pairing.Service{},
		Prove: func(nonce string) string { return pairing.Prove(token, nonce, honest.Port()) }}
	require.NoError(t, honest.Open())
	defer func() { require.NoError(t, honest.Close(context.Background())) }()

	for name, answer := range map[string]http.HandlerFunc{
		"says yes to everything": func(w http.ResponseWriter, r *http.Request) {
			fmt.Fprint(w, `{"ok":true,"proof":"0000","link":"x","code":"1"}`)
		},
		"gives back the nonce": func(w http.ResponseWriter, r *http.Request) {
			fmt.Fprintf(w, `{"proof":%q}`, r.URL.Query().Get("nonce"))
		},
		"asks the true office": func(w http.ResponseWriter, r *http.Request) {
			got, err := http.Get(honest.URL() + r.URL.String())
			if err == nil {
				defer got.Body.Close()
				_, _ = io.Copy(w, got.Body)
			}
		},
		"sends on to the true office": func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, honest.URL()+r.URL.String(), http.StatusTemporaryRedirect)
		},
		"says nothing": func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) },
	} {
		for _, secure := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s, TLS %v", name, secure), func(t *testing.T) {
				var ear ear
				fake := httptest.NewUnstartedServer(ear.hear(answer))
				if secure {
					fake.StartTLS()
				} else {
					fake.Start()
				}
				defer fake.Close()
				var data string
				data, token = leftBehind(t, fake.URL)
				if secure { // even with a certificate that this folder trusts
					trusted := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: fake.Certificate().Raw})
					require.NoError(t, os.WriteFile(filepath.Join(data, "authority.pem"), trusted, 0o600))
				}
				dir := t.TempDir()
				for _, args := range everyCommand(dir) {
					var out, fault bytes.Buffer
					_, before := ear.all()
					code := run(t.Context(), append(args, "--data", data), &out, &fault)
					said, after := ear.all()
					assert.Greater(t, after, before, "%v asked there", args)
					assert.NotContains(t, said, token, args)
					assert.NotContains(t, strings.ToLower(said), "authorization", args)
					switch what := strings.Join(args, " "); what {
					case "devices --pair owner", "open":
						assert.Contains(t, fault.String(), "serv", what)
					case "devices --revoke nobody", "print setup none":
						assert.Equal(t, exitFailed, code, what)
					default:
						assert.Equal(t, exitOK, code, "%s: %s%s", what, out.String(), fault.String())
					}
				}
			})
		}
	}
}

// What a proven office is asked carries the token, also on this machine alone.
func TestCommandsProveTheOffice(t *testing.T) {
	var s *server.Server
	data, token := leftBehind(t, "http://127.0.0.1:1")
	st, err := store.Open(store.Options{Path: filepath.Join(data, storeFile)})
	require.NoError(t, err)
	defer func() { require.NoError(t, st.Close()) }()
	s = &server.Server{Addr: "127.0.0.1:0", Pairing: &pairing.Service{Keeper: st},
		Prove: func(nonce string) string { return pairing.Prove(token, nonce, s.Port()) }}
	require.NoError(t, s.Open())
	defer func() { require.NoError(t, s.Close(context.Background())) }()
	require.NoError(t, writeServing(data, s, ""))

	var out, fault bytes.Buffer
	require.Equal(t, exitOK, run(t.Context(), []string{"devices", "--data", data}, &out, &fault), fault.String())
	assert.Contains(t, out.String(), "this machine's commands")
	out.Reset()
	require.Equal(t, exitOK, run(t.Context(), []string{"open", "--data", data}, &out, &fault), fault.String())
	assert.Contains(t, out.String(), s.URL()+"/#open=")

	// a device's name was a guess
	code, err := s.Pairing.Show(store.Operator, "test")
	require.NoError(t, err)
	_, phone, err := s.Pairing.Trade(code.Text, "Desk machine", netip.MustParseAddr("192.0.2.9"))
	require.NoError(t, err)
	out.Reset()
	require.Equal(t, exitOK, run(t.Context(),
		[]string{"devices", "--rename", phone.ID, "--name", "Bench tablet", "--data", data}, &out, &fault), fault.String())
	assert.Equal(t, phone.ID+" is now called Bench tablet\n", out.String())
	require.Equal(t, exitFailed, run(t.Context(), []string{"devices", "--rename", phone.ID, "--data", data}, &out, &fault))
	assert.Contains(t, fault.String(), "--name NAME")

	// and so while nothing serves
	away := t.TempDir()
	book, err := store.Open(store.Options{Path: filepath.Join(away, storeFile)})
	require.NoError(t, err)
	phone, err = book.AddDevice(store.Device{Name: "Phone", Role: store.Operator}, [32]byte{1})
	require.NoError(t, err)
	require.NoError(t, book.Close())
	require.Equal(t, exitOK, run(t.Context(),
		[]string{"devices", "--rename", phone.ID, "--name", "Mill phone", "--data", away}, &out, &fault), fault.String())
	out.Reset()
	require.Equal(t, exitOK, run(t.Context(), []string{"devices", "--data", away}, &out, &fault), fault.String())
	assert.Contains(t, out.String(), "Mill phone")

	// its own device shut out: the command says what to do
	all, err := st.Devices()
	require.NoError(t, err)
	require.NoError(t, s.Pairing.Revoke(all[0].ID, "test"))
	require.Equal(t, exitFailed, run(t.Context(), []string{"devices", "--data", data}, &out, &fault))
	assert.Contains(t, fault.String(), "stop it and start it again")
}
