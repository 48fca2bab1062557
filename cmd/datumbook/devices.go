package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"time"

	"datumbook/server/pairing"
	"datumbook/store"
)

const devicesUsage = `usage: datumbook devices [--revoke ID] [--pair ROLE] [flags]

Lists the phones and screens that were let in, with their role and when they
were last seen. --revoke shuts one out; what it has not sent stays on it.
--pair shows a one-time code for a new one (owner, hand or reader); it needs
the office to be serving.

`

// listed is a device as the office's API lists it.
type listed struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Role    string     `json:"role"`
	Paired  time.Time  `json:"paired"`
	Seen    *time.Time `json:"seen"`
	Revoked *time.Time `json:"revoked"`
}

// devicesCommand lists, revokes and pairs.
func devicesCommand(ctx context.Context, c *console, args []string) int {
	var data, revoke, role string
	flags := keepFlags(c, "devices", devicesUsage, &data)
	flags.StringVar(&revoke, "revoke", "", "id of the device to shut out")
	flags.StringVar(&role, "pair", "", "show a code for a new device of this role")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	o, serving := findOffice(ctx, data)
	switch {
	case role != "" && !serving:
		return ended(c, errors.New("pairing needs the office to be serving: start 'datumbook serve --lan' first"))
	case role != "":
		return ended(c, pairOver(ctx, c, o, role))
	case serving:
		return ended(c, devicesOver(ctx, c, o, revoke))
	}
	return ended(c, devicesIn(c, data, revoke))
}

// pairOver asks the office for a code.
func pairOver(ctx context.Context, c *console, o *office, role string) error {
	var code struct {
		Code, Link string
		Expires    time.Time
	}
	if err := o.post(ctx, "/api/pair/code", map[string]string{"role": role}, &code); err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Code %s for a %s, good once and until %s: %s\n", code.Code, role, code.Expires.Local().Format("15:04"), code.Link)
	return showQR(c, code.Link)
}

// devicesOver lists or revokes through the office that serves.
func devicesOver(ctx context.Context, c *console, o *office, revoke string) error {
	if revoke != "" {
		if err := o.call(ctx, http.MethodDelete, "/api/devices/"+url.PathEscape(revoke), nil, c.out); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Shut out: %s\n", revoke)
		return nil
	}
	var all []listed
	if err := o.get(ctx, "/api/devices", &all); err != nil {
		return err
	}
	for _, d := range all {
		printDevice(c, d)
	}
	if len(all) == 0 {
		fmt.Fprintln(c.out, "No device was paired yet.")
	}
	return nil
}

// devicesIn lists or revokes in the store itself, while nothing serves it.
func devicesIn(c *console, data, revoke string) (err error) {
	open := openToRead
	if revoke != "" {
		open = func(path string) (*store.Store, error) { return store.Open(store.Options{Path: path, Must: true}) }
	}
	st, err := open(filepath.Join(data, storeFile))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	pairing := &pairing.Service{Keeper: st}
	if revoke != "" {
		if err := pairing.Revoke(revoke, "office"); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Shut out: %s\n", revoke)
		return nil
	}
	all, err := pairing.List()
	if err != nil {
		return err
	}
	for _, d := range all {
		one := listed{ID: d.ID, Name: d.Name, Role: d.Role.String(), Paired: d.Created}
		if !d.LastSeen.IsZero() {
			one.Seen = &d.LastSeen
		}
		if d.IsRevoked() {
			one.Revoked = &d.Revoked
		}
		printDevice(c, one)
	}
	if len(all) == 0 {
		fmt.Fprintln(c.out, "No device was paired yet.")
	}
	return nil
}

func printDevice(c *console, d listed) {
	state := "never seen"
	if d.Seen != nil {
		state = "last seen " + d.Seen.Local().Format("2 Jan 2006 15:04")
	}
	if d.Revoked != nil {
		state = "shut out " + d.Revoked.Local().Format("2 Jan 2006 15:04")
	}
	fmt.Fprintf(c.out, "%-18s %-7s %-28s %s\n", d.ID, d.Role, d.Name, state)
}
