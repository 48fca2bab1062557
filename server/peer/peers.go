package peer

import (
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"datumbook/store"
)

// Way is in which direction records go.
type Way string

// The ways, seen from this office.
const (
	Both Way = "both"
	Out  Way = "out"
	In   Way = "in"
)

// ParseWay reads a way.
func ParseWay(text string) (Way, error) {
	if w := Way(text); w == Both || w == Out || w == In {
		return w, nil
	}
	return "", fmt.Errorf("--way %q is not known: use both, out or in", text)
}

// Peer is a database elsewhere that a book of this office is kept equal with.
type Peer struct {
	ID     string    `json:"id"`
	URL    string    `json:"url"` // of the database, without user and password
	Book   string    `json:"book"`
	Way    Way       `json:"way"`
	User   string    `json:"user,omitempty"` // empty: the secret is a token
	Secret string    `json:"secret,omitempty"`
	CA     string    `json:"ca,omitempty"` // certificates to trust beside the system's, PEM
	Added  time.Time `json:"added"`
}

// Name tells people which peer is meant: host and database.
func (p Peer) Name() string {
	u, err := url.Parse(p.URL)
	if err != nil {
		return p.URL
	}
	return u.Host + u.EscapedPath()
}

// peersFile holds the peers with their secrets: mode 0600.
const peersFile = "peers.json"

// Read gives the peers of a data folder.
func Read(dir string) ([]Peer, error) {
	name := filepath.Join(dir, peersFile)
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the list of peers cannot be read: %w", err)
	}
	var list []Peer
	if err := json.Unmarshal(text, &list); err != nil {
		return nil, fmt.Errorf("%s is not a list of peers (%w): move it away and add the peers again", name, err)
	}
	return list, nil
}

// write replaces the list; a crash leaves the old one or the new one. os.CreateTemp opens with mode
// 0600.
func write(dir string, list []Peer) (err error) {
	text, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(dir, peersFile+".new-*")
	if err != nil {
		return fmt.Errorf("the list of peers cannot be written: %w", err)
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
			err = fmt.Errorf("the list of peers cannot be written: %w", err)
		}
	}()
	_, err = f.Write(append(text, '\n'))
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = giveTo(dir, f.Name())
	}
	if err == nil {
		err = os.Rename(f.Name(), filepath.Join(dir, peersFile))
	}
	return err
}

// Free refuses a peer of the same address and book as one of the list.
func Free(dir string, p Peer) error {
	list, err := Read(dir)
	if err != nil {
		return err
	}
	for _, have := range list {
		if have.URL == p.URL && have.Book == p.Book {
			return fmt.Errorf("%s is a peer already, %s: remove it first with 'datumbook peer remove %s'",
				p.URL, have.ID, have.ID)
		}
	}
	return nil
}

// Add keeps a new peer, and gives it an id. One of the same address and book is refused.
func Add(dir string, p Peer) (Peer, error) {
	if err := Free(dir, p); err != nil {
		return p, err
	}
	list, err := Read(dir)
	if err != nil {
		return p, err
	}
	p.ID = store.NewID()[:6]
	return p, write(dir, append(list, p))
}

// Remove forgets a peer and its secret. What was exchanged stays at both ends.
func Remove(dir, id string) (Peer, error) {
	list, err := Read(dir)
	if err != nil {
		return Peer{}, err
	}
	at := slices.IndexFunc(list, func(p Peer) bool { return p.ID == id })
	if at < 0 {
		return Peer{}, fmt.Errorf("there is no peer %q: 'datumbook peer list' lists them", id)
	}
	gone := list[at]
	return gone, write(dir, slices.Delete(list, at, at+1))
}

// ParseURL reads the address of a database. One without a path is another Datumbook, where books are
// under /sync. Without TLS a secret could be read on its way, so plain HTTP is taken within this
// machine only, unless plain says that it is meant.
func ParseURL(text, book string, plain bool) (string, error) {
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.RawQuery != "" || u.Fragment != "":
		return "", fmt.Errorf("%q is not the address of a database: use for instance https://copy.example:8470 "+
			"for another Datumbook, or https://hub.example:6984/shop for a database of a CouchDB", text)
	case u.User != nil:
		return "", errors.New("leave user and password out of the address: name the user with --user, " +
			"and the password is asked for")
	case u.Scheme == "http" && !plain && !isLoopback(u.Hostname()):
		return "", errors.New("the address begins with http, and then anybody on the way could read records and " +
			"password: use https, or say --plain where the line itself is safe")
	}
	path := strings.TrimRight(u.EscapedPath(), "/")
	if path == "" || path == "/sync" {
		path = "/sync/" + url.PathEscape(book)
	}
	return u.Scheme + "://" + u.Host + path, nil
}

func isLoopback(host string) bool {
	if host == "localhost" {
		return true
	}
	ip, err := netip.ParseAddr(host)
	return err == nil && ip.IsLoopback()
}

// CheckCA refuses a file that holds no certificate.
func CheckCA(pem []byte) error {
	if !x509.NewCertPool().AppendCertsFromPEM(pem) {
		return errors.New("--ca names a file without a certificate: use the authority.pem of the other office's " +
			"data folder, or the certificate of whoever signed the other end's")
	}
	return nil
}
