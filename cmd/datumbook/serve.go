package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"datumbook/calc/jobbook"
	"datumbook/pwa"
	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/peer"
	"datumbook/server/replication"
	"datumbook/server/sameuser"
	"datumbook/store"
)

const serveUsage = `usage: datumbook serve [flags]

Serves the app and keeps the shop's records. Without flags only this machine
can reach it. Each flag may be set in the environment instead: --addr as
DATUMBOOK_ADDR, --data as DATUMBOOK_DATA, --book as DATUMBOOK_BOOK, --public
as DATUMBOOK_PUBLIC, --proxy as DATUMBOOK_PROXY (several with commas).

Behind a reverse proxy that ends TLS: --public https://office.example says how
phones reach it, --proxy 127.0.0.1 where its connections come from. Only such
connections are believed about whom they serve. With a proxy on this machine,
browsers of this machine are paired with a code like phones.

`

// serveConfig is what serve runs with.
type serveConfig struct {
	addr, data, book, name string
	lan                    bool
	cert, key              string
	startAddr              string
	public                 string
	proxies, origins       []string
	keep                   int
	withoutCopy            bool
	verbose                bool

	// opened is told the link that lets a browser in, once the office serves; nil: nobody asks.
	opened func(link string)
}

// flags are the flags of serve, which 'service install' hands on to it.
func (cfg *serveConfig) flags(flags *pflag.FlagSet) {
	flags.StringVar(&cfg.addr, "addr", envOr("DATUMBOOK_ADDR", ""), "host:port to listen on (default "+server.DefaultAddr+", or every address with --lan)")
	flags.StringVar(&cfg.data, "data", defaultData(), "folder that holds the records")
	flags.StringVar(&cfg.book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	flags.BoolVar(&cfg.lan, "lan", false, "serve the shop's network over HTTPS, for the phones")
	flags.StringVar(&cfg.name, "name", envOr("DATUMBOOK_NAME", "datumbook.local"), "with --lan: the name phones find this machine by")
	flags.StringVar(&cfg.startAddr, "start-addr", ":8480", "with --lan: where the plain start page for new phones listens")
	flags.StringVar(&cfg.cert, "cert", "", "with --lan: a certificate the shop already has (PEM)")
	flags.StringVar(&cfg.key, "key", "", "with --cert: its key (PEM)")
	flags.StringVar(&cfg.public, "public", envOr("DATUMBOOK_PUBLIC", ""),
		"with --proxy: the address that phones open, such as https://office.example")
	flags.StringSliceVar(&cfg.proxies, "proxy", envList("DATUMBOOK_PROXY"),
		"with --public: address or network that the reverse proxy calls from, such as 127.0.0.1; may be given again")
	flags.StringSliceVar(&cfg.origins, "origin", nil, "another page's origin that may call, such as https://office.example")
	flags.IntVar(&cfg.keep, "snapshots", 14, "how many daily snapshots to keep in the data folder; 0 makes none")
	flags.BoolVarP(&cfg.verbose, "verbose", "v", false, "log every request")
}

// serveCommand reads the flags and serves until it is told to stop.
func serveCommand(ctx context.Context, c *console, args []string) int {
	var cfg serveConfig
	flags := pflag.NewFlagSet("serve", pflag.ContinueOnError)
	flags.SetOutput(c.err)
	cfg.flags(flags)
	flags.BoolVar(&cfg.withoutCopy, "upgrade-without-copy", false,
		"upgrade records of an earlier version also where the disk has no room for a copy of them")
	flags.Usage = func() { fmt.Fprint(c.err, serveUsage, flags.FlagUsages()) }
	switch err := flags.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return exitOK
	case err != nil:
		return exitUsage
	case flags.NArg() > 0:
		fmt.Fprintf(c.err, "datumbook serve: '%s' is not expected here\n", flags.Arg(0))
		return exitUsage
	}
	return ended(c, underManager(ctx, c, cfg))
}

// serve opens the store, then the server, prints where it is, and closes both
// in the other order once ctx ends.
func serve(ctx context.Context, c *console, cfg serveConfig) (err error) {
	level := slog.LevelWarn
	if cfg.verbose {
		level = slog.LevelInfo
	}
	log := slog.New(slog.NewTextHandler(c.err, &slog.HandlerOptions{Level: level}))
	path, err := openData(cfg.data)
	if err != nil {
		return err
	}
	// Records that the rules object to are kept and replicated all the same, and listed at the
	// office.
	rules := func(_, id string, doc []byte) []string { return jobbook.Sentences(id, doc) }
	look := &watch{data: cfg.data, keep: cfg.keep, log: log, now: time.Now, free: freeSpace}
	opt := officeStore(path)
	opt.Log, opt.Rules, opt.Compare, opt.Room, opt.Free = log, rules, changes, look.makeRoom, freeSpace
	opt.Upgrade.Without = cfg.withoutCopy
	_, err = os.Stat(path)
	fresh := errors.Is(err, fs.ErrNotExist)
	st, err := store.Open(opt)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	look.st = st
	dropLeftovers(cfg.data, log)
	keepBeforeVersion(ctx, st, cfg.data, *opt.Upgrade, fresh, log)
	if err := haveBook(st, cfg.book); err != nil {
		return err
	}
	assets, err := pwa.Files()
	if err != nil {
		return err
	}
	server.LimitMemory()
	protocol := &replication.Handler{Store: st, Version: versionText(), Log: log, Trouble: look.notice}
	copies := &peer.Keeper{Dir: cfg.data, Store: st, Routes: protocol.Routes(), Log: log}
	protocol.Copies = copies.Trouble
	copies.Open()
	defer copies.Close()
	s := &server.Server{
		Addr:    cfg.addr,
		Assets:  assets,
		Sheets:  worksheets{},
		Rules:   ruled,
		Pairing: &pairing.Service{Keeper: st, Log: log},
		Peer:    sameuser.Check,
		Sync:    server.SyncRoutes(protocol),
		Peers:   copies,
		Origins: cfg.origins,
		Public:  cfg.public,
		Proxies: cfg.proxies,
		Reviews: st,
		Wanted:  st.Wanted,
		Trail:   st,
		Backup:  func(ctx context.Context, to io.Writer) error { return streamBackup(st, cfg.data, to) },
		Ready:   look.ready,
		Version: versionText(),
		Log:     log,
	}
	// A full disk may have no room for a token: phones and browsers are served all the same.
	if token, err := s.Pairing.LocalToken(cfg.data); err != nil {
		log.Warn("other commands will not find this server until it is started again", "err", err)
	} else {
		s.Prove = func(nonce string) string { return pairing.Prove(token, nonce, s.Port()) }
	}
	s.Pairing.Opened = func() { _ = showLink(c, s) }
	var net network
	if cfg.lan {
		if net, err = openNetwork(cfg, s, log); err != nil {
			return err
		}
	}
	if err := s.Open(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close(context.WithoutCancel(ctx))) }()
	if cfg.lan {
		if err := net.announce(s, log); err != nil {
			log.Warn("the name is not announced; phones can use the address", "err", err)
		}
		defer net.close()
	}
	if err := writeServing(cfg.data, s, cfg.name); err != nil {
		log.Warn("other commands will not find this server by themselves", "err", err)
	}
	defer dropServing(cfg.data)
	defer look.run(ctx)()
	defer tend(ctx, st, log)()
	fmt.Fprintf(c.out, "Datumbook is at %s\nRecords: %s\n", s.URL(), path)
	link := showLink(c, s)
	if cfg.lan || cfg.public != "" {
		if err := net.welcome(c, s); err != nil {
			return err
		}
	}
	if cfg.opened != nil {
		cfg.opened(link)
	}
	select {
	case <-ctx.Done():
		fmt.Fprintln(c.out, "Closing: finishing what was begun.")
		return nil
	case err := <-s.Failed():
		return err
	}
}

// changes tells what a revision did to its record, for the review list and the trail.
func changes(_, id, by, name string, before, after []byte) store.Compared {
	c := jobbook.ChangeOf(id, by, name, before, after)
	if strings.HasPrefix(by, store.PeerSender) {
		c.Rewritten = nil // whose token it came by was known where it came from, and looked at there
	}
	return store.Compared{Flags: c.Rewritten, What: c.What, Detail: c.Title}
}

// showLink prints the link that lets a browser of this machine in, and a new one after each use.
func showLink(c *console, s *server.Server) string {
	link, err := s.OpenLink()
	if errors.Is(err, server.ErrProxied) {
		fmt.Fprintln(c.out, "A browser of this machine is let in by a code, which 'datumbook devices --pair owner' prints.")
		return ""
	}
	if err != nil {
		fmt.Fprintf(c.err, "datumbook: %v\n", err)
		return ""
	}
	fmt.Fprintf(c.out, "A browser of this machine is let in, once, by %s\n", link)
	return link
}

// haveBook makes the shop's book at the first start.
func haveBook(st *store.Store, name string) error {
	if _, err := st.Book(name); err == nil {
		return nil
	}
	_, err := st.CreateBook(name)
	return err
}
