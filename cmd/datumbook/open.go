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
	var made struct{ Link string }
	if err := o.post(ctx, "/api/open/link", struct{}{}, &made); err != nil {
		return ended(c, err)
	}
	fmt.Fprintln(c.out, made.Link)
	return exitOK
}
