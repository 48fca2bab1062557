package server_test

import (
	"context"
	"encoding/base64"
	"fmt"
	"io"
	"net"
	"os"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/server/servertest"
)

// hostile is what a paired device can do to an office.
type hostile struct {
	sent, done, refused atomic.Int64
	ways                []func(n int) (request string, body string, read bool)
}

func newHostile(b *testing.B) *hostile {
	post := func(path, more string) string {
		return "POST /sync/jobs" + path + " HTTP/1.1\r\nContent-Type: application/json\r\n" + more
	}
	list := func(item string, n int) string { return strings.TrimSuffix(strings.Repeat(item+",", n), ",") }
	refs := `{"docs":[` + list(`{"id":"large-1"},{"id":"large-2"}`, 60) + `]}`
	var conditions []string
	for i := range 90 {
		conditions = append(conditions, fmt.Sprintf(`{"text":{"$gt":"%d"}}`, i))
	}
	bomb := servertest.Bomb(b, 64<<20)
	large := noise(700_000, 99)
	photo := base64.StdEncoding.EncodeToString([]byte(noise(3<<20, 98)))
	push := func(n int) string {
		var docs []string
		for k := range 4 {
			// Four in five are known already: the disk is not what is measured here.
			docs = append(docs, fmt.Sprintf(`{"_id":"h-%d-%d","_rev":"1-a","text":"%s"}`, n/5, k, large))
		}
		return `{"new_edits":false,"docs":[` + strings.Join(docs, ",") + `]}`
	}
	return &hostile{ways: []func(n int) (string, string, bool){
		func(int) (string, string, bool) { return post("/_bulk_get", ""), refs, true },
		func(int) (string, string, bool) { return post("/_bulk_get", "Accept-Encoding: gzip\r\n"), refs, false },
		func(int) (string, string, bool) {
			return "GET /sync/jobs/_changes?feed=continuous&include_docs=true&heartbeat=1000 HTTP/1.1\r\n", "", false
		},
		func(int) (string, string, bool) {
			return post("/_changes?filter=_selector&include_docs=true", ""),
				`{"selector":{"$or":[` + strings.Join(conditions, ",") + `]}}`, true
		},
		func(n int) (string, string, bool) { return post("/_bulk_docs", ""), push(n), true },
		func(n int) (string, string, bool) {
			return post("/_bulk_docs", ""), fmt.Sprintf(
				`{"new_edits":false,"docs":[{"_id":"p","_rev":"1-a","n":%d,"_attachments":{"p":{"data":"%s"}}}]}`,
				n, photo), true
		},
		func(int) (string, string, bool) { return post("/_bulk_docs", "Content-Encoding: gzip\r\n"), bomb, true },
		func(n int) (string, string, bool) {
			return post("/_bulk_docs", ""),
				`{"new_edits":false,"docs":[` + list(fmt.Sprintf(`{"_id":"_%d","_rev":"1-a"}`, n), 200) + `]}`, true
		},
		func(int) (string, string, bool) {
			return post("/_revs_diff", ""), `{"rec-1":[` + list(`"1-a"`, 100_000) + `]}`, true
		},
		func(int) (string, string, bool) {
			return "GET /sync/jobs/_all_docs?include_docs=true HTTP/1.1\r\n", "", true
		},
		func(int) (string, string, bool) {
			return post("/_changes?filter=_doc_ids&feed=longpoll&since=now", ""), `{"doc_ids":[` + list(`"rec-1"`, 20_000) + `]}`, true
		},
	}}
}

// device sends one kind of request after the other, on connections of its own, until ctx is done.
func (h *hostile) device(ctx context.Context, at, token string, way int) {
	for n := 0; ctx.Err() == nil; n++ {
		line, body, read := h.ways[way](n)
		way = (way + 1) % len(h.ways)
		if c, err := net.Dial("tcp", at); err == nil {
			h.once(ctx, c, token, line, body, read)
			_ = c.Close()
		}
	}
}

func (h *hostile) once(ctx context.Context, c net.Conn, token, line, body string, read bool) {
	end := time.Now().Add(20 * time.Second)
	if d, ok := ctx.Deadline(); ok && d.Before(end) {
		end = d
	}
	_ = c.SetDeadline(end)
	head := line + "Host: 127.0.0.1\r\nConnection: close\r\nAuthorization: Bearer " + token + "\r\n"
	if body != "" {
		head += "Content-Length: " + strconv.Itoa(len(body)) + "\r\n"
	}
	h.sent.Add(1)
	if _, err := io.WriteString(c, head+"\r\n"+body); err != nil {
		return
	}
	if read {
		begin := make([]byte, len("HTTP/1.1 200"))
		if _, err := io.ReadFull(c, begin); err == nil && begin[9] == '2' {
			h.done.Add(1)
		} else if err == nil {
			h.refused.Add(1)
		}
		_, _ = io.Copy(io.Discard, c)
		return
	}
	select { // and does not read
	case <-ctx.Done():
	case <-time.After(5 * time.Second):
	}
}

// memory gives the anonymous and the whole resident memory of a process in bytes.
func memory(b *testing.B, pid int) (anon, rss int64) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(b, err)
	of := func(name string) int64 {
		found := regexp.MustCompile(name + `:\s+(\d+) kB`).FindSubmatch(status)
		require.NotNil(b, found)
		kb, err := strconv.ParseInt(string(found[1]), 10, 64)
		require.NoError(b, err)
		return kb << 10
	}
	return of("RssAnon"), of("VmRSS")
}
