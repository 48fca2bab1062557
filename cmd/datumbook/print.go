package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"datumbook/calc/jobbook"
	"datumbook/pwa"
	"datumbook/server"
	"datumbook/server/replication"
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

// printJob is what to print.
type printJob struct {
	what, word, out, paper, address string
	kinds                           []string // of record that the page is made for
}

// printCommand prints a page.
func printCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	var p printJob
	flags := recordFlags(c, "print", printUsage, &data, &book)
	flags.StringVar(&p.out, "out", "", "the PDF file (default: named for the record)")
	flags.StringVar(&p.paper, "paper", envOr("DATUMBOOK_PAPER", "letter"), "letter or a4")
	flags.StringVar(&p.address, "address", envOr("DATUMBOOK_ADDRESS", ""), "where phones find the office, for the code on a label or card")
	if code, ok := parsed(c, flags, args, 2); !ok {
		return code
	}
	p.what, p.word = flags.Arg(0), flags.Arg(1)
	at := slices.IndexFunc(jobbook.Pages, func(page jobbook.Page) bool { return page.Key == p.what })
	if at < 0 {
		fmt.Fprintf(c.err, "datumbook print: there is no page '%s'; there are setup, holes, inspection, card, job and label\n", p.what)
		return exitUsage
	}
	p.kinds = jobbook.Pages[at].Kinds
	if p.paper != "letter" && p.paper != "a4" {
		fmt.Fprintf(c.err, "datumbook print: paper is letter or a4, not '%s'\n", p.paper)
		return exitUsage
	}
	browser, err := findBrowser()
	if err != nil {
		return ended(c, err)
	}
	var page pageToPrint
	err = withRecords(ctx, data, book, false, func(s records) (err error) {
		page, err = toPrint(ctx, s, &p)
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
	docs []*jobbook.Record
}

// toPrint finds the record and what belongs to it.
func toPrint(ctx context.Context, s records, p *printJob) (page pageToPrint, err error) {
	docs, err := s.all(ctx)
	if err != nil {
		return page, err
	}
	rec, err := pick(docs, p.kinds, p.word)
	if err != nil {
		return page, err
	}
	if p.out == "" {
		p.out = p.what + "-" + jobbook.FileName(rec.Title()) + ".pdf"
	}
	if o, ok := s.(byOffice); ok && p.address == "" {
		if u, err := url.Parse(o.url); err == nil && u.Hostname() != "127.0.0.1" && u.Hostname() != "localhost" && u.Hostname() != "::1" {
			p.address = o.url
		}
	}
	if p.address == "" && p.what == "label" {
		return page, errors.New("a label leads phones to the office: serve the shop's network with 'datumbook serve --lan', or say where phones find it with --address https://datumbook.local:8470")
	}
	page.id = rec.ID()
	for ids := range slices.Chunk(around(docs, rec), 50) {
		some, err := s.whole(ctx, ids)
		if err != nil {
			return page, err
		}
		page.docs = append(page.docs, some...)
	}
	return page, nil
}

// around lists the records that a page of one may name: its job with all that
// belongs to that, else itself with what is said of it.
func around(docs []*jobbook.Record, rec *jobbook.Record) []string {
	job := rec.Text("job")
	if rec.Kind() == "job" {
		job = rec.ID()
	}
	for _, d := range docs {
		if job == "" && d.ID() == rec.Text("part") {
			job = d.Text("job")
		}
	}
	wanted := map[string]bool{rec.ID(): true}
	if job != "" {
		for _, id := range jobbook.Belongs(job, docs) {
			wanted[id] = true
		}
	}
	var ids []string
	for _, d := range docs {
		named := wanted[d.ID()] || d.Kind() == "material" || d.Kind() == "job" || d.Text("about") == rec.ID()
		if named && !d.Gone() && jobbook.KindOf(d.Kind()).OnPaper() {
			ids = append(ids, d.ID())
		}
	}
	return ids
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
	into, err := openRecords(st, "shop")
	if err != nil {
		return nil, err
	}
	refused, err := write(ctx, into, page.docs, (*jobbook.Record).Anew)
	if err != nil {
		return nil, err
	}
	if len(refused) > 0 {
		return nil, &refused[0]
	}
	log := slog.New(slog.DiscardHandler)
	routes := server.SyncRoutes(&replication.Handler{Store: st, Version: versionText()})
	s := &server.Server{Addr: "127.0.0.1:0", Assets: app, Sheets: worksheets{}, Sync: routes, Version: versionText(), Log: log}
	if err := s.Open(); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.Close(context.WithoutCancel(ctx))) }()
	address := p.address
	if address == "" {
		address = "none"
	}
	more := url.Values{"paper": {p.paper}, "have": {strconv.Itoa(len(page.docs))}, "at": {strings.TrimRight(address, "/")}}
	at := s.URL() + "/#/print/" + url.PathEscape(p.what+"/"+page.id) + "?" + more.Encode()
	return printPage(ctx, browser, filepath.Join(dir, "profile"), at)
}
