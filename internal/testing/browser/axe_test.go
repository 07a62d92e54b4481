package browser

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAxeIsTheOneThatWasTakenIn(t *testing.T) {
	sum := sha256.Sum256([]byte(axe))
	require.Equal(t, AxeSum, hex.EncodeToString(sum[:]))
	require.True(t, strings.HasPrefix(axe, "/*! axe v"+AxeVersion+"\n"), axe[:40])
}
