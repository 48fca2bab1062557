package pairing

import (
	"crypto/rand"
	"crypto/subtle"
	"fmt"
	"io"
	"math/big"
	"strings"
	"time"

	"datumbook/store"
)

const (
	codeDigits  = 8
	codeLife    = 10 * time.Minute
	codesAtOnce = 8 // valid codes at one time
)

// Code is a one-time code as the office shows it.
type Code struct {
	Text    string     // "4821-9037"
	Role    store.Role // role of the device that redeems it
	Expires time.Time

	near int // wrong codes that began like it
}

// startDigits is how many digits tell which code somebody tries: a wrong code counts against the
// codes that begin like it, and against no other.
const startDigits = 3

// begins reports whether a typed code is a try at this one.
func (c *Code) begins(text string) bool {
	return subtle.ConstantTimeCompare([]byte(c.Text[:startDigits]), []byte(text[:startDigits])) == 1
}

// Digits gives the code without its dash, as it goes into a QR text.
func (c Code) Digits() string { return strings.ReplaceAll(c.Text, "-", "") }

// newCode draws a code; all 10^8 are equally likely.
func newCode(random io.Reader) (string, error) {
	n, err := rand.Int(random, big.NewInt(100_000_000))
	if err != nil {
		return "", fmt.Errorf("draw a pairing code: %w", err)
	}
	s := fmt.Sprintf("%0*d", codeDigits, n.Int64())
	return s[:4] + "-" + s[4:], nil
}

// readCode normalises a typed code, with or without blanks and dashes. False when it cannot be one.
func readCode(typed string) (string, bool) {
	if len(typed) > 64 {
		return "", false
	}
	var digits []byte
	for _, r := range typed {
		switch {
		case r >= '0' && r <= '9':
			digits = append(digits, byte(r))
		case r == '-' || r == ' ' || r == '\u00a0' || r == '\u2011' || r == '\u2013':
			// a dash or blank in any of its typed forms
		default:
			return "", false
		}
	}
	if len(digits) != codeDigits {
		return "", false
	}
	return string(digits[:4]) + "-" + string(digits[4:]), true
}

// findCode returns the index of a valid code, or -1. It compares with every code in constant time,
// so that timing reveals nothing.
func findCode(codes []Code, text string, now time.Time) int {
	found := -1
	for i, c := range codes {
		same := subtle.ConstantTimeCompare([]byte(c.Text), []byte(text)) == 1
		if same && now.Before(c.Expires) {
			found = i
		}
	}
	return found
}
