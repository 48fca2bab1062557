package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"datumbook/store"
)

// keepFlags are the flags of the commands that look after the store.
func keepFlags(c *console, name, usage string, data *string) *pflag.FlagSet {
	flags := pflag.NewFlagSet(name, pflag.ContinueOnError)
	flags.SetOutput(c.err)
	flags.StringVar(data, "data", defaultData(), "folder that holds the records")
	flags.Usage = func() { fmt.Fprint(c.err, usage, flags.FlagUsages()) }
	return flags
}

// parsed parses flags and wants as many further words; code is the exit code
// where ok is false.
func parsed(c *console, flags *pflag.FlagSet, args []string, words int) (code int, ok bool) {
	switch err := flags.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return exitOK, false
	case err != nil:
		return exitUsage, false
	case flags.NArg() != words:
		flags.Usage()
		return exitUsage, false
	}
	return exitOK, true
}

// ended prints what went wrong and gives the exit code.
func ended(c *console, err error) int {
	if err != nil {
		fmt.Fprintf(c.err, "datumbook: %v\n", err)
		return exitFailed
	}
	return exitOK
}

const backupUsage = `usage: datumbook backup FILE [flags]

Writes a whole, verified copy of the shop's records to FILE, also while the
office is serving. An existing FILE is replaced only once the copy is whole.

`

// backupCommand copies the store.
func backupCommand(ctx context.Context, c *console, args []string) int {
	var data string
	flags := keepFlags(c, "backup", backupUsage, &data)
	if code, ok := parsed(c, flags, args, 1); !ok {
		return code
	}
	file := flags.Arg(0)
	if err := backup(ctx, data, file); err != nil {
		return ended(c, err)
	}
	report, err := store.VerifyFile(ctx, file)
	if err == nil && len(report.Problems) > 0 {
		err = fmt.Errorf("the copy does not verify: %s", report.Problems[0])
	}
	if err == nil {
		fmt.Fprintf(c.out, "Backed up to %s: %s\n", file, counted(report))
	}
	return ended(c, err)
}

// backup asks the office that serves, or opens the store itself.
func backup(ctx context.Context, data, file string) error {
	o, serving := findOffice(ctx, data)
	if !serving {
		st, err := openToRead(filepath.Join(data, storeFile))
		if err != nil {
			return err
		}
		return errors.Join(st.Backup(file), st.Close())
	}
	return replaceFile(file, func(to io.Writer) error { return o.call(ctx, http.MethodGet, "/api/backup", nil, to) })
}

func counted(r store.Report) string {
	return fmt.Sprintf("%d books, %d records, %d revisions, %d attachments of %d bytes", r.Books, r.Docs, r.Revisions, r.Attachments, r.Bytes)
}

const restoreUsage = `usage: datumbook restore FILE [flags]

Puts a backup in the place of the shop's records. Stop the office first. The
records that were there are kept beside them under another name. Every phone
then compares everything again and sends what the backup lacks.

`

// restoreCommand puts a backup in place.
func restoreCommand(ctx context.Context, c *console, args []string) int {
	var data string
	flags := keepFlags(c, "restore", restoreUsage, &data)
	if code, ok := parsed(c, flags, args, 1); !ok {
		return code
	}
	if at, ok := findOffice(ctx, data); ok {
		return ended(c, fmt.Errorf("the office is serving at %s: stop it, then restore", at.url))
	}
	out, err := store.Restore(ctx, flags.Arg(0), filepath.Join(data, storeFile), time.Now(), "restore command")
	if err != nil {
		return ended(c, err)
	}
	fmt.Fprintf(c.out, "Restored %s: %s\n", flags.Arg(0), counted(out.Report))
	if out.Kept != "" {
		fmt.Fprintf(c.out, "What was there before is kept as %s\n", out.Kept)
	}
	return exitOK
}

const verifyUsage = `usage: datumbook verify [FILE] [flags]

Walks over every record, revision and photo of the shop's records, or of a
backup FILE, and checks digests, trees and counts.

`

// verifyCommand verifies the store or a backup.
func verifyCommand(ctx context.Context, c *console, args []string) int {
	var data string
	flags := keepFlags(c, "verify", verifyUsage, &data)
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, pflag.ErrHelp) {
			return exitOK
		}
		return exitUsage
	}
	file := filepath.Join(data, storeFile)
	if flags.NArg() > 0 {
		file = flags.Arg(0)
	} else if _, ok := findOffice(ctx, data); ok {
		dir, err := os.MkdirTemp(data, "verify-")
		if err != nil {
			return ended(c, err)
		}
		defer os.RemoveAll(dir)
		file = filepath.Join(dir, storeFile)
		if err := backup(ctx, data, file); err != nil {
			return ended(c, err)
		}
	}
	report, err := store.VerifyFile(ctx, file)
	if err != nil {
		return ended(c, err)
	}
	for _, p := range report.Problems {
		fmt.Fprintf(c.out, "Problem: %s\n", p)
	}
	if len(report.Problems) > 0 {
		return ended(c, fmt.Errorf("%d problems found; keep this file, and restore the newest snapshot that verifies", len(report.Problems)))
	}
	fmt.Fprintf(c.out, "Sound: %s\n", counted(report))
	return exitOK
}
