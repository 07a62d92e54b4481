package access_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
)

// spring gives the bytes it holds and keeps count.
type spring struct {
	bytes.Reader
	taken int
}

func (s *spring) Read(p []byte) (int, error) {
	n, err := s.Reader.Read(p)
	s.taken += n
	return n, err
}

func springOf(b byte) *spring {
	s := &spring{}
	s.Reset(bytes.Repeat([]byte{b}, 64))
	return s
}

// A token is 32 bytes of the source of randomness and nothing else: no time, no
// number, no name stands in it, and every bit of it counts.
func TestTokensAreAllRandom(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ways := map[string]func() (access.Token, error){
		"a login": func() (access.Token, error) {
			o, err := h.signIn("mara@example.org", right, home)
			return o.Token, err
		},
		"an athlete's link": func() (access.Token, error) {
			l, err := h.access.AthleteLink(ctx, h.actor(), h.store.Runner(h.club.ID, "Ana").ID)
			return l.Code, err
		},
		"a coach's link": func() (access.Token, error) {
			l, err := h.access.CoachLink(ctx, "mara@example.org")
			return l.Code, err
		},
		"the first link": func() (access.Token, error) {
			l, err := h.access.SetUpLink(ctx)
			return l.Code, err
		},
	}
	b := byte(0)
	for way, open := range ways {
		b++
		source := springOf(b)
		h.access.Random = source
		token, err := open()
		require.NoError(t, err, way)
		require.Equal(t, 32, source.taken, "%s: 256 bits", way)
		require.Equal(t, base64.RawURLEncoding.EncodeToString(bytes.Repeat([]byte{b}, 32)), string(token), way)
		require.Equal(t, access.Hash(sha256.Sum256([]byte(token))), token.Hash(), way)

		h.access.Random = io.MultiReader(bytes.NewReader(make([]byte, 31)), failing{})
		token, err = open()
		require.Error(t, err, "%s: without randomness there is none", way)
		require.Empty(t, token, way)
	}
}

// failing has no randomness left.
type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("no randomness left") }
