package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"datumbook/calc/jobbook"
)

const exportUsage = `usage: datumbook export FILE [--job JOB] [flags]
       datumbook export --csv DIR [flags]

Writes all records with their pictures to FILE, or those of one job: JSON in
the form that calc/jobbook/FORMAT.md writes down. JOB is a job's id or name.
With --csv it writes a CSV file for each kind of record, and one for each table
inside them, into the folder DIR. FILE may be - for the standard output.

`

// exportCommand writes records out.
func exportCommand(ctx context.Context, c *console, args []string) int {
	var data, book, job, dir string
	flags := recordFlags(c, "export", exportUsage, &data, &book)
	flags.StringVar(&job, "job", "", "only this job, by id or name")
	flags.StringVar(&dir, "csv", "", "write tables for a spreadsheet into this folder instead")
	words := 1
	if slices.ContainsFunc(args, func(a string) bool { return a == "--csv" || len(a) > 6 && a[:6] == "--csv=" }) {
		words = 0
	}
	if code, ok := parsed(c, flags, args, words); !ok {
		return code
	}
	return ended(c, withRecords(ctx, data, book, false, func(s records) error {
		docs, err := s.all(ctx)
		if err != nil {
			return err
		}
		if dir != "" {
			return writeTables(c, docs, dir)
		}
		if job != "" {
			is, err := pick(docs, []string{"job"}, job)
			if err != nil {
				return err
			}
			job = is.ID()
		}
		file := jobbook.NewExport(book, time.Now().UTC().Format(time.RFC3339), job, docs)
		return writeFile(ctx, c, s, file, flags.Arg(0))
	}))
}

// writeFile writes the export file.
func writeFile(ctx context.Context, c *console, s records, file *jobbook.Export, name string) error {
	stream := func(to io.Writer) error {
		for !file.Done() {
			docs, err := s.whole(ctx, file.Next())
			if err != nil {
				return err
			}
			if _, err := to.Write(file.Write(docs)); err != nil {
				return err
			}
		}
		return nil
	}
	if name == "-" {
		return stream(c.out)
	}
	err := replaceFile(name, stream)
	if err == nil {
		fmt.Fprintf(c.out, "Wrote %d records to %s\n", file.Records(), name)
	}
	return err
}

// writeTables writes every table of every kind.
func writeTables(c *console, docs []*jobbook.Record, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder cannot be made: %w", err)
	}
	written := 0
	for i := range jobbook.Kinds {
		k := &jobbook.Kinds[i]
		if !slices.ContainsFunc(docs, func(d *jobbook.Record) bool { return d.Kind() == k.Key && !d.Gone() }) {
			continue
		}
		for _, table := range k.Tables() {
			name, text, fault := jobbook.CSV(k.Key, table, docs)
			if fault != nil {
				return fault
			}
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				return err
			}
			written++
		}
	}
	fmt.Fprintf(c.out, "Wrote %d tables to %s\n", written, dir)
	return nil
}
