package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
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
	flags := keepFlags(c, "import", importUsage, &data)
	flags.StringVar(&book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	if code, ok := parsed(c, flags, args, 1); !ok {
		return code
	}
	if err := haveStore(ctx, data); err != nil {
		return ended(c, err)
	}
	text, err := os.ReadFile(flags.Arg(0))
	if err != nil {
		return ended(c, fmt.Errorf("the file cannot be read: %w", err))
	}
	return ended(c, withRecords(ctx, data, book, func(s *records) error { return s.readFile(ctx, c, text) }))
}

// taken is what reading a file in did.
type taken struct {
	Put                  []json.RawMessage
	Added, Changed, Same int
	Clashes              []struct {
		ID     string
		Fields []string
	}
	Refused []jobbook.RecordError
}

// fileDocs reads an export file's records.
func fileDocs(text []byte) ([]json.RawMessage, error) {
	var file struct {
		Datumbook int
		Form      string
		Docs      []json.RawMessage
	}
	switch err := json.Unmarshal(text, &file); {
	case err != nil:
		return nil, errors.New("this file is not whole, or is not a Datumbook file; choose one that Datumbook saved")
	case file.Datumbook > 1:
		return nil, errors.New("this file was saved by a newer Datumbook; update this one first, then read it in")
	case file.Datumbook != 1 || file.Form != "records" || file.Docs == nil:
		return nil, errors.New("this file holds no records in the form that this command reads; save it again with 'In and out by file' on the phone")
	}
	return file.Docs, nil
}

// readFile merges a file into the records and says what came of it.
func (s *records) readFile(ctx context.Context, c *console, text []byte) error {
	docs, err := fileDocs(text)
	if err != nil {
		return err
	}
	var sum taken
	for theirs := range slices.Chunk(docs, slice) {
		for i, raw := range theirs {
			// What is no record stays as it is: the rules say so.
			if plain, err := plainFiles(raw, raw); err == nil {
				theirs[i] = plain
			}
		}
		mine, err := s.mine(ctx, theirs)
		if err != nil {
			return err
		}
		var got taken
		if err := askRules("import", map[string]any{"mine": mine, "theirs": theirs}, &got); err != nil {
			return err
		}
		refused, err := s.put(ctx, got.Put)
		if err != nil {
			return err
		}
		sum.Added += got.Added
		sum.Changed += got.Changed
		sum.Same += got.Same
		sum.Clashes = append(sum.Clashes, got.Clashes...)
		sum.Refused = slices.Concat(sum.Refused, got.Refused, refused)
	}
	fmt.Fprintf(c.out, "%d new, %d changed, %d here already\n", sum.Added, sum.Changed, sum.Same)
	for _, clash := range sum.Clashes {
		fmt.Fprintf(c.out, "To choose: %s has two values in %s\n", clash.ID, strings.Join(clash.Fields, ", "))
	}
	for _, r := range sum.Refused {
		fmt.Fprintf(c.out, "Left out: %s: %s\n", r.Field, r.Message)
	}
	if len(sum.Refused) > 0 {
		return fmt.Errorf("%d records of the file were left out", len(sum.Refused))
	}
	return nil
}

// mine gives the records here under the ids of some of the file's.
func (s *records) mine(ctx context.Context, theirs []json.RawMessage) ([]json.RawMessage, error) {
	keys := []string{}
	for _, raw := range theirs {
		var d struct {
			ID string `json:"_id"`
		}
		if json.Unmarshal(raw, &d) == nil && d.ID != "" && !slices.Contains(keys, d.ID) {
			keys = append(keys, d.ID)
		}
	}
	var got struct {
		Rows []struct{ Doc json.RawMessage }
	}
	if err := s.post(ctx, s.path("_all_docs?include_docs=true"), map[string]any{"keys": keys}, &got); err != nil {
		return nil, err
	}
	mine := []json.RawMessage{}
	for _, row := range got.Rows {
		if len(row.Doc) == 0 || string(row.Doc) == "null" {
			continue
		}
		var d struct {
			ID    string          `json:"_id"`
			Files json.RawMessage `json:"_attachments"`
		}
		if err := json.Unmarshal(row.Doc, &d); err != nil {
			return nil, err
		}
		// Pictures are compared by what they hold, so those here are read too.
		full, err := s.whole(ctx, doc{raw: row.Doc, id: d.ID, files: d.Files != nil})
		if err != nil {
			return nil, err
		}
		mine = append(mine, full)
	}
	return mine, nil
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
	flags := keepFlags(c, "demo", demoUsage, &data)
	flags.StringVar(&book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	flags.BoolVar(&remove, "remove", false, "take the invented job out")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	if err := haveStore(ctx, data); err != nil {
		return ended(c, err)
	}
	return ended(c, withRecords(ctx, data, book, func(s *records) error {
		if remove {
			return s.removeDemo(ctx, c)
		}
		return s.loadDemo(ctx, c)
	}))
}

// removeDemo takes every invented record out. One that clashes has further
// copies, which stand once the first is gone. Nothing that a person typed is
// lost: an invented record changed by hand is deleted as any other is, so that
// it can be brought back, and a person's own records stay.
func (s *records) removeDemo(ctx context.Context, c *console) error {
	n, changed, own := 0, 0, 0
	for pass := 0; ; pass++ {
		docs, err := s.docs(ctx)
		if err != nil {
			return err
		}
		var marks []json.RawMessage
		for _, d := range docs {
			byHand := d.demo != "" && typedIn(d.raw)
			switch {
			case d.demo == "" && pass == 0 && bytes.Contains(d.raw, []byte(":"+demo.Prefix)):
				own++
			case d.demo == "", byHand && d.gone:
				continue
			}
			if d.demo == "" {
				continue
			}
			mark, err := json.Marshal(map[string]any{"_id": d.id, "_rev": d.rev, "_deleted": true, "type": d.kind})
			if byHand {
				mark, err = deleted(d.raw, true)
				changed++
			}
			if err != nil {
				return err
			}
			marks = append(marks, mark)
		}
		if pass == 0 {
			n = len(marks)
		}
		if len(marks) == 0 {
			break
		}
		refused, err := s.put(ctx, marks)
		if err != nil {
			return err
		}
		if len(refused) > 0 && pass > 10 {
			return fmt.Errorf("%s: %s", refused[0].Field, refused[0].Message)
		}
	}
	fmt.Fprintf(c.out, "%d invented records taken out\n", n)
	if changed > 0 {
		fmt.Fprintf(c.out, "%d of them had been changed by hand: they are among the deleted things for 30 days\n", changed)
	}
	if own > 0 {
		fmt.Fprintf(c.out, "%d records added under them stay\n", own)
	}
	return nil
}

// typedIn tells whether anyone but the invented bench wrote into a record.
func typedIn(raw json.RawMessage) bool {
	var d struct {
		F map[string][]struct{ ID string }
	}
	if json.Unmarshal(raw, &d) != nil {
		return true // what cannot be read is kept
	}
	for key, edits := range d.F {
		for _, e := range edits {
			if key != "gone" && !strings.HasPrefix(e.ID, "demo-") {
				return true
			}
		}
	}
	return false
}

// deleted deletes a record so that it can be brought back, or brings it back.
func deleted(raw json.RawMessage, gone bool) (json.RawMessage, error) {
	set := map[string]any{"gone": nil}
	if gone {
		set["gone"] = true
	}
	in, err := json.Marshal(map[string]any{"doc": raw, "set": set, "device": "office", "by": "office", "at": time.Now().UTC().Format(time.RFC3339), "unit": "in"})
	if err != nil {
		return nil, err
	}
	var out struct {
		Doc    json.RawMessage
		Faults []jobbook.RecordError
		Error  *jobbook.RecordError
	}
	if err := json.Unmarshal(new(jobbook.Session).Call("edit", in), &out); err != nil {
		return nil, err
	}
	if out.Error != nil {
		out.Faults = append(out.Faults, *out.Error)
	}
	if len(out.Faults) > 0 {
		return nil, errors.New(out.Faults[0].Message)
	}
	return out.Doc, nil
}

// loadDemo puts the invented job in; what was deleted of it comes back.
func (s *records) loadDemo(ctx context.Context, c *console) error {
	if err := s.readFile(ctx, c, demo.File); err != nil {
		return err
	}
	docs, err := s.docs(ctx)
	if err != nil {
		return err
	}
	var back []json.RawMessage
	for _, d := range docs {
		if d.demo != "" && d.gone {
			one, err := deleted(d.raw, false)
			if err != nil {
				return err
			}
			back = append(back, one)
		}
	}
	if len(back) == 0 {
		return nil
	}
	_, err = s.put(ctx, back)
	return err
}
