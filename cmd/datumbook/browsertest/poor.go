package browsertest

import (
	"io"
	"net"
	"sync"
	"time"
)

// buffer is what is on a poor line at once at either end.
const buffer = 64 << 10

// late is how late this machine may wake a piece.
const late = 100 * time.Millisecond

// Poor is a poor line: what it takes from one end to the other, and how many bytes a second come down
// it, over all connections together. A connection's first bytes wait a whole turn more, as its opening
// handshake does. A connection is as fast as the line from its first byte on: TCP's slow start and
// what gets lost are not in it.
type Poor struct {
	Way  time.Duration
	Down float64
}

// line is a poor line in use.
type line struct {
	Poor
	mu   sync.Mutex
	free time.Time // when what was sent last is through
}

// turn keeps a piece's time on the line, waits until it is through, and gives when it arrives.
func (l *line) turn(bytes int) time.Time {
	l.mu.Lock()
	// Woken a little late it is not a slower line.
	if now := time.Now(); l.free.Before(now.Add(-late)) {
		l.free = now
	}
	l.free = l.free.Add(time.Duration(float64(bytes) / l.Down * float64(time.Second)))
	through := l.free
	l.mu.Unlock()
	time.Sleep(time.Until(through))
	return through.Add(l.Way)
}

// piece is what is on its way.
type piece struct {
	body []byte
	at   time.Time
}

// carry copies what one end sends to the other, each piece so late as arrives gives.
func carry(to io.Writer, from io.Reader, arrives func(bytes int) time.Time) {
	way := make(chan piece, 256)
	var there sync.WaitGroup
	there.Go(func() {
		for p := range way {
			time.Sleep(time.Until(p.at))
			if _, err := to.Write(p.body); err != nil {
				break
			}
		}
		for range way { // the other end has gone
		}
	})
	for {
		body := make([]byte, 1400)
		n, err := from.Read(body)
		if n > 0 {
			way <- piece{body[:n], arrives(n)}
		}
		if err != nil {
			break
		}
	}
	close(way)
	there.Wait()
}

// copies gives how a connection's bytes go to the office and come from it.
func (g *Gate) copies(in, out net.Conn) (up, down func(to, from net.Conn)) {
	g.mu.Lock()
	l := g.poor
	g.mu.Unlock()
	if l == nil {
		plain := func(to, from net.Conn) { _, _ = io.Copy(to, from) }
		return plain, plain
	}
	// What waits in this machine's own buffers would hold up whatever comes behind it for seconds.
	for _, c := range []net.Conn{in, out} {
		_ = c.(*net.TCPConn).SetReadBuffer(buffer)
		_ = c.(*net.TCPConn).SetWriteBuffer(buffer)
	}
	open := time.Now().Add(2 * l.Way)
	up = func(to, from net.Conn) {
		carry(to, from, func(int) time.Time {
			if now := time.Now(); now.After(open) {
				return now.Add(l.Way)
			}
			return open.Add(l.Way)
		})
	}
	return up, func(to, from net.Conn) { carry(to, from, l.turn) }
}

// Worsen makes a poor line of what is connected from now on.
func (g *Gate) Worsen(to Poor) { g.mu.Lock(); g.poor = &line{Poor: to}; g.mu.Unlock() }
