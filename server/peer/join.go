package peer

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
)

// Pair trades a one-time code that another Datumbook shows for a token of this office's own there.
func Pair(ctx context.Context, p Peer, code, name string) (token string, err error) {
	at := strings.Index(p.URL, "/sync/")
	if at < 0 {
		return "", errors.New("--code is shown by another Datumbook, whose address ends behind its port: for a CouchDB " +
			"name a user with --user")
	}
	e, err := newEnd(p)
	if err != nil {
		return "", err
	}
	e.base, e.auth = p.URL[:at], nil
	var got struct {
		Token  string
		Device struct{ Role string }
	}
	err = e.ask(ctx, http.MethodPost, "/api/pair", map[string]string{"code": code, "name": name}, &got)
	var f *Fault
	if errors.As(err, &f) && f.Status != 0 {
		return "", fmt.Errorf("%s does not take the code (%w); 'datumbook devices --pair owner' there shows another",
			e.base, err)
	}
	switch {
	case err != nil:
		return "", fmt.Errorf("%s: %w", e.base, err)
	case got.Token == "":
		return "", fmt.Errorf("%s: %w", e.base, garbage())
	case got.Device.Role == "reader":
		return "", errors.New("that code is for a reader, which may not write there: " +
			"show one with 'datumbook devices --pair owner'")
	}
	return got.Token, nil
}

// Try asks a peer for its database with what it was added with.
func Try(ctx context.Context, p Peer) error {
	e, err := newEnd(p)
	if err != nil {
		return err
	}
	_, err = e.identity(ctx)
	switch {
	case isStatus(err, http.StatusUnauthorized), isStatus(err, http.StatusForbidden):
		return fmt.Errorf("%s does not let this office in (%w): check the name and its password, or show a code at the "+
			"other office and give it with --code", p.URL, err)
	case isStatus(err, http.StatusNotFound):
		return fmt.Errorf("there is no database at %s (%w): make it there first, or correct the address", p.URL, err)
	case err != nil:
		return fmt.Errorf("%s: %w", p.URL, err)
	}
	return nil
}
