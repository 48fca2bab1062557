package sameuser

import (
	"bufio"
	"encoding/binary"
	"encoding/hex"
	"io"
	"net"
	"net/netip"
	"os"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// Check reports whether the other end of an accepted connection is a socket of this program's user
// or of root, by the kernel's own table of connections. Whatever cannot be told is no.
var Check func(net.Conn) bool = check

func check(c net.Conn) bool {
	for { // from TLS to what carries it
		outer, ok := c.(interface{ NetConn() net.Conn })
		if !ok {
			break
		}
		c = outer.NetConn()
	}
	tcp, ok := c.(*net.TCPConn)
	if !ok {
		return false
	}
	near, far := address(tcp.LocalAddr()), address(tcp.RemoteAddr())
	if !far.Addr().IsLoopback() || !near.Addr().IsLoopback() {
		return false
	}
	uid, found := owner(far, near)
	// While our end is open no other connection can have these two addresses: the row was of this
	// connection, and not of a later one of somebody else's.
	return found && ours(uid) && open(tcp)
}

// overflow is what the kernel shows for users that are unknown in a container's user namespace.
// Several may look like it.
const overflow = 65534

func ours(uid int) bool { return uid == 0 || uid == os.Geteuid() && uid != overflow }

func address(a net.Addr) netip.AddrPort {
	ap, err := netip.ParseAddrPort(a.String())
	if err != nil {
		return netip.AddrPort{}
	}
	return netip.AddrPortFrom(ap.Addr().Unmap().WithZone(""), ap.Port())
}

// open reports whether our end is in the state of an open connection.
func open(c *net.TCPConn) bool {
	raw, err := c.SyscallConn()
	if err != nil {
		return false
	}
	up := false
	err = raw.Control(func(fd uintptr) {
		info, err := unix.GetsockoptTCPInfo(int(fd), unix.IPPROTO_TCP, unix.TCP_INFO)
		up = err == nil && info.State == established
	})
	return err == nil && up
}

// established is the kernel's number of an open connection's state (TCP_ESTABLISHED).
const established = 1

// owner finds the user of the socket at near whose other end is far. An IPv4 connection may be
// listed among those of IPv6, in the mapped form.
func owner(near, far netip.AddrPort) (uid int, found bool) {
	for _, table := range []string{"/proc/net/tcp", "/proc/net/tcp6"} {
		f, err := os.Open(table)
		if err != nil {
			continue
		}
		uid, found = ownerIn(f, near, far)
		_ = f.Close()
		if found {
			return uid, true
		}
	}
	return 0, false
}

// ownerIn reads one table: a head, then a row for each socket with, among others, number, own
// address, other address, state, two of queues and timers, user, timeouts and inode. A socket that
// its program has closed, or has not accepted yet, is shown as root's and without an inode: such
// rows do not count.
func ownerIn(table io.Reader, near, far netip.AddrPort) (uid int, found bool) {
	lines := bufio.NewScanner(table)
	for lines.Scan() {
		f := strings.Fields(lines.Text())
		if len(f) < 10 || f[3] != "01" || f[9] == "0" {
			continue
		}
		if a, ok := readAddress(f[1]); !ok || a != near {
			continue
		}
		if a, ok := readAddress(f[2]); !ok || a != far {
			continue
		}
		uid, err := strconv.Atoi(f[7])
		return uid, err == nil
	}
	return 0, false
}

// readAddress reads an address of the table: words of 32 bits in this machine's order of bytes, in
// hexadecimal, a colon, and the port.
func readAddress(text string) (netip.AddrPort, bool) {
	host, port, ok := strings.Cut(text, ":")
	raw, err := hex.DecodeString(host)
	n, bad := strconv.ParseUint(port, 16, 16)
	if !ok || err != nil || bad != nil || len(raw)%4 != 0 {
		return netip.AddrPort{}, false
	}
	for i := 0; i < len(raw); i += 4 {
		binary.BigEndian.PutUint32(raw[i:], binary.NativeEndian.Uint32(raw[i:]))
	}
	ip, ok := netip.AddrFromSlice(raw)
	return netip.AddrPortFrom(ip.Unmap(), uint16(n)), ok
}
