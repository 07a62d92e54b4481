package roster_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/roster"
)

func TestWhomAnActorSees(t *testing.T) {
	const club, mara, ivo, ana = 7, 1, 2, 11
	of := func(coach roster.CoachID) roster.Athlete { return roster.Athlete{ID: ana, Club: club, Coach: coach} }
	for _, k := range []struct {
		why   string
		actor roster.Actor
		of    roster.CoachID
		sees  bool
	}{
		{"a coach sees everybody", roster.Actor{Club: club, Coach: mara}, ivo, true},
		{"also as a deputy", roster.Actor{Club: club, Coach: mara, Deputy: true}, ivo, true},
		{"who sees own athletes only sees them", roster.Actor{Club: club, Coach: mara, OwnOnly: true}, mara, true},
		{"and those of nobody", roster.Actor{Club: club, Coach: mara, OwnOnly: true}, 0, true},
		{"and not another coach's", roster.Actor{Club: club, Coach: mara, OwnOnly: true}, ivo, false},
		{"another club's coach sees nobody", roster.Actor{Club: 8, Coach: mara}, mara, false},
		{"an athlete sees herself", roster.Actor{Club: club, Athlete: ana}, ivo, true},
		{"and nobody else", roster.Actor{Club: club, Athlete: ana + 1}, 0, false},
		{"the program sees nobody", roster.Actor{Club: club}, 0, false},
		{"nor does whoever has no club", roster.Actor{Coach: mara}, mara, false},
	} {
		a := of(k.of)
		require.Equal(t, k.sees, k.actor.Sees(&a), k.why)
	}
}
