package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"path/filepath"
	"time"

	"datumbook/store"
)

const compactUsage = `usage: datumbook compact [flags]

Drops what no record needs any more, the older states that phones have long
replaced, and gives the room back to the disk, also while the office is serving.
The office does it by itself where much can be gained.

`

// compactCommand compacts the store and tells how large it was and is.
func compactCommand(ctx context.Context, c *console, args []string) int {
	var data, book string
	flags := recordFlags(c, "compact", compactUsage, &data, &book)
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	var before, after int64
	var err error
	if o, serving := findOffice(ctx, data); serving {
		before, after, err = compactOver(ctx, o, book)
	} else {
		before, after, err = compactIn(data)
	}
	if err == nil {
		fmt.Fprintf(c.out, "Compacted: %.1f MB before, %.1f MB now\n", float64(before)/1e6, float64(after)/1e6)
	}
	return ended(c, err)
}

// compactOver asks the office that serves, and waits until it is done.
func compactOver(ctx context.Context, o *office, book string) (before, after int64, err error) {
	path := "/sync/" + url.PathEscape(book)
	var info struct {
		Running bool                 `json:"compact_running"`
		Trouble string               `json:"compact_error"`
		Sizes   struct{ File int64 } `json:"sizes"`
	}
	if err := o.get(ctx, path, &info); err != nil {
		return 0, 0, err
	}
	before = info.Sizes.File
	var ok struct{}
	if err := o.json(ctx, http.MethodPost, path+"/_compact", struct{}{}, &ok); err != nil {
		return 0, 0, err
	}
	for {
		info.Trouble = ""
		if err := o.get(ctx, path, &info); err != nil {
			return 0, 0, err
		}
		if info.Trouble != "" {
			return 0, 0, errors.New(info.Trouble)
		}
		if !info.Running {
			return before, info.Sizes.File, nil
		}
		if err := wait(ctx, 200*time.Millisecond); err != nil {
			return 0, 0, err
		}
	}
}

// compactIn compacts the store of a data folder that no office has open.
func compactIn(data string) (before, after int64, err error) {
	st, err := openToChange(filepath.Join(data, storeFile))
	if err != nil {
		return 0, 0, err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	if before, err = st.Size(); err == nil {
		err = st.Compact()
	}
	if err == nil {
		after, err = st.Size()
	}
	return before, after, err
}

// When the office looks after its store: a while after the start, which others need the disk for.
const (
	tendFirst = 2 * time.Minute
	tendEvery = 10 * time.Minute
)

// tend looks after the store from time to time while serving. The function it gives ends that.
func tend(ctx context.Context, st *store.Store, log *slog.Logger) (end func()) {
	ctx, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for next := tendFirst; wait(ctx, next) == nil; next = tendEvery {
			if err := st.Tend(ctx); err != nil && ctx.Err() == nil {
				log.Warn("the upkeep of the records did not end", "err", err)
			}
		}
	}()
	return func() { stop(); <-done }
}

// wait waits, or gives the error of a context that ends before.
func wait(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}
