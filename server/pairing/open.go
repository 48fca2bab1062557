package pairing

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"net/netip"
	"strconv"

	"datumbook/store"
)

// OpenKey gives the present key of the link for a browser of this machine: 256 bits, good once,
// until it is used or dropped.
func (s *Service) OpenKey() (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.open == "" {
		var raw [32]byte
		if _, err := io.ReadFull(s.random(), raw[:]); err != nil {
			return "", fmt.Errorf("draw the key of the link: %w", err)
		}
		s.open = base64.RawURLEncoding.EncodeToString(raw[:])
	}
	return s.open, nil
}

// DropOpenKey makes the present key worthless; OpenKey then gives a new one.
func (s *Service) DropOpenKey() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.open = ""
}

// Open exchanges the key for an owner's token. Guessing 256 bits is hopeless, so a wrong key makes
// nobody wait and the right one stays good.
func (s *Service) Open(key string, from netip.Addr) (token string, dev store.Device, err error) {
	s.mu.Lock()
	token, dev, err = s.tradeOpen(key, from)
	opened := s.Opened
	s.mu.Unlock()
	if err == nil && opened != nil {
		opened()
	}
	return token, dev, err
}

func (s *Service) tradeOpen(key string, from netip.Addr) (string, store.Device, error) {
	if s.open == "" || subtle.ConstantTimeCompare([]byte(s.open), []byte(key)) != 1 {
		return "", store.Device{}, &Refusal{Field: "key", Wrong: true, Says: "this link was used already, or a newer " +
			"one was made: run 'datumbook open' on the office machine and open the link that it prints"}
	}
	token, dev, err := s.admit(localName, store.Owner, from.String())
	if err != nil {
		return "", store.Device{}, fmt.Errorf("keep this machine's browser: %w", err)
	}
	s.open = ""
	return token, dev, nil
}

// NonceSize is the length in bytes of the nonce that Prove answers.
const NonceSize = 32

// NewNonce draws a nonce, in hexadecimal.
func NewNonce() string {
	var raw [NonceSize]byte
	_, _ = rand.Read(raw[:]) // never fails: crypto/rand ends the program instead
	return hex.EncodeToString(raw[:])
}

// Prove answers a nonce with what only a holder of this machine's token can: its own server. The
// port it listens on is part of the answer, so that a program at another port that passes the nonce
// on and the answer back proves nothing. The key is derived: the answer is of no use as a token.
func Prove(token, nonce string, port int) string {
	key := hmac.New(sha256.New, []byte(token))
	key.Write([]byte("datumbook serves here, 1"))
	answer := hmac.New(sha256.New, key.Sum(nil))
	answer.Write([]byte(nonce + ":" + strconv.Itoa(port)))
	return hex.EncodeToString(answer.Sum(nil))
}

// Proven reports whether an answer is that of Prove, in constant time.
func Proven(token, nonce string, port int, answer string) bool {
	return token != "" && hmac.Equal([]byte(Prove(token, nonce, port)), []byte(answer))
}
