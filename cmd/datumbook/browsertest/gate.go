package browsertest

import (
	"net"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// Gate is the shop's network: it forwards connections to the office while it is open, and refuses
// them while it is shut. Its address never changes, so that the page keeps its origin.
type Gate struct {
	Addr string

	mu    sync.Mutex
	to    string
	open  bool
	poor  *line // nil: as fast as this machine
	conns map[net.Conn]bool
	l     net.Listener
}

// NewGate opens a gate on a free port.
func NewGate(t testing.TB) *Gate {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	g := &Gate{Addr: l.Addr().String(), l: l, conns: map[net.Conn]bool{}, open: true}
	go g.accept()
	t.Cleanup(func() { _ = l.Close(); g.Shut() })
	return g
}

// URL is the address the browser opens.
func (g *Gate) URL() string { return "http://" + g.Addr }

// To sets where connections are forwarded to.
func (g *Gate) To(addr string) { g.mu.Lock(); g.to = addr; g.mu.Unlock() }

// Open lets connections through.
func (g *Gate) Open() { g.mu.Lock(); g.open = true; g.mu.Unlock() }

// Shut cuts every connection and refuses new ones.
func (g *Gate) Shut() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.open = false
	for c := range g.conns {
		_ = c.Close()
	}
	clear(g.conns)
}

func (g *Gate) accept() {
	for {
		in, err := g.l.Accept()
		if err != nil {
			return
		}
		go g.pass(in)
	}
}

func (g *Gate) pass(in net.Conn) {
	g.mu.Lock()
	to, open := g.to, g.open
	g.mu.Unlock()
	if !open {
		_ = in.Close()
		return
	}
	out, err := net.Dial("tcp", to)
	if err != nil {
		_ = in.Close()
		return
	}
	g.mu.Lock()
	if !g.open {
		g.mu.Unlock()
		_, _ = in.Close(), out.Close()
		return
	}
	g.conns[in], g.conns[out] = true, true
	g.mu.Unlock()
	up, down := g.copies(in, out)
	var both sync.WaitGroup
	both.Go(func() { up(out, in); _ = out.Close() })
	both.Go(func() { down(in, out); _ = in.Close() })
	both.Wait()
	g.mu.Lock()
	delete(g.conns, in)
	delete(g.conns, out)
	g.mu.Unlock()
}
