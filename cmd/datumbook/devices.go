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
)

const devicesUsage = `usage: datumbook devices [--revoke ID] [--rename ID --name NAME] [--pair ROLE] [flags]

Lists the phones and screens that were let in, with their role and when they
were last seen. --revoke shuts one out; what it has not sent stays on it.
--rename gives one another name: what it is called may have been guessed.
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
	var data, role string
	var do change
	flags := keepFlags(c, "devices", devicesUsage, &data)
	flags.StringVar(&do.revoke, "revoke", "", "id of the device to shut out")
	flags.StringVar(&do.rename, "rename", "", "id of the device to give another name")
	flags.StringVar(&do.name, "name", "", "the name that --rename gives it")
	flags.StringVar(&role, "pair", "", "show a code for a new device of this role")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	o, serving := findOffice(ctx, data)
	switch {
	case do.rename != "" && do.revoke+role != "" || do.revoke != "" && role != "":
		return ended(c, errors.New("one thing at a time: --rename, --revoke or --pair"))
	case (do.rename != "") != (do.name != ""):
		return ended(c, errors.New("say both: which device with --rename ID, and what it is called with --name NAME"))
	case role != "" && !serving:
		return ended(c, errors.New("pairing needs the office to be serving: start 'datumbook serve --lan' first"))
	case role != "":
		return ended(c, pairOver(ctx, c, o, role))
	case serving:
		return ended(c, devicesOver(ctx, c, o, do))
	}
	return ended(c, devicesIn(c, data, do))
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

// change is what is to be done to a device: empty ids for nothing.
type change struct{ revoke, rename, name string }

// devicesOver lists or changes through the office that serves.
func devicesOver(ctx context.Context, c *console, o *office, do change) error {
	if do.rename != "" {
		var now struct{ Name string }
		err := o.post(ctx, "/api/devices/"+url.PathEscape(do.rename), map[string]string{"name": do.name}, &now)
		if err == nil {
			fmt.Fprintf(c.out, "%s is now called %s\n", do.rename, now.Name)
		}
		return err
	}
	if do.revoke != "" {
		if err := o.call(ctx, http.MethodDelete, "/api/devices/"+url.PathEscape(do.revoke), nil, c.out); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Shut out: %s\n", do.revoke)
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

// devicesIn lists or changes in the store itself, while nothing serves it.
func devicesIn(c *console, data string, do change) (err error) {
	open := openToRead
	if do.revoke+do.rename != "" {
		open = openToChange
	}
	st, err := open(filepath.Join(data, storeFile))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	pairing := &pairing.Service{Keeper: st}
	if do.rename != "" {
		name, err := pairing.Rename(do.rename, do.name, "office")
		if err == nil {
			fmt.Fprintf(c.out, "%s is now called %s\n", do.rename, name)
		}
		return err
	}
	if do.revoke != "" {
		if err := pairing.Revoke(do.revoke, "office"); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Shut out: %s\n", do.revoke)
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
