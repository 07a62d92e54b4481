package access

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io"
)

// Token is a secret of 32 random bytes, written in 43 letters, digits, minuses
// and underscores: what a browser holds as its login, or the code in a link.
type Token string

// tokenBytes are as many random bytes as the hash has.
const tokenBytes = 32

// newToken reads a fresh token from the source of randomness.
func newToken(random io.Reader) (Token, error) {
	var secret [tokenBytes]byte
	if _, err := io.ReadFull(random, secret[:]); err != nil {
		return "", fmt.Errorf("read random bytes: %w", err)
	}
	return tokenOf(secret), nil
}

func tokenOf(secret [tokenBytes]byte) Token {
	return Token(base64.RawURLEncoding.EncodeToString(secret[:]))
}

// Hash is what is kept of the token.
func (t Token) Hash() Hash { return sha256.Sum256([]byte(t)) }

// Sound says whether the text has the shape of a token, so that junk never
// reaches the store.
func (t Token) Sound() bool {
	secret, err := base64.RawURLEncoding.Strict().DecodeString(string(t))
	return err == nil && len(secret) == tokenBytes
}
