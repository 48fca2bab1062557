package main

import (
	"bufio"
	"context"
	"encoding/json"
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
	flags := keepFlags(c, "export", exportUsage, &data)
	flags.StringVar(&book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	flags.StringVar(&job, "job", "", "only this job, by id or name")
	flags.StringVar(&dir, "csv", "", "write tables for a spreadsheet into this folder instead")
	words := 1
	if slices.ContainsFunc(args, func(a string) bool { return a == "--csv" || len(a) > 6 && a[:6] == "--csv=" }) {
		words = 0
	}
	if code, ok := parsed(c, flags, args, words); !ok {
		return code
	}
	return ended(c, withRecords(ctx, data, book, func(s *records) error {
		docs, err := s.docs(ctx)
		if err != nil {
			return err
		}
		if dir != "" {
			return writeTables(c, docs, dir)
		}
		return s.writeFile(ctx, c, docs, job, flags.Arg(0))
	}))
}

// writeFile writes the export file, whole or not at all.
func (s *records) writeFile(ctx context.Context, c *console, docs []doc, job, file string) error {
	head := map[string]any{"datumbook": 1, "form": "records", "book": s.book, "made": time.Now().UTC().Format(time.RFC3339)}
	if job != "" {
		is, err := pick(docs, []string{"job"}, job)
		if err != nil {
			return err
		}
		var got struct{ IDs []string }
		if err := askRules("belongs", map[string]any{"job": is.id, "docs": raws(docs)}, &got); err != nil {
			return err
		}
		docs = slices.DeleteFunc(docs, func(d doc) bool { return !slices.Contains(got.IDs, d.id) })
		head["job"] = is.id
	}
	if file == "-" {
		return s.stream(ctx, c.out, head, docs)
	}
	temp, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".new-*")
	if err != nil {
		return fmt.Errorf("the file cannot be written: %w", err)
	}
	defer os.Remove(temp.Name())
	err = s.stream(ctx, temp, head, docs)
	if e := temp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(temp.Name(), file)
	}
	if err == nil {
		fmt.Fprintf(c.out, "Wrote %d records to %s\n", len(docs), file)
	}
	return err
}

func (s *records) stream(ctx context.Context, to io.Writer, head map[string]any, docs []doc) error {
	b := bufio.NewWriter(to)
	text, err := json.Marshal(head)
	if err != nil {
		return err
	}
	b.Write(text[:len(text)-1])
	b.WriteString(`,"docs":[`)
	first := true
	for part := range slices.Chunk(docs, slice) {
		var full []json.RawMessage
		for _, d := range part {
			one, err := s.whole(ctx, d)
			if err != nil {
				return err
			}
			full = append(full, one)
		}
		var got struct {
			File struct{ Docs []json.RawMessage }
		}
		if err := askRules("export", map[string]any{"docs": full}, &got); err != nil {
			return err
		}
		for _, d := range got.File.Docs {
			if !first {
				b.WriteByte(',')
			}
			first = false
			b.WriteByte('\n')
			b.Write(d)
		}
	}
	b.WriteString("\n]}\n")
	return b.Flush()
}

// writeTables writes every table that holds something.
func writeTables(c *console, docs []doc, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder cannot be made: %w", err)
	}
	all := raws(docs)
	written := 0
	for _, k := range jobbook.Kinds {
		if !slices.ContainsFunc(docs, func(d doc) bool { return d.kind == k.Key && !d.gone }) {
			continue
		}
		tables := []string{""}
		for _, f := range k.Fields {
			if f.Kind == jobbook.Table {
				tables = append(tables, f.Key)
			}
		}
		for _, table := range tables {
			var got struct{ Name, CSV string }
			if err := askRules("csv", map[string]any{"kind": k.Key, "table": table, "docs": all}, &got); err != nil {
				return err
			}
			// The mark at the front tells spreadsheets that it is UTF-8.
			if err := os.WriteFile(filepath.Join(dir, got.Name), []byte("\ufeff"+got.CSV), 0o644); err != nil {
				return err
			}
			written++
		}
	}
	fmt.Fprintf(c.out, "Wrote %d tables to %s\n", written, dir)
	return nil
}
