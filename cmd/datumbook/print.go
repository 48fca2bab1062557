package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"datumbook/pwa"
	"datumbook/store"
)

const printUsage = `usage: datumbook print WHAT RECORD [flags]

Prints a page of the job book to a PDF file, with the browser installed on this
machine. RECORD is an id, a name, a shop number or a drawing number. WHAT is

  setup       setup sheet of a setup
  holes       hole table of a fixture, part or job
  inspection  inspection sheet of a job or part
  card        card of a fixture or machine
  job         a job's whole history
  label       label with a code, of a fixture, machine or job

`

// printable are the pages and the kinds of record each is made for; the app's
// print/model.ts has the same list.
var printable = map[string][]string{
	"setup":      {"setup"},
	"holes":      {"fixture", "part", "job"},
	"inspection": {"job", "part"},
	"card":       {"fixture", "machine"},
	"job":        {"job"},
	"label":      {"fixture", "machine", "job"},
}

// paperKinds are the kinds of record that the pages read; the app's
// print/gather.ts has the same list.
var paperKinds = []string{"job", "part", "feature", "setup", "step", "reading", "note", "photo", "kept", "machine", "fixture", "tool", "gauge", "material"}

// printJob is what to print.
type printJob struct {
	what, word, out, paper, address string
}

// printCommand prints a page.
func printCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	var p printJob
	flags := keepFlags(c, "print", printUsage, &data)
	flags.StringVar(&book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	flags.StringVar(&p.out, "out", "", "the PDF file (default: named for the record)")
	flags.StringVar(&p.paper, "paper", envOr("DATUMBOOK_PAPER", "letter"), "letter or a4")
	flags.StringVar(&p.address, "address", envOr("DATUMBOOK_ADDRESS", ""), "where phones find the office, for the code on a label or card")
	if code, ok := parsed(c, flags, args, 2); !ok {
		return code
	}
	p.what, p.word = flags.Arg(0), flags.Arg(1)
	if printable[p.what] == nil {
		fmt.Fprintf(c.err, "datumbook print: there is no page '%s'; there are setup, holes, inspection, card, job and label\n", p.what)
		return exitUsage
	}
	if p.paper != "letter" && p.paper != "a4" {
		fmt.Fprintf(c.err, "datumbook print: paper is letter or a4, not '%s'\n", p.paper)
		return exitUsage
	}
	browser, err := findBrowser()
	if err != nil {
		return ended(c, err)
	}
	var page pageToPrint
	err = withRecords(ctx, data, book, func(s *records) (err error) {
		page, err = s.toPrint(ctx, &p)
		return err
	})
	if err != nil {
		return ended(c, err)
	}
	pdf, err := page.pdf(ctx, browser, p)
	if err != nil {
		return ended(c, err)
	}
	if err := os.WriteFile(p.out, pdf, 0o644); err != nil {
		return ended(c, fmt.Errorf("the file cannot be written: %w", err))
	}
	fmt.Fprintf(c.out, "Wrote %s\n", p.out)
	return exitOK
}

// pageToPrint is a record with all that stands on its page.
type pageToPrint struct {
	id   string
	docs []json.RawMessage
	have int // records that the page waits for
}

var notInName = regexp.MustCompile(`[^a-z0-9]+`)

// toPrint finds the record and what belongs to it.
func (s *records) toPrint(ctx context.Context, p *printJob) (pageToPrint, error) {
	docs, err := s.docs(ctx)
	if err != nil {
		return pageToPrint{}, err
	}
	rec, err := pick(docs, printable[p.what], p.word)
	if err != nil {
		return pageToPrint{}, err
	}
	if p.out == "" {
		p.out = p.what + "-" + strings.Trim(notInName.ReplaceAllString(strings.ToLower(rec.name), "-"), "-") + ".pdf"
	}
	if p.address == "" && s.served {
		if u, err := url.Parse(s.url); err == nil && u.Hostname() != "127.0.0.1" && u.Hostname() != "localhost" && u.Hostname() != "::1" {
			p.address = s.url
		}
	}
	if p.address == "" && p.what == "label" {
		return pageToPrint{}, errors.New("a label leads phones to the office: serve the shop's network with 'datumbook serve --lan', or say where phones find it with --address https://datumbook.local:8470")
	}
	wanted, err := around(docs, rec)
	if err != nil {
		return pageToPrint{}, err
	}
	out := pageToPrint{id: rec.id}
	for _, d := range docs {
		if !slices.Contains(wanted, d.id) || d.gone || !slices.Contains(paperKinds, d.kind) {
			continue
		}
		full, err := s.whole(ctx, d)
		if err != nil {
			return pageToPrint{}, err
		}
		full, err = fresh(full)
		if err != nil {
			return pageToPrint{}, err
		}
		out.docs = append(out.docs, full)
		out.have++
	}
	return out, nil
}

// around lists the records that a page of one may name: its job with all that
// belongs to that, else itself with what is said of it.
func around(docs []doc, rec doc) ([]string, error) {
	byID := map[string]doc{}
	for _, d := range docs {
		byID[d.id] = d
	}
	job := rec.values["job"]
	if rec.kind == "job" {
		job = rec.id
	} else if job == "" {
		job = byID[rec.values["part"]].values["job"]
	}
	wanted := []string{rec.id}
	if job != "" {
		var got struct{ IDs []string }
		if err := askRules("belongs", map[string]any{"job": job, "docs": raws(docs)}, &got); err != nil {
			return nil, err
		}
		wanted = append(wanted, got.IDs...)
	}
	for _, d := range docs {
		if d.kind == "material" || d.kind == "job" || d.values["about"] == rec.id {
			wanted = append(wanted, d.id)
		}
	}
	return wanted, nil
}

// fresh takes a record's revision off, so that it is stored as a new one.
func fresh(raw json.RawMessage) (json.RawMessage, error) {
	var members map[string]json.RawMessage
	if err := json.Unmarshal(raw, &members); err != nil {
		return nil, err
	}
	delete(members, "_rev")
	delete(members, "_conflicts")
	return json.Marshal(members)
}

// pdf prints the page as the app draws it: the records go into a store of
// their own, served to this machine's browser alone.
func (page pageToPrint) pdf(ctx context.Context, browser string, p printJob) (pdf []byte, err error) {
	app, err := pwa.Files()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "datumbook-print-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	st, err := store.Open(store.Options{Path: filepath.Join(dir, storeFile)})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	err = withServed(ctx, st, "shop", app, func(s *records) error {
		for part := range slices.Chunk(page.docs, slice) {
			refused, err := s.put(ctx, part)
			if err != nil {
				return err
			}
			if len(refused) > 0 {
				return fmt.Errorf("%s: %s", refused[0].Field, refused[0].Message)
			}
		}
		address := p.address
		if address == "" {
			address = "none"
		}
		more := url.Values{"paper": {p.paper}, "have": {strconv.Itoa(page.have)}, "at": {strings.TrimRight(address, "/")}}
		at := s.url + "/#/print/" + url.PathEscape(p.what+"/"+page.id) + "?" + more.Encode()
		pdf, err = printPage(ctx, browser, filepath.Join(dir, "profile"), at)
		return err
	})
	return pdf, err
}
