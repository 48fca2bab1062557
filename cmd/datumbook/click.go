package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"runtime"
	"strings"

	"github.com/spf13/pflag"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/sameuser"
)

// clickCommand is what a double click does: it serves the records of this user on this machine and
// opens the office in the browser; where they are served already it opens that.
func clickCommand(ctx context.Context, c *console) int {
	var cfg serveConfig
	cfg.flags(pflag.NewFlagSet("serve", pflag.ContinueOnError)) // what serve does without flags
	show := func(link string) {
		if err := browse(link); err != nil {
			fmt.Fprintf(c.out, "The browser was not opened (%v): open this address in it: %s\n", err, link)
		}
	}
	if o, serving := findOffice(ctx, cfg.data); serving {
		link, err := newLink(ctx, o)
		if err != nil {
			return failedClick(c, err)
		}
		show(link)
		fmt.Fprintf(c.out, "The office runs already, at %s: its page is opened in the browser.\n", o.url)
		return exitOK
	}
	if at := otherOffice(ctx, cfg.addr); at != "" {
		show(at)
		fmt.Fprintf(c.out, "An office runs on this machine already, as a service or of another user, at %s: its page is opened in the browser.\n"+
			"To let this browser in, its administrator prints a link: datumbook open --data DIR\n", at)
		return exitOK
	}
	cfg.opened = func(link string) {
		show(link)
		fmt.Fprintln(c.out, "\nThe office is opened in the browser. Close this window to stop it.")
	}
	if err := serve(ctx, c, cfg); err != nil {
		return failedClick(c, err)
	}
	return exitOK
}

// otherOffice gives the address of an office that listens where this one would, and has other records;
// "" where none does. A second one beside it would part the shop's records in two. Windows lets one
// listen on an address while another listens on all of them, so that to try is no way to know.
func otherOffice(ctx context.Context, addr string) string {
	if addr == "" {
		addr = server.DefaultAddr
	}
	host, port, err := net.SplitHostPort(addr)
	if err != nil || port == "0" {
		return ""
	}
	if ip := net.ParseIP(host); ip == nil || ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	ctx, stop := context.WithTimeout(ctx, proveTime)
	defer stop()
	// Nothing is sent to it that could be misused: whose certificate it has does not matter.
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, DisableKeepAlives: true}}
	for _, scheme := range []string{"http", "https"} {
		at := scheme + "://" + net.JoinHostPort(host, port) + "/"
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, at+"api/prove?nonce="+pairing.NewNonce(), nil)
		if err != nil {
			return ""
		}
		resp, err := client.Do(req)
		if err != nil {
			continue
		}
		var said struct{ Proof string }
		err = json.NewDecoder(io.LimitReader(resp.Body, 64<<10)).Decode(&said)
		_ = resp.Body.Close()
		if err == nil && said.Proof != "" {
			return at
		}
	}
	return ""
}

// failedClick says what went wrong where it can be read: a window that was made for this program goes
// with it, and with no window at all there is only the browser.
func failedClick(c *console, err error) int {
	code := ended(c, err)
	if isTerminal(os.Stdin) {
		fmt.Fprintln(c.err, "\nPress Enter to close this window.")
		_, _ = bufio.NewReader(os.Stdin).ReadString('\n')
		return code
	}
	f, fail := os.CreateTemp("", "datumbook-*.txt")
	if fail != nil {
		return code
	}
	fmt.Fprintf(f, "Datumbook did not start.\n\n%v\n", err)
	if f.Close() == nil {
		_ = browse(f.Name())
	}
	return code
}

// browse opens an address in the browser that this user has chosen. It is an argument of its own and
// never goes through a shell. On Linux the system itself says whose a browser's connection is, so that
// the key of a plain link, which other users might see in the list of processes, is left out there.
func browse(link string) error {
	if sameuser.Check != nil && strings.HasPrefix(link, "http://") {
		link, _, _ = strings.Cut(link, "#open=")
	}
	words := []string{"xdg-open", link}
	switch runtime.GOOS {
	case "windows":
		words = []string{"rundll32", "url.dll,FileProtocolHandler", link}
	case "darwin":
		words = []string{"open", link}
	}
	cmd := exec.Command(words[0], words[1:]...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // it may run as long as the browser does
	return nil
}

// start is how this program was started, as far as it tells whether by a click.
type start struct {
	system   string // as runtime.GOOS
	terminal bool   // one of the standard streams is a terminal
	parent   int
	program  string // as it was called
	dir      string
	home     string
	env      func(string) string
}

// byClick reports whether a file manager started this program. On macOS that is launchd without a
// terminal, or Terminal, which runs the whole path of what was clicked on in a window of its own at
// the user's home.
func (s start) byClick() bool {
	switch s.system {
	case "darwin":
		if !s.terminal {
			return s.parent == 1
		}
		return s.env("TERM_PROGRAM") == "Apple_Terminal" && strings.HasPrefix(s.program, "/") && s.dir == s.home
	default:
		return !s.terminal && (s.env("DISPLAY") != "" || s.env("WAYLAND_DISPLAY") != "")
	}
}
