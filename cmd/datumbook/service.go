package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/pflag"
)

const serviceUsage = `usage: datumbook service install | remove | status [flags]

Runs the office whenever this machine is on, under a user of its own. Needs an
administrator's rights.

  install  puts the program in its place and starts it, with --lan unless
           --lan=false is said. Done again with other flags or by a newer
           program it changes what is there; the records stay.
  remove   stops it and takes it out. The records stay.
  status   tells whether it is there and runs, where the records are and where
           its log is. Ends with 0 where it runs, else with 1.

Flags of install, handed on to 'serve':
`

// manager is what starts programs together with this machine.
type manager interface {
	// may gives why this user may not change services; nil if it may.
	may() error
	// records is the folder of the records unless another is named.
	records() string
	// outside gives where a folder of the service lies for this command.
	outside(path string) string
	// install puts the program and its data folder in place and starts it, or changes what is there;
	// started is false where it could not be started, which it has then said why.
	install(plan servicePlan, say func(format string, args ...any)) (started bool, err error)
	// remove stops the service and takes it out.
	remove() error
	// status tells what there is.
	status() (serviceStatus, error)
}

// servicePlan is what is to run: serve with a data folder and further flags.
type servicePlan struct {
	data string
	args []string
}

// serviceStatus is what a manager knows of the service.
type serviceStatus struct {
	installed, running bool
	words              string // what else it says of it, such as why it ended
	since              string // since when it runs, in the manager's words
	data               string // folder of the records; empty where it cannot be told
	log                string // how to see the log
}

// serviceName is the name of the service on every system.
const serviceName = "datumbook"

var errNotInstalled = errors.New("the office is not installed as a service: 'datumbook service install' does that")

func serviceCommand(ctx context.Context, c *console, args []string) int {
	return serviceOf(ctx, c, args, newManager())
}

func serviceOf(ctx context.Context, c *console, args []string, m manager) int {
	var cfg serveConfig
	flags := pflag.NewFlagSet("service", pflag.ContinueOnError)
	flags.SetOutput(c.err)
	cfg.flags(flags)
	flags.Lookup("data").DefValue, flags.Lookup("lan").DefValue = m.records(), "true"
	cfg.data, cfg.lan = m.records(), true
	flags.Usage = func() { fmt.Fprint(c.err, serviceUsage, flags.FlagUsages()) }
	if code, ok := parsed(c, flags, args, 1); !ok {
		return code
	}
	switch flags.Arg(0) {
	case "install":
		return ended(c, installService(ctx, c, m, &cfg, flags))
	case "remove":
		return ended(c, removeService(c, m))
	case "status":
		return statusOfService(c, m)
	}
	flags.Usage()
	return exitUsage
}

// handedOn are the flags of serve that install hands on, with what they may be set by in the
// environment.
var handedOn = []struct{ name, env string }{
	{"addr", "DATUMBOOK_ADDR"}, {"book", "DATUMBOOK_BOOK"}, {"name", "DATUMBOOK_NAME"}, {"start-addr", ""},
	{"cert", ""}, {"key", ""}, {"public", "DATUMBOOK_PUBLIC"}, {"snapshots", ""},
}

// serviceArgs gives the flags for serve as they were given to install.
func serviceArgs(cfg *serveConfig, flags *pflag.FlagSet) (args []string, err error) {
	if cfg.lan {
		args = append(args, "--lan")
	}
	for _, h := range handedOn {
		if !flags.Changed(h.name) && (h.env == "" || os.Getenv(h.env) == "") {
			continue
		}
		value := flags.Lookup(h.name).Value.String()
		if h.name == "cert" || h.name == "key" {
			if value, err = filepath.Abs(value); err != nil {
				return nil, err
			}
			if _, err := os.Stat(value); err != nil {
				return nil, fmt.Errorf("--%s: the file cannot be read: %w", h.name, err)
			}
		}
		args = append(args, "--"+h.name, value)
	}
	for _, proxy := range cfg.proxies {
		args = append(args, "--proxy", proxy)
	}
	for _, origin := range cfg.origins {
		args = append(args, "--origin", origin)
	}
	if cfg.verbose {
		args = append(args, "--verbose")
	}
	return args, nil
}

// answerTime is how long install waits for the office to answer.
const answerTime = 30 * time.Second

func installService(ctx context.Context, c *console, m manager, cfg *serveConfig, flags *pflag.FlagSet) error {
	if err := m.may(); err != nil {
		return err
	}
	args, err := serviceArgs(cfg, flags)
	if err != nil {
		return err
	}
	plan := servicePlan{data: cfg.data, args: args}
	if plan.data, err = filepath.Abs(plan.data); err != nil {
		return err
	}
	if err := ownFolder(m.outside(plan.data)); err != nil {
		return err
	}
	was, err := m.status()
	if err != nil && !errors.Is(err, errNotInstalled) {
		return err
	}
	if at, serving := findOffice(ctx, m.outside(plan.data)); serving && !was.running {
		return fmt.Errorf("an office serves these records already, at %s: stop it, then install the service", at.url)
	}
	say := func(format string, args ...any) { fmt.Fprintf(c.out, format+"\n", args...) }
	started, err := m.install(plan, say)
	if err != nil {
		return err
	}
	say("The office is installed as the service '%s'; it starts with this machine.", serviceName)
	say("Records: %s", plan.data)
	if was.data != "" && was.data != plan.data {
		say("The records that it had before stay in %s.", was.data)
	}
	if !started {
		return nil
	}
	ctx, stop := context.WithTimeout(ctx, answerTime)
	defer stop()
	for tick := time.NewTicker(200 * time.Millisecond); ; {
		if o, ok := findOffice(ctx, m.outside(plan.data)); ok {
			say("It serves at %s", o.url)
			say("A browser of this machine is let in by the link that this prints: datumbook open --data %q", plan.data)
			return nil
		}
		select {
		case <-ctx.Done():
			state, _ := m.status()
			return fmt.Errorf("it was started and does not answer yet; its log tells why: %s", state.log)
		case <-tick.C:
		}
	}
}

// ownFolder refuses a data folder that holds other things than records: it becomes the service's own,
// with all that is in it.
func ownFolder(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && len(entries) == 0:
		return nil
	case err != nil:
		return fmt.Errorf("--data: the folder %s cannot be looked into: %w", dir, err)
	case slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == storeFile }):
		return nil
	}
	return fmt.Errorf("--data: the folder %s holds other things and no %s: name a new or empty folder, or one with records", dir, storeFile)
}

func removeService(c *console, m manager) error {
	if err := m.may(); err != nil {
		return err
	}
	was, err := m.status()
	if err != nil {
		return err
	}
	if err := m.remove(); err != nil {
		return err
	}
	fmt.Fprintln(c.out, "The office is stopped and starts with this machine no more.")
	if was.data != "" {
		fmt.Fprintf(c.out, "Its records stay in %s\n", was.data)
	}
	return nil
}

func statusOfService(c *console, m manager) int {
	s, err := m.status()
	if err != nil {
		return ended(c, err)
	}
	said := "is installed as a service and does not run"
	if s.running {
		said = "is installed as a service and runs"
		if s.since != "" {
			said += ", since " + s.since
		}
	}
	fmt.Fprintf(c.out, "The office %s.\n", said)
	if s.words != "" {
		fmt.Fprintln(c.out, s.words)
	}
	if s.data != "" {
		fmt.Fprintf(c.out, "Records: %s\n", s.data)
		if at, ok := readServing(m.outside(s.data)); ok && s.running {
			fmt.Fprintf(c.out, "Address: %s\n", at.URL)
		} else if s.running {
			fmt.Fprintln(c.out, "Address: an administrator is told it")
		}
	}
	fmt.Fprintf(c.out, "Log: %s\n", s.log)
	if !s.running {
		return exitFailed
	}
	return exitOK
}

// placeProgram puts a copy of a program at a place, whole or not at all.
func placeProgram(from, to string) error {
	if a, err := os.Stat(from); err == nil {
		if b, err := os.Stat(to); err == nil && os.SameFile(a, b) {
			return nil
		}
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return fmt.Errorf("the program cannot be put at %s: %w", to, err)
	}
	src, err := os.Open(from)
	if err != nil {
		return fmt.Errorf("this program cannot be read to be copied: %w", err)
	}
	defer src.Close()
	next := to + ".new"
	f, err := os.OpenFile(next, os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o755)
	if err == nil {
		_, err = io.Copy(f, src)
		err = errors.Join(err, f.Chmod(0o755), f.Sync(), f.Close())
	}
	if err == nil {
		err = os.Rename(next, to)
	}
	if err != nil {
		os.Remove(next)
		return fmt.Errorf("the program cannot be put at %s: %w", to, err)
	}
	return nil
}
