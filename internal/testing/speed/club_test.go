package speed_test

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/httpd"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/testing/pgtest"
	"halfhour.app/halfhour/internal/testing/speed"
)

func TestMain(m *testing.M) { os.Exit(pgtest.Main(m, postgres.Migrate)) }

// now is a morning.
func now() time.Time { return time.Date(2026, time.April, 14, 7, 30, 0, 0, time.UTC) }

// club is a club with its web app.
type club struct {
	t        testing.TB
	recorder *speed.Recorder
	store    *postgres.Store
	bare     *pgxpool.Pool // as the app's role, for the floor
	owner    string        // the address of the owner
	app      http.Handler
	access   *access.Service
	coach    access.Opened
	shelf    *roster.Shelf
	keys     int
}

func newClub(t testing.TB) *club {
	t.Helper()
	at := pgtest.New(t)
	c := &club{t: t, recorder: &speed.Recorder{}, owner: at.SuperuserURL}
	db, err := postgres.Open(t.Context(), at.AppURL, postgres.Options{Now: now, Tracer: c.recorder})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	c.store = db.Store()
	bare, err := pgxpool.ParseConfig(at.AppURL)
	require.NoError(t, err)
	bare.ConnConfig.RuntimeParams["plan_cache_mode"] = "force_generic_plan" // as the store asks for
	c.bare, err = pgxpool.NewWithConfig(t.Context(), bare)
	require.NoError(t, err)
	t.Cleanup(c.bare.Close)
	random := &fake.Random{}
	c.access = &access.Service{Store: c.store, Hasher: &fake.Hasher{}, Random: random, Now: now}
	c.app, err = httpd.New(httpd.Deps{
		Access: c.access, Enrol: &enrol.Service{Store: c.store, Now: now}, Entry: &entry.Service{Store: c.store, Now: now}, Days: &days.Service{Store: c.store, Now: now},
		Outdoors: &outdoors.Service{Store: c.store, Now: now}, Routine: &routine.Service{Store: c.store, Now: now}, Lift: &lift.Service{Store: c.store, Now: now},
		Morning: &morning.Service{Store: c.store, Now: now}, Decide: &decide.Service{Store: c.store, Now: now},
		Privacy: &privacy.Service{Store: c.store, Now: now},
		Ready:   db.Ping, Log: slog.New(slog.DiscardHandler), Random: random, Now: now,
	})
	require.NoError(t, err)
	link, err := c.access.SetUpLink(t.Context())
	require.NoError(t, err)
	c.coach, err = c.access.Found(t.Context(), link.Code, roster.Club{Name: "Harbour", Zone: "UTC"},
		access.Newcomer{Name: "Ana", Email: "ana@example.org", Password: "harbour in the morning"}, "a browser")
	require.NoError(t, err)
	c.shelf, err = c.store.NewestShelf(t.Context(), c.coach.Login.Club)
	require.NoError(t, err)
	return c
}

func (c *club) actor() roster.Actor {
	return roster.Actor{Club: c.coach.Login.Club, Coach: c.coach.Login.Coach}
}

func (c *club) key() roster.Key {
	c.keys++
	return roster.Key(fmt.Sprintf("key-%08d", c.keys))
}

// train takes so many people in, each with so many weeks of history: the newest
// twelve on the way up to L3, all before on B1. Of four people, one may move up.
func (c *club) train(people, weeks int) (ids []roster.AthleteID) {
	today := day.Of(now(), time.UTC)
	for i := range people {
		a := roster.Athlete{
			Name: fmt.Sprintf("Athlete %03d", i), Zone: "UTC", SessionsAWeek: 3, HeartUsable: true, JoinedOn: today - day.Date(7*weeks), Arrival: roster.Here,
			Standing: roster.Standing{Pathway: c.shelf.ID, Phase: "L3", PhaseSince: today - 13, LastPassed: "L2"},
		}
		id, err := c.store.Add(c.t.Context(), c.actor(), a, roster.HealthCheck{}, c.key())
		require.NoError(c.t, err)
		ids = append(ids, id)
		for ago := 7*weeks - 2; ago >= 1; ago -= 2 + ago%2 {
			s := c.session(id, today-day.Date(ago), i%4 == 0)
			_, _, err := c.store.Log(c.t.Context(), c.actor(), s, 0)
			require.NoError(c.t, err)
		}
	}
	c.analyze()
	return ids
}

// analyze tells the database how much it holds, as its own upkeep does after a
// while; in tests that is off.
func (c *club) analyze() {
	conn, err := pgx.Connect(c.t.Context(), c.owner)
	require.NoError(c.t, err)
	_, err = conn.Exec(c.t.Context(), "vacuum (analyze)")
	require.NoError(c.t, err)
	require.NoError(c.t, conn.Close(c.t.Context()))
}

func (c *club) session(id roster.AthleteID, date day.Date, settled bool) roster.Session {
	rung := max(0, min(6, 12-int(day.Of(now(), time.UTC)-date)/7))
	phase := c.shelf.Phases[rung]
	s := roster.Session{Athlete: id, Key: c.key(), LoggedAt: date.UTC().Add(8 * time.Hour)}
	s.Session = readiness.Session{
		StartedAt: date.UTC().Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: phase.ID,
		Effort: readiness.Some(4), Talk: readiness.Sentence, PainAsked: true,
	}
	for _, b := range phase.Blocks {
		block := readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)}
		if b.Kind == pathway.Walk && settled {
			block.Settle = readiness.Some(b.Planned / 3)
		} else if b.Kind == pathway.Walk {
			block.Settle = readiness.Some(b.Planned * 2 / 3)
		}
		s.Blocks = append(s.Blocks, block)
	}
	return s
}

// ask sends a request as whoever holds the token and gives the status.
func (c *club) ask(token access.Token, method, path string, form url.Values) int {
	r := httptest.NewRequestWithContext(c.t.Context(), method, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept-Encoding", "gzip")
	r.AddCookie(&http.Cookie{Name: "halfhour", Value: string(token)})
	w := httptest.NewRecorder()
	c.app.ServeHTTP(w, r)
	return w.Code
}

// replay is the floor.
func (c *club) replay(ctx context.Context, trips speed.Trips) {
	require.NoError(c.t, speed.Replay(ctx, c.bare, trips))
}
