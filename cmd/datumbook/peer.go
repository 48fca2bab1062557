package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"

	"datumbook/server/peer"
)

const peerUsage = `usage: datumbook peer add URL [--code CODE | --user NAME] [--ca FILE] [--way both|out|in]
       datumbook peer list
       datumbook peer remove ID

Keeps the shop's records equal, all the time, with a database elsewhere: another
Datumbook as a copy of this one, or a database of a CouchDB.

  datumbook peer add https://copy.example:8470 --code 1234-5678 --ca authority.pem
  datumbook peer add https://hub.example:6984/shop-17 --user shop-17

A code is shown by the other Datumbook: 'datumbook devices --pair owner'. The
password of a user is asked for, or read from DATUMBOOK_PEER_PASSWORD. Both are
kept in peers.json in the data folder, for this user alone. What cannot be
exchanged is set aside and told; the rest goes on.

`

// peerFlags are what peer's words come with.
type peerFlags struct {
	data, book, code, user, ca, way string
	plain                           bool
}

// peerCommand adds, lists and removes copies elsewhere.
func peerCommand(ctx context.Context, c *console, args []string) int {
	var f peerFlags
	flags := keepFlags(c, "peer", peerUsage, &f.data)
	flags.StringVar(&f.book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	flags.StringVar(&f.code, "code", "", "a one-time code that the other Datumbook shows")
	flags.StringVar(&f.user, "user", "", "the user to be there; its password is asked for")
	flags.StringVar(&f.ca, "ca", "", "file with a certificate to trust, such as the other office's authority.pem")
	flags.StringVar(&f.way, "way", string(peer.Both), "which way records go: both, out or in")
	flags.BoolVar(&f.plain, "plain", false, "let an address begin with http: records and password can be read on the way")
	words := 1
	if len(args) > 0 && (args[0] == "add" || args[0] == "remove") {
		words = 2
	}
	if code, ok := parsed(c, flags, args, words); !ok {
		return code
	}
	switch flags.Arg(0) {
	case "add":
		return ended(c, peerAdd(ctx, c, flags.Arg(1), f))
	case "list":
		return ended(c, peerList(ctx, c, f.data))
	case "remove":
		return ended(c, peerRemove(ctx, c, f.data, flags.Arg(1)))
	}
	fmt.Fprintf(c.err, "datumbook peer: '%s' is not known: use add, list or remove\n", flags.Arg(0))
	return exitUsage
}

// askTime is the longest that adding a peer may take.
const askTime = time.Minute

func peerAdd(ctx context.Context, c *console, address string, f peerFlags) error {
	ctx, stop := context.WithTimeout(ctx, askTime)
	defer stop()
	p := peer.Peer{Book: f.book, User: f.user, Added: time.Now().UTC()}
	var err error
	if p.URL, err = peer.ParseURL(address, f.book, f.plain); err != nil {
		return err
	}
	if p.Way, err = peer.ParseWay(f.way); err != nil {
		return err
	}
	if f.code != "" && f.user != "" {
		return errors.New("one of the two: --code for another Datumbook, --user for a CouchDB")
	}
	if f.ca != "" {
		text, err := os.ReadFile(f.ca)
		if err == nil {
			err = peer.CheckCA(text)
		}
		if err != nil {
			return err
		}
		p.CA = string(text)
	}
	if _, err := openData(f.data); err != nil {
		return err
	}
	if err := peer.Free(f.data, p); err != nil { // before a code is used up
		return err
	}
	if f.user != "" {
		if p.Secret, err = askPassword(c, f.user); err != nil {
			return err
		}
	}
	if f.code != "" {
		if p.Secret, err = peer.Pair(ctx, p, f.code, officeName()); err != nil {
			return err
		}
	}
	if err := peer.Try(ctx, p); err != nil {
		return err
	}
	if p, err = peer.Add(f.data, p); err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Added %s: %s, %s\n", p.ID, p.URL, wayWords[p.Way])
	return reread(ctx, c, f.data)
}

var wayWords = map[peer.Way]string{
	peer.Both: "both ways",
	peer.Out:  "what is here goes there",
	peer.In:   "what is there comes here",
}

// officeName is what this office is called among the other's devices.
func officeName() string {
	if name, err := os.Hostname(); err == nil && name != "" {
		return "office " + name
	}
	return "another office"
}

// askPassword reads a password that does not show, or from a pipe.
func askPassword(c *console, user string) (string, error) {
	if p := os.Getenv("DATUMBOOK_PEER_PASSWORD"); p != "" {
		return p, nil
	}
	in := int(os.Stdin.Fd())
	var text string
	if term.IsTerminal(in) {
		fmt.Fprintf(c.out, "Password of %s: ", user)
		raw, err := term.ReadPassword(in)
		fmt.Fprintln(c.out)
		if err != nil {
			return "", err
		}
		text = string(raw)
	} else {
		line, err := bufio.NewReader(os.Stdin).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return "", err
		}
		text = strings.TrimRight(line, "\r\n")
	}
	if text == "" {
		return "", fmt.Errorf("no password was given for %s: type it where it is asked for, or set DATUMBOOK_PEER_PASSWORD", user)
	}
	return text, nil
}

// reread lets an office that serves take up the changed list.
func reread(ctx context.Context, c *console, data string) error {
	o, serving := findOffice(ctx, data)
	if !serving {
		fmt.Fprintln(c.out, "It begins when the office next serves.")
		return nil
	}
	var states []peer.State
	return o.post(ctx, "/api/peers/reread", struct{}{}, &states)
}

func peerList(ctx context.Context, c *console, data string) error {
	list, err := peer.Read(data)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		fmt.Fprintln(c.out, "The records are kept equal with no other place; 'datumbook peer add' makes one.")
		return nil
	}
	states, serving, err := peerStates(ctx, data)
	if err != nil {
		return err
	}
	now := time.Now()
	for _, p := range list {
		fmt.Fprintf(c.out, "%s  %s, %s\n", p.ID, p.URL, wayWords[p.Way])
		s := states[p.ID]
		for _, leg := range []struct {
			way string
			*peer.Leg
		}{{"out", s.Out}, {"in", s.In}} {
			if leg.Leg == nil {
				continue
			}
			fmt.Fprintf(c.out, "        %-3s  %s\n", leg.way, leg.Says(now))
			if leg.Skew != "" {
				fmt.Fprintf(c.out, "             %s: %s\n", peer.SayTime(leg.SkewAt, now), leg.Skew)
			}
			for _, one := range leg.Aside {
				fmt.Fprintf(c.out, "             set aside %s: %s (%s)\n", peer.SayTime(one.At, now), one.ID, one.Reason)
			}
		}
	}
	if !serving {
		fmt.Fprintln(c.out, "The office is not serving, so nothing is exchanged at present.")
	}
	return nil
}

// peerStates asks the office that serves how far its copies are.
func peerStates(ctx context.Context, data string) (map[string]peer.State, bool, error) {
	o, serving := findOffice(ctx, data)
	if !serving {
		return nil, false, nil
	}
	var states []peer.State
	if err := o.get(ctx, "/api/peers", &states); err != nil {
		return nil, true, err
	}
	by := map[string]peer.State{}
	for _, s := range states {
		by[s.ID] = s
	}
	return by, true, nil
}

func peerRemove(ctx context.Context, c *console, data, id string) error {
	gone, err := peer.Remove(data, id)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Removed %s: %s. What was exchanged stays at both ends.\n", gone.ID, gone.URL)
	if gone.User == "" && gone.Secret != "" {
		fmt.Fprintln(c.out, "At the other office it is still among the devices: shut it out there.")
	}
	if _, serving := findOffice(ctx, data); !serving {
		return nil
	}
	return reread(ctx, c, data)
}

// checkPeers is the doctor's look at the copies elsewhere.
func checkPeers(ctx context.Context, data string) finding {
	const what = "copies"
	list, err := peer.Read(data)
	if err != nil {
		return wrong(what, "%v", err)
	}
	if len(list) == 0 {
		return well(what, "none elsewhere; 'datumbook peer add' keeps one on another machine")
	}
	states, serving, err := peerStates(ctx, data)
	if err != nil {
		return wrong(what, "%v", err)
	}
	if !serving {
		return well(what, "%d elsewhere; they are kept up while the office serves", len(list))
	}
	var says []string
	bad := false
	for _, p := range list {
		s := states[p.ID]
		for way, l := range s.Legs() {
			says = append(says, fmt.Sprintf("%s %s: %s", p.Name(), way, l.Says(time.Now())))
			bad = bad || l.State == peer.Failing || len(l.Aside) > 0
		}
	}
	return finding{what, strings.Join(says, "; "), bad}
}
