package pairing

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io"
	"strings"
)

// tokenPrefix lets people and secret scanners recognise a token. It is part of what is hashed.
const tokenPrefix = "dtb_"

// tokenLen is the length of a token's text: the prefix and 32 bytes in
// unpadded base64url.
const tokenLen = len(tokenPrefix) + 43

// newToken draws 256 bits and gives the token's text.
func newToken(random io.Reader) (string, error) {
	var raw [32]byte
	if _, err := io.ReadFull(random, raw[:]); err != nil {
		return "", fmt.Errorf("draw a device token: %w", err)
	}
	return tokenPrefix + base64.RawURLEncoding.EncodeToString(raw[:]), nil
}

// hashToken gives the SHA-256 of a token's text, the only form of it that is
// kept, or false when the text cannot be a token at all.
func hashToken(token string) ([sha256.Size]byte, bool) {
	if len(token) != tokenLen || !strings.HasPrefix(token, tokenPrefix) {
		return [sha256.Size]byte{}, false
	}
	return sha256.Sum256([]byte(token)), true
}
