package browsertest

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"encoding/base64"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// program compiles datumbook once for all tests of a package. The file stays for the next run,
// which need not link it again if nothing changed.
var program = sync.OnceValues(func() (string, error) {
	here, err := os.Getwd()
	if err != nil {
		return "", err
	}
	path := filepath.Join(here, "..", "..", ".task", "test", filepath.Base(here), "datumbook")
	if out, err := exec.Command("go", "build", "-o", path, "datumbook/cmd/datumbook").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// Program gives the path of datumbook, compiled from the sources as they are.
func Program(t testing.TB) string {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	return path
}

// Office is the real program serving, as a process of its own.
type Office struct {
	Addr string // host:port it listens on
	cmd  *exec.Cmd
	done chan error
}

// StartOffice serves a data folder on a free port and waits until it is up.
func StartOffice(t testing.TB, data string, flags ...string) *Office {
	t.Helper()
	return StartProgram(t, Program(t), data, flags...)
}

// StartProgram does the same with a program that was built elsewhere.
func StartProgram(t testing.TB, program, data string, flags ...string) *Office {
	t.Helper()
	cmd := exec.Command(program, append([]string{"serve", "--addr", "127.0.0.1:0", "--data", data}, flags...)...)
	var log bytes.Buffer // read only once the process has ended
	cmd.Stderr = &log
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	o := &Office{cmd: cmd, done: make(chan error, 1)}
	t.Cleanup(func() {
		o.Kill()
		if t.Failed() {
			t.Logf("the office said:\n%s", tail(log.Bytes(), 4000))
		}
	})
	found := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if url, ok := strings.CutPrefix(lines.Text(), "Datumbook is at "); ok {
				found <- strings.TrimPrefix(strings.TrimPrefix(url, "https://"), "http://")
			}
		}
		o.done <- cmd.Wait()
	}()
	select {
	case o.Addr = <-found:
	case err := <-o.done:
		require.NoError(t, err)
		require.Fail(t, "the office ended at once; is the app built? go run ./cmd/build")
	case <-time.After(30 * time.Second):
		require.Fail(t, "the office does not come up")
	}
	return o
}

// Near gives host:port that reaches an office on the shop's network from this
// machine.
func (o *Office) Near() string {
	_, port, _ := net.SplitHostPort(o.Addr)
	return net.JoinHostPort("127.0.0.1", port)
}

// Keys gives the keys of the certificates that the office shows.
func (o *Office) Keys(t testing.TB) []string {
	t.Helper()
	return KeysAt(t, o.Near())
}

// KeysAt gives the keys of the certificates that are shown at an address.
func KeysAt(t testing.TB, address string) []string {
	t.Helper()
	conn, err := tls.Dial("tcp", address, &tls.Config{InsecureSkipVerify: true}) // only inspected
	require.NoError(t, err)
	defer conn.Close()
	var keys []string
	for _, c := range conn.ConnectionState().PeerCertificates {
		sum := sha256.Sum256(c.RawSubjectPublicKeyInfo)
		keys = append(keys, base64.StdEncoding.EncodeToString(sum[:]))
	}
	return keys
}

// tail gives the end of a log.
func tail(b []byte, n int) []byte { return b[max(0, len(b)-n):] }

// Kill ends it at once, with nothing tidied up (SIGKILL).
func (o *Office) Kill() {
	if o.cmd.Process != nil {
		_ = o.cmd.Process.Kill()
	}
	select {
	case err := <-o.done:
		o.done <- err
	case <-time.After(10 * time.Second):
	}
}
