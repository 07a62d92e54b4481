package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// tellSQL writes to an athlete who is here, has an address that takes letters and wants
// to hear of decisions; where the last argument says so, only if an earlier letter about
// the decision is on its way or has arrived. A key that was there before gives nothing.
var tellSQL = `
with changed as (
  insert into letter (club_id, key, kind, athlete_id, by_coach, decision_id, made_at)
  select $1, $5, 'decision', a.athlete_id, $2, nullif($6::bigint, 0), $7 from athlete a
  where a.club_id = $1 and a.athlete_id = $4 and a.left_at is null and a.email <> '' and a.mail_refused_at is null and a.mail_decisions
    and (not $8::boolean or exists (select from letter t
      where t.club_id = $1 and t.decision_id = $6 and t.composed_at is not null and t.dropped_at is null))
  on conflict on constraint letter_key_once do nothing
  returning letter_id as id
), ` + audited("letter.write") + `
select id from changed`

// tell writes to the athlete about a decision just kept, where it tells something. One
// dated long ago is no news. A program that sends no mail has nobody to hand the letter
// to, and keeps the decision all the same.
func (s *Store) tell(ctx context.Context, tx pgx.Tx, who roster.Actor, id roster.DecisionID, d *roster.Decision) error {
	if !d.Tells() {
		return nil
	}
	if s.old(d.At) {
		return nil
	}
	return s.tellAthlete(ctx, tx, who, d.Athlete, fmt.Sprintf("decision-%d", id), id, post.Decided.Wait())
}

// tellTaken writes to the athlete that a coach has said where to begin.
func (s *Store) tellTaken(ctx context.Context, tx pgx.Tx, who roster.Actor, a *roster.Athlete) error {
	return s.tellAthlete(ctx, tx, who, a.ID, fmt.Sprintf("taken-in-%d-%d", a.ID, a.Version), 0, post.Decided.Wait())
}

// tellUndone writes to an athlete who has read of the decision that it was taken back.
func (s *Store) tellUndone(ctx context.Context, tx pgx.Tx, who roster.Actor, d *roster.Decision) error {
	return s.tellAthlete(ctx, tx, who, d.Athlete, fmt.Sprintf("undone-%d", d.ID), d.ID, 0)
}

func (s *Store) tellAthlete(ctx context.Context, tx pgx.Tx, who roster.Actor, to roster.AthleteID, key string, id roster.DecisionID, wait time.Duration) error {
	if s.errands == nil {
		return nil
	}
	letter, news, err := rowIf(ctx, tx, readID[roster.LetterID], tellSQL, args(who, to, key, id, s.now(), wait == 0)...)
	if err != nil || !news {
		return err
	}
	return s.errands.Letter(ctx, tx, who.Club, letter, s.now().Add(wait))
}

// newsFor is how long something counts as having just happened. What is dated earlier is
// a history that is being entered, and no news: an invented club's.
const newsFor = time.Hour

func (s *Store) old(at time.Time) bool { return s.now().Sub(at) > newsFor }

// alarmSQL writes to the coaches who are to know at once: to the athlete's own, if that
// coach is here and can and wants to be told, else to all who do and who see the athlete;
// never to the one who acts, and of answers about health not to deputies. Each is told
// of each kind of alarm once for a session.
var alarmSQL = `
with about as (
  select a.athlete_id, a.coach_id, k.own_only from athlete a join club k on k.club_id = a.club_id where a.club_id = $1 and a.athlete_id = $4
), able as (
  select c.coach_id, c.coach_id is not distinct from o.coach_id as own from coach c cross join about o
  where c.club_id = $1 and c.left_at is null and c.mail_refused_at is null and c.at_once_on
    and ($6::int & 8 = 0 or not c.deputy) and (not o.own_only or c.owner or coalesce(o.coach_id, c.coach_id) = c.coach_id)
), fresh as (
  select b.coach_id, $6::int & ~coalesce((select bit_or(t.alarm) from letter t
    where t.club_id = $1 and t.session_id = $5 and t.kind = 'at_once' and t.coach_id = b.coach_id), 0::smallint)::int as alarm
  from able b where (b.own or not exists (select from able x where x.own)) and b.coach_id <> $2
), changed as (
  insert into letter (club_id, key, kind, coach_id, athlete_id, session_id, alarm, by_coach, made_at)
  select $1, $7::text || '-' || f.alarm || '-' || f.coach_id, 'at_once', f.coach_id, $4, nullif($5::bigint, 0), f.alarm, nullif($2::bigint, 0), $8 from fresh f where f.alarm > 0
  on conflict on constraint letter_key_once do nothing
  returning letter_id as id
), ` + audited("letter.write") + `
select id from changed order by id`

// alarm tells coaches of what was reported at the instant, about a session or not.
func (s *Store) alarm(ctx context.Context, tx pgx.Tx, who roster.Actor, about roster.AthleteID, session roster.SessionID, alarm roster.Alarm, at time.Time) error {
	if alarm == 0 || s.errands == nil || s.old(at) {
		return nil
	}
	key := fmt.Sprintf("at-once-%d", session)
	if session == 0 {
		key = fmt.Sprintf("at-once-answers-%d-%d", about, at.Unix())
	}
	letters, err := several(ctx, tx, readID[roster.LetterID], alarmSQL, args(who, about, session, int(alarm), key, s.now())...)
	if err != nil {
		return err
	}
	for _, id := range letters {
		if err := s.handOn(ctx, tx, who.Club, id); err != nil {
			return err
		}
	}
	return nil
}
