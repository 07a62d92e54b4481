package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/jobs"
	"halfhour.app/halfhour/internal/mail"
)

// Nobody else begins to send a letter while a mail server may still answer to it: it
// would arrive twice.
func TestALetterIsGivenTheTimeThatAServerMayTake(t *testing.T) {
	t.Parallel()
	require.Greater(t, jobs.LetterWithin, mail.Within)
}
