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
	"datumbook/server/pairing"
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
	id                              string   // of the record
}

// printCommand prints a page.
func printCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	var p printJob
	flags := recordFlags(c, "print", printUsage, &data, &book)
	flags.StringVar(&p.out, "out", "", "the PDF file (default: named for the record)")
	flags.StringVar(&p.paper, "paper", envOr("DATUMBOOK_PAPER", "letter"), "letter or a4; for a label also label, 4 x 2 in")
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
	if p.paper != "letter" && p.paper != "a4" && (p.paper != "label" || p.what != "label") {
		fmt.Fprintf(c.err, "datumbook print: paper is letter or a4, for a label also label, not '%s'\n", p.paper)
		return exitUsage
	}
	browser, err := findBrowser()
	if err != nil {
		return ended(c, err)
	}
	var docs []*jobbook.Record
	err = withRecords(ctx, data, book, false, func(s records) (err error) {
		docs, err = p.gather(ctx, s)
		return err
	})
	if err != nil {
		return ended(c, err)
	}
	pdf, err := p.pdf(ctx, browser, docs)
	if err != nil {
		return ended(c, err)
	}
	if err := os.WriteFile(p.out, pdf, 0o644); err != nil {
		return ended(c, fmt.Errorf("the file cannot be written: %w", err))
	}
	fmt.Fprintf(c.out, "Wrote %s\n", p.out)
	return exitOK
}

// gather finds the record and gives it with all that stands on its page.
func (p *printJob) gather(ctx context.Context, s records) ([]*jobbook.Record, error) {
	docs, err := s.all(ctx)
	if err != nil {
		return nil, err
	}
	rec, err := pick(docs, p.kinds, p.word)
	if err != nil {
		return nil, err
	}
	if p.out == "" {
		p.out = p.what + "-" + jobbook.FileName(rec.Title()) + ".pdf"
	}
	if o, ok := s.(byOffice); ok && p.address == "" {
		own := []string{"127.0.0.1", "localhost", "::1"} // addresses of this machine alone
		if u, err := url.Parse(o.url); err == nil && !slices.Contains(own, u.Hostname()) {
			p.address = o.url
		}
		var said struct{ Public string }
		if err := o.get(ctx, "/api/office", &said); err == nil && said.Public != "" {
			p.address = said.Public
		}
	}
	if p.address == "" && p.what == "label" {
		return nil, errors.New("a label leads phones to the office: serve the shop's network with " +
			"'datumbook serve --lan', or say where phones find it with --address https://datumbook.local:8470")
	}
	p.id = rec.ID()
	return s.whole(ctx, around(docs, rec))
}

// around lists the records that a page of one may name: its job with all that belongs to that, else
// itself with its notes and photos and what stands in it; of a fixture also the setups on it, which
// say what holes are asked for most.
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
	var uses, ids []string
	for _, key := range []string{"machine", "fixture", "part", "indicator"} {
		uses = append(uses, rec.Text(key))
	}
	for _, d := range docs {
		named := wanted[d.ID()] || d.Kind() == "material" || d.Kind() == "job" || d.Text("about") == rec.ID() ||
			d.Text("setup") == rec.ID() || d.Text("fixture") == rec.ID() || slices.Contains(uses, d.ID())
		if named && !d.Gone() && jobbook.KindOf(d.Kind()).OnPaper() {
			ids = append(ids, d.ID())
		}
	}
	return ids
}

// pdf prints the page as the app draws it: the records go into a temporary store, served to one
// browser of this machine alone, which is given the token.
func (p *printJob) pdf(ctx context.Context, browser string, docs []*jobbook.Record) (pdf []byte, err error) {
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
	refused, err := write(ctx, into, docs, (*jobbook.Record).Anew)
	if err != nil {
		return nil, err
	}
	if len(refused) > 0 {
		return nil, &refused[0]
	}
	log := slog.New(slog.DiscardHandler)
	pair := &pairing.Service{Keeper: st}
	token, err := pair.LocalToken(dir)
	if err != nil {
		return nil, err
	}
	routes := server.SyncRoutes(&replication.Handler{Store: st, Version: versionText()})
	s := &server.Server{Addr: "127.0.0.1:0", Assets: app, Sheets: worksheets{}, Sync: routes,
		Pairing: pair, Version: versionText(), Log: log}
	if err := s.Open(); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.Close(context.WithoutCancel(ctx))) }()
	address := p.address
	if address == "" {
		address = "none"
	}
	more := url.Values{"paper": {p.paper}, "have": {strconv.Itoa(len(docs))}, "at": {strings.TrimRight(address, "/")}}
	at := s.URL() + "/#/print/" + url.PathEscape(p.what+"/"+p.id) + "?" + more.Encode()
	return printPage(ctx, browser, filepath.Join(dir, "profile"), at, token)
}
