package postgres

import (
	"context"

	"halfhour.app/halfhour/internal/roster"
)

// ownKeptSQL is what is kept of a coach. Of decisions, notes and looks it says that they
// were made, and about which number: what stands in them is about somebody else.
const ownKeptSQL = `select jsonb_build_object(
  'coach', (select to_jsonb(x) from (select c.coach_id, c.name, c.email, c.owner, c.deputy, c.letter_on, c.letter_day, c.letter_hour, c.letter_news_only, c.letter_all,
      c.letter_detail, c.at_once_on, c.letter_next, c.mail_refused_at, c.email_at
    from coach c where c.club_id = $1 and c.coach_id = $2) x),
  'logins', (select coalesce(jsonb_agg(to_jsonb(x) order by x.since), '[]') from (select l.login_id, l.device, l.since, l.seen_at, l.expires_at, l.ended_at, l.new_device, l.claimed_at, l.proved_at
    from login l where l.club_id = $1 and l.coach_id = $2) x),
  'passkeys', (select coalesce(jsonb_agg(to_jsonb(x) order by x.created_at), '[]') from (select p.passkey_id, p.name, p.site, p.created_at, p.used_at, p.refused_at, p.removed_at
    from passkey p where p.club_id = $1 and p.coach_id = $2) x),
  'letters', (select coalesce(jsonb_agg(to_jsonb(x) order by x.made_at), '[]') from (select t.letter_id, t.kind, t.address, t.made_at, t.sent_at, t.dropped_at, t.dropped_for
    from letter t where t.club_id = $1 and t.coach_id = $2) x),
  'decisions', (select coalesce(jsonb_agg(to_jsonb(x) order by x.at), '[]') from (select d.decision_id, d.athlete_id, d.at, d.as_of, d.choice, d.to_phase, d.undone_at
    from decision d where d.club_id = $1 and d.coach_id = $2) x),
  'notes', (select coalesce(jsonb_agg(to_jsonb(x) order by x.at), '[]') from (select n.note_id, n.athlete_id, n.at, n.private
    from note n where n.club_id = $1 and n.coach_id = $2) x),
  'looks', (select coalesce(jsonb_agg(to_jsonb(x) order by x.on_date, x.athlete_id, x.what), '[]') from (select k.athlete_id, k.on_date, k.what, k.first_at, k.last_at, k.times
    from look k where k.club_id = $1 and k.coach_id = $2) x))::text
from coach c where c.club_id = $1 and c.coach_id = $2`

// Own is what is kept of a coach of the club, as JSON, or fault.NotFound.
func (s *Store) Own(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]byte, error) {
	return askOne(ctx, s, club, func(c *cells) []byte { return []byte(c.text()) }, ownKeptSQL, club, coach)
}
