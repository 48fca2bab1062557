package main

import (
	"context"
	"fmt"
	"io"
)

// command is one subcommand: its name, one line of what it does, and its function, which gives the
// exit code.
type command struct {
	name, short string
	run         func(ctx context.Context, c *console, args []string) int
}

// console is where a command writes.
type console struct{ out, err io.Writer }

// Exit codes: done, refused or failed, called wrongly.
const (
	exitOK = iota
	exitFailed
	exitUsage
)

// commands lists the subcommands in the order of the help.
func commands() []command {
	return []command{
		{"serve", "Serve the app and keep the shop's records", serveCommand},
		{"service", "Run the office whenever this machine is on, under a user of its own", serviceCommand},
		{"open", "Print a link that lets a browser of this machine in", openCommand},
		{"calc", "Work a worksheet on the command line", calcCommand},
		{"print", "Print a page of the job book to a PDF file", printCommand},
		{"export", "Write records to one file, or tables as CSV", exportCommand},
		{"import", "Read such a file in, overwriting nothing", importCommand},
		{"demo", "Load an invented job to look round in, or take it out", demoCommand},
		{"devices", "List, pair and shut out phones and screens", devicesCommand},
		{"audit", "Tell who was let in, and what was deleted, rewritten or put back", auditCommand},
		{"backup", "Copy the shop's records to a file, also while serving", backupCommand},
		{"restore", "Put a backup in place", restoreCommand},
		{"verify", "Check every record, revision and photo", verifyCommand},
		{"compact", "Give room that the records do not need back to the disk", compactCommand},
		{"peer", "Keep the records equal with another office or a CouchDB", peerCommand},
		{"doctor", "Check what the office rests on", doctorCommand},
		{"version", "Print the version", versionCommand},
	}
}

// run picks the subcommand.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	c := &console{out, errOut}
	if len(args) == 0 && clicked() {
		return clickCommand(ctx, c)
	}
	if len(args) == 0 || args[0] == "help" || args[0] == "-h" || args[0] == "--help" {
		usage(c.out)
		if len(args) == 0 {
			return exitUsage
		}
		return exitOK
	}
	for _, cmd := range commands() {
		if cmd.name == args[0] {
			return cmd.run(ctx, c, args[1:])
		}
	}
	fmt.Fprintf(c.err, "datumbook: there is no command '%s'; 'datumbook help' lists them\n", args[0])
	return exitUsage
}

func usage(w io.Writer) {
	fmt.Fprint(w, "Datumbook plans and records the machining of one casting, setup by setup.\n\nusage: datumbook COMMAND [flags]\n\n")
	for _, cmd := range commands() {
		fmt.Fprintf(w, "  %-9s %s\n", cmd.name, cmd.short)
	}
	fmt.Fprint(w, "\n'datumbook COMMAND --help' tells more of each.\n")
}
