package sameuser

import (
	"bufio"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMain is also the other end of connections: started with an address it connects, and waits
// until it is let go.
func TestMain(m *testing.M) {
	at := os.Getenv("SAMEUSER_DIAL")
	if at == "" {
		os.Exit(m.Run())
	}
	c, err := net.Dial("tcp", at)
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Println("connected")
	_, _ = bufio.NewReader(os.Stdin).ReadString('\n')
	_ = c.Close()
}

// accept gives both ends of a connection to a listener at an address, made by this process.
func accept(t *testing.T, listen, dial string) (ours, theirs net.Conn) {
	t.Helper()
	l, err := net.Listen("tcp", listen)
	require.NoError(t, err)
	defer l.Close()
	_, port, err := net.SplitHostPort(l.Addr().String())
	require.NoError(t, err)
	theirs, err = net.Dial("tcp", net.JoinHostPort(dial, port))
	require.NoError(t, err)
	ours, err = l.Accept()
	require.NoError(t, err)
	t.Cleanup(func() { _ = ours.Close(); _ = theirs.Close() })
	return ours, theirs
}

func TestOwnConnections(t *testing.T) {
	for _, c := range []struct{ listen, dial string }{
		{"127.0.0.1:0", "127.0.0.1"}, {"[::1]:0", "::1"}, {":0", "127.0.0.1"}, {":0", "::1"}, {"127.0.0.2:0", "127.0.0.2"},
	} {
		t.Run(c.listen+" by "+c.dial, func(t *testing.T) {
			ours, theirs := accept(t, c.listen, c.dial)
			assert.True(t, Check(ours))
			assert.True(t, Check(theirs), "seen from the other side")
		})
	}
}

// What the other end has closed is listed as root's, so it must not count: a request may be sent
// and its sender be gone before anyone asks.
func TestClosedConnectionIsNobodys(t *testing.T) {
	ours, theirs := accept(t, "127.0.0.1:0", "127.0.0.1")
	_, err := theirs.Write([]byte("DELETE"))
	require.NoError(t, err)
	require.NoError(t, theirs.Close())
	got := make([]byte, 16)
	for err == nil { // until the end has come
		_, err = ours.Read(got)
	}
	assert.False(t, Check(ours))
}

func TestFarConnectionIsNobodys(t *testing.T) {
	a, b := net.Pipe()
	defer a.Close()
	defer b.Close()
	assert.False(t, Check(a))
}

// Another user's connection, where this test may start a process as one; the table of the next
// test has that case everywhere.
func TestAnotherUsersConnection(t *testing.T) {
	for _, uid := range []int{os.Geteuid(), 12345} {
		if uid != os.Geteuid() && os.Geteuid() != 0 {
			continue // only root may start a process as somebody else
		}
		l, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(t, err)
		defer l.Close()
		dial := exec.Command("/proc/self/exe")
		dial.Env = []string{"SAMEUSER_DIAL=" + l.Addr().String()}
		dial.Dir = "/"
		if uid != os.Geteuid() {
			dial.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(uid)}}
		}
		in, err := dial.StdinPipe()
		require.NoError(t, err)
		out, err := dial.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, dial.Start())
		said, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		require.Equal(t, "connected\n", said)
		c, err := l.Accept()
		require.NoError(t, err)
		assert.Equal(t, uid == os.Geteuid(), Check(c), "uid %d", uid)
		require.NoError(t, in.Close())
		require.NoError(t, dial.Wait())
		require.NoError(t, c.Close())
	}
}

// row is a row of the kernel's table.
func row(near, far string, state, uid, inode int) string {
	at := func(text string) string {
		ap := netip.MustParseAddrPort(text)
		raw := ap.Addr().AsSlice()
		for i := 0; i < len(raw); i += 4 {
			binary.NativeEndian.PutUint32(raw[i:], binary.BigEndian.Uint32(raw[i:]))
		}
		return fmt.Sprintf("%s:%04X", strings.ToUpper(hex.EncodeToString(raw)), ap.Port())
	}
	return fmt.Sprintf("   7: %s %s %02X 00000000:00000000 00:00000000 00000000 %5d        0 %d 2 0000 20 0 0 10 -1\n",
		at(near), at(far), state, uid, inode)
}

func TestTable(t *testing.T) {
	const a, b = "127.0.0.1:40000", "127.0.0.1:8470"
	for _, c := range []struct {
		name, rows string
		uid        int
		found      bool
	}{
		{"the one", row(a, b, 1, 1000, 77), 1000, true},
		{"both ends listed: the other one's user", row(b, a, 1, 1000, 76) + row(a, b, 1, 1001, 77), 1001, true},
		{"mapped", row("[::ffff:127.0.0.1]:40000", "[::ffff:127.0.0.1]:8470", 1, 1002, 77), 1002, true},
		{"closed by its program", row(a, b, 5, 0, 0), 0, false},
		{"half closed", row(a, b, 5, 1000, 77), 0, false},
		{"not accepted", row(a, b, 1, 0, 0), 0, false},
		{"another port of ours", row(a, "127.0.0.1:8471", 1, 1000, 77), 0, false},
		{"another port of theirs", row("127.0.0.1:40001", b, 1, 1000, 77), 0, false},
		{"another address", row("127.0.0.2:40000", b, 1, 1000, 77), 0, false},
		{"none", "", 0, false},
		{"nonsense", "a b c 01 e f g x i j k\n", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			table := strings.NewReader("  sl  local_address rem_address   st\n" + c.rows)
			uid, found := ownerIn(table, netip.MustParseAddrPort(a), netip.MustParseAddrPort(b))
			assert.Equal(t, c.found, found)
			assert.Equal(t, c.uid, uid)
		})
	}
}

func TestOurs(t *testing.T) {
	assert.True(t, ours(os.Geteuid()))
	assert.True(t, ours(0), "root may read the records anyway")
	assert.False(t, ours(os.Geteuid()+1))
	assert.False(t, ours(overflow), "unknown users of a container all look like this one")
}
