package main

import (
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
)

const importUsage = `usage: datumbook import FILE [flags]

Reads a file that 'datumbook export' or a phone wrote into the shop's records.
Nothing is overwritten: a record in both becomes one with all that was written
in either, and where they differ both values stay until someone chooses.

`

// importCommand reads records in.
func importCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	flags := recordFlags(c, "import", importUsage, &data, &book)
	if code, ok := parsed(c, flags, args, 1); !ok {
		return code
	}
	text, err := os.ReadFile(flags.Arg(0))
	if err != nil {
		return ended(c, fmt.Errorf("the file cannot be read: %w", err))
	}
	return ended(c, withRecords(ctx, data, book, true, func(s records) error { return readFile(ctx, c, s, text) }))
}

// readFile merges a file into the records and reports the result.
func readFile(ctx context.Context, c *console, s records, text []byte) error {
	file, fault := jobbook.OpenFile(string(text))
	if fault != nil {
		return fault
	}
	for ids := file.Next(); len(ids) > 0; ids = file.Next() {
		mine, err := s.whole(ctx, ids)
		if err != nil {
			return err
		}
		refused, err := write(ctx, s, file.Take(mine), (*jobbook.Record).JSON)
		if err != nil {
			return err
		}
		file.Refused = append(file.Refused, refused...)
	}
	fmt.Fprintf(c.out, "%d new, %d changed, %d here already\n", file.Added, file.Changed, file.Same)
	for _, clash := range file.Clashes {
		fmt.Fprintf(c.out, "To choose: %s has two values in %s\n", clash.ID, strings.Join(clash.Fields, ", "))
	}
	for _, r := range file.Look {
		fmt.Fprintf(c.out, "Needs a look: %s: %s\n", r.Field, r.Message)
	}
	for _, r := range file.Refused {
		fmt.Fprintf(c.out, "Left out: %s: %s\n", r.Field, r.Message)
	}
	if len(file.Refused) > 0 {
		return fmt.Errorf("%d records of the file were left out", len(file.Refused))
	}
	return nil
}

// asText is a function that writes a record as text.
type asText func(*jobbook.Record) []byte

// write stores records from their texts, and gives those that were refused.
func write(ctx context.Context, s records, docs []*jobbook.Record, text asText) ([]jobbook.RecordError, error) {
	if len(docs) == 0 {
		return nil, nil
	}
	var list [][]byte
	for _, d := range docs {
		list = append(list, text(d))
	}
	return s.put(ctx, list)
}

const demoUsage = `usage: datumbook demo [--remove] [flags]

Puts an invented job into the shop's records, to look round in: a pillow-block
housing with its fixtures, machines, four setups, readings and pictures. All of
it is marked as invented. --remove takes all of it out again; what you added
or changed is not lost.

`

// demoCommand loads the invented job or takes it out.
func demoCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	var remove bool
	flags := recordFlags(c, "demo", demoUsage, &data, &book)
	flags.BoolVar(&remove, "remove", false, "take the invented job out")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	work := loadDemo
	if remove {
		work = removeDemo
	}
	return ended(c, withRecords(ctx, data, book, true, func(s records) error { return work(ctx, c, s) }))
}

// invention finds what the book holds of the invented job.
func invention(ctx context.Context, s records) (jobbook.Invention, error) {
	docs, err := s.all(ctx)
	return jobbook.InventionIn(docs), err
}

// removeDemo removes every invented record. One with conflicting revisions has further leaves,
// which become current once the first is gone.
func removeDemo(ctx context.Context, c *console, s records) error {
	var first jobbook.Invention
	for pass := 0; ; pass++ {
		found, err := invention(ctx, s)
		if err != nil {
			return err
		}
		if pass == 0 {
			first = found
		}
		if len(found.Plain)+len(found.Changed) == 0 {
			break
		}
		refused, err := write(ctx, s, found.Plain, (*jobbook.Record).Removal)
		if err != nil {
			return err
		}
		more, err := setGone(ctx, s, found.Changed, true)
		if err != nil {
			return err
		}
		if refused = append(refused, more...); len(refused) > 0 && pass > 10 {
			return &refused[0]
		}
	}
	fmt.Fprintf(c.out, "%d invented records taken out\n", len(first.Plain)+len(first.Changed))
	if n := len(first.Changed); n > 0 {
		fmt.Fprintf(c.out, "%d of them had been changed by hand: they are among the deleted things for 30 days\n", n)
	}
	if first.Own > 0 {
		fmt.Fprintf(c.out, "%d records added under them stay\n", first.Own)
	}
	return nil
}

// setGone deletes records, restorably, or restores them.
func setGone(ctx context.Context, s records, docs []*jobbook.Record, gone bool) ([]jobbook.RecordError, error) {
	by := jobbook.Author{Device: "office", By: "office", At: time.Now().UTC().Format(time.RFC3339), Unit: "in"}
	for _, d := range docs {
		if fault := d.Delete(gone, by); fault != nil {
			return nil, fault
		}
	}
	return write(ctx, s, docs, (*jobbook.Record).JSON)
}

// loadDemo imports the invented job and restores what was deleted of it.
func loadDemo(ctx context.Context, c *console, s records) error {
	if err := readFile(ctx, c, s, demo.File); err != nil {
		return err
	}
	found, err := invention(ctx, s)
	if err != nil {
		return err
	}
	_, err = setGone(ctx, s, found.Gone, false)
	return err
}
