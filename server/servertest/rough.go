package servertest

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func jsonOf(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}

// Raw sends bytes as they are and gives the status of the answer, or 0 if the server closed without
// one. It waits at most wait.
func (o *Office) Raw(t testing.TB, wait time.Duration, bytes string) (status int, body string) {
	t.Helper()
	c := o.Dial(t)
	require.NoError(t, c.SetDeadline(time.Now().Add(wait)))
	// The server may close while we are still writing.
	_, _ = io.WriteString(c, bytes)
	got, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, ""
	}
	defer func() { _ = got.Body.Close() }()
	all, _ := io.ReadAll(got.Body)
	return got.StatusCode, string(all)
}

// Dial opens a raw connection that the test's end closes.
func (o *Office) Dial(t testing.TB) net.Conn {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(o.Local(), "http://"))
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// Bomb is a gzip body of about n/1000 bytes that decompresses to n zero bytes; n is a whole number
// of megabytes.
func Bomb(t testing.TB, n int) string {
	t.Helper()
	// Concatenated gzip files are one gzip file.
	return strings.Repeat(Zip(t, string(make([]byte, 1<<20))), n>>20)
}

// Zip compresses a body.
func Zip(t testing.TB, body string) string {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := io.WriteString(z, body)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.String()
}
