package main

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"datumbook/server"
)

const auditUsage = `usage: datumbook audit [--kind KIND] [--device ID] [flags]

Tells what happened to the office, newest first: who was let in and shut out,
backups that were put back, records that were deleted, entries of others that
were changed or taken out, and repairs. KIND is pairing, revocation, restore,
deletion, rewrite, repair or review. 'datumbook devices' lists the ids.

`

// auditCommand prints the trail.
func auditCommand(ctx context.Context, c *console, args []string) int {
	var data string
	var q server.TrailQuery
	flags := keepFlags(c, "audit", auditUsage, &data)
	flags.StringVar(&q.Kind, "kind", "", "only this kind")
	flags.StringVar(&q.Device, "device", "", "only what this device did or what was done to it")
	flags.IntVar(&q.Limit, "limit", 50, "how many, 500 at most")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	if q.Kind != "" && !slices.Contains(server.TrailKinds, q.Kind) {
		fmt.Fprintf(c.err, "datumbook audit: there is no kind '%s'; there are %s\n", q.Kind,
			strings.Join(server.TrailKinds, ", "))
		return exitUsage
	}
	if q.Limit < 1 || q.Limit > 500 {
		fmt.Fprintln(c.err, "datumbook audit: the limit is a whole number from 1 to 500")
		return exitUsage
	}
	lines, more, err := trail(ctx, data, q)
	if err != nil {
		return ended(c, err)
	}
	for _, l := range lines {
		fmt.Fprintf(c.out, "%s  %-10s  %s\n", l.At.Local().Format("2006-01-02 15:04"), l.Kind, l.Says)
	}
	switch {
	case len(lines) == 0:
		fmt.Fprintln(c.out, "Nothing of that is noted.")
	case more:
		fmt.Fprintln(c.out, "There is more: raise --limit, or name a --kind or a --device.")
	}
	return exitOK
}

// trail asks the office that serves, or reads the store itself.
func trail(ctx context.Context, data string, q server.TrailQuery) (lines []server.TrailLine, more bool, err error) {
	if o, serving := findOffice(ctx, data); serving {
		var got struct {
			Events []server.TrailLine
			More   bool
		}
		ask := url.Values{"kind": {q.Kind}, "device": {q.Device}, "limit": {strconv.Itoa(q.Limit)}}
		err := o.get(ctx, "/api/audit?"+ask.Encode(), &got)
		return got.Events, got.More, err
	}
	st, err := openToRead(filepath.Join(data, storeFile))
	if err != nil {
		return nil, false, err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	return server.ReadTrail(st, q)
}
