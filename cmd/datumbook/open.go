package main

import (
	"context"
	"errors"
	"fmt"
)

const openUsage = `usage: datumbook open [flags]

Prints a link that lets one browser of this machine into the office that
serves, as an owner. It is good once; a link that was printed before and not
used is good no more. Phones are let in with a code: 'datumbook devices --pair'.

`

// openCommand asks the office for a link.
func openCommand(ctx context.Context, c *console, args []string) int {
	var data string
	flags := keepFlags(c, "open", openUsage, &data)
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	o, serving := findOffice(ctx, data)
	if !serving {
		return ended(c, errors.New("the office is not serving: start 'datumbook serve' first"))
	}
	link, err := newLink(ctx, o)
	if err == nil {
		fmt.Fprintln(c.out, link)
	}
	return ended(c, err)
}

// newLink asks a serving office for a link.
func newLink(ctx context.Context, o *office) (string, error) {
	var made struct{ Link string }
	err := o.post(ctx, "/api/open/link", struct{}{}, &made)
	return made.Link, err
}
