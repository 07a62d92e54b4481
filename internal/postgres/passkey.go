package postgres

import (
	"bytes"
	"context"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/roster"
)

const enterByPasskeySQL = `select set_config('halfhour.club', door_passkey($1)::text, true)`

const (
	beginCeremonySQL = `insert into ceremony (club_id, hash, until_at) values (0, $1, $2)`
	oldCeremoniesSQL = `delete from ceremony where club_id = 0 and until_at <= $1`
	endCeremonySQL   = `delete from ceremony where club_id = 0 and hash = $1 and until_at > $2 returning 1::bigint`
)

// BeginCeremony keeps until when the secret of the hash may be used; those that are
// over go.
func (s *Store) BeginCeremony(ctx context.Context, secret access.Hash, now, until time.Time) error {
	b := batch(doorstep)
	b.Queue(oldCeremoniesSQL, now)
	b.Queue(beginCeremonySQL, secret[:], until)
	return s.send(ctx, b)
}

// EndCeremony uses the secret up; fault.Gone where there is none (any more).
func (s *Store) EndCeremony(ctx context.Context, secret access.Hash, now time.Time) error {
	there, err := ask(ctx, s, doorstep, readID[int64], endCeremonySQL, secret[:], now)
	if err == nil && len(there) == 0 {
		err = gone()
	}
	return err
}

const passkeyColumns = `p.passkey_id, p.club_id, p.coach_id, p.credential_id, p.public_key, p.sign_count, p.backup_eligible, p.backed_up,
  p.transports, p.site, p.name, p.created_at, p.used_at, p.refused_at`

func readPasskey(c *cells) access.Passkey {
	return access.Passkey{
		ID: roster.PasskeyID(c.integer()), Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()),
		Credential: bytes.Clone(c.next()), PublicKey: bytes.Clone(c.next()), Count: uint32(c.integer()), Eligible: c.truth(), BackedUp: c.truth(),
		Transports: readTexts(c), Site: c.text(), Name: c.text(), CreatedAt: c.instant(), UsedAt: c.instant(), RefusedAt: c.instant(),
	}
}

// readTexts reads a text[].
func readTexts(c *cells) []string {
	a := c.array()
	texts := make([]string, a.n)
	for i := range texts {
		texts[i] = string(a.next())
	}
	if a.bad {
		c.fail()
	}
	return texts
}

var addPasskeySQL = `
with changed as (
  insert into passkey (club_id, coach_id, credential_id, public_key, sign_count, backup_eligible, backed_up, transports, site, name, created_at)
  values ($1, $2, $4, $5, $6, $7, $8, $9::text[], $10, $11, $12)
  returning passkey_id as id
), ` + audited("passkey.add") + `
select id from changed`

// AddPasskey keeps a passkey of the coach who acts; a credential that is kept
// already, of whomever, is fault.Conflict.
func (s *Store) AddPasskey(ctx context.Context, who roster.Actor, k access.Passkey) (roster.PasskeyID, error) {
	return askOne(ctx, s, who.Club, readID[roster.PasskeyID], addPasskeySQL,
		args(who, k.Credential, k.PublicKey, int64(k.Count), k.Eligible, k.BackedUp, k.Transports, k.Site, k.Name, k.CreatedAt)...)
}

const passkeysSQL = `select ` + passkeyColumns + ` from passkey p
where p.club_id = $1 and p.coach_id = $2 and p.removed_at is null order by p.passkey_id desc`

// Passkeys of a coach, the newest first.
func (s *Store) Passkeys(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]access.Passkey, error) {
	return ask(ctx, s, club, readPasskey, passkeysSQL, club, coach)
}

const byCredentialSQL = `select ` + passkeyColumns + ` from passkey p
join coach c on c.club_id = p.club_id and c.coach_id = p.coach_id
where p.club_id = (select current_club()) and p.credential_id = $1 and p.removed_at is null and c.left_at is null`

// ByCredential finds a passkey of any club, or fault.NotFound. Of a coach who left
// there is none.
func (s *Store) ByCredential(ctx context.Context, credential []byte) (access.Passkey, error) {
	var k access.Passkey
	var found bool
	b := through(enterByPasskeySQL, credential)
	one(b, &k, &found, readPasskey, byCredentialSQL, credential)
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return k, err
}

var signedBySQL = `
with changed as (
  update passkey set sign_count = $5, backed_up = $6, used_at = $7
  where club_id = $1 and passkey_id = $4 and removed_at is null and refused_at is null and (sign_count < $5 or sign_count = 0 and $5 = 0)
  returning passkey_id as id
), ` + audited("passkey.use") + `
select id from changed`

// SignedBy notes that the passkey signed; fault.Conflict when it may not any more.
func (s *Store) SignedBy(ctx context.Context, k access.Passkey, n access.Signed, now time.Time) error {
	who := roster.Actor{Club: k.Club, Coach: k.Coach}
	noted, err := ask(ctx, s, k.Club, readID[roster.PasskeyID], signedBySQL, args(who, k.ID, int64(n.Count), n.BackedUp, now)...)
	if err == nil && len(noted) == 0 {
		err = conflict()
	}
	return err
}

// The program refuses it, not the coach.
var refusePasskeySQL = `
with changed as (
  update passkey set refused_at = $5 where club_id = $1 and passkey_id = $4 and refused_at is null
  returning passkey_id as id
), ` + audited("passkey.refuse") + `
select id from changed`

// RefusePasskey notes that its count went back; the first time stays.
func (s *Store) RefusePasskey(ctx context.Context, k access.Passkey, now time.Time) error {
	_, err := ask(ctx, s, k.Club, readID[roster.PasskeyID], refusePasskeySQL, args(roster.Actor{Club: k.Club}, k.ID, now)...)
	return err
}

var removePasskeySQL = `
with changed as (
  update passkey set removed_at = $5 where club_id = $1 and coach_id = $2 and passkey_id = $4 and removed_at is null
  returning passkey_id as id
), ` + audited("passkey.remove") + `, ended as (
  update login set ended_at = $5 from changed where login.club_id = $1 and login.coach_id = $2
    and login.passkey_id = changed.id and login.login_id <> $6 and login.ended_at is null)
select id from changed`

// RemovePasskey removes a coach's own and ends the logins that it opened, but for
// keep.
func (s *Store) RemovePasskey(ctx context.Context, who roster.Actor, id roster.PasskeyID, now time.Time, keep roster.LoginID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.PasskeyID], removePasskeySQL, args(who, id, now, keep)...)
	return err
}

var proveSQL = `
with changed as (
  update login set proved_at = $5 where club_id = $1 and coach_id = $2 and login_id = $4 and ended_at is null
  returning login_id as id
), ` + audited("login.prove") + `
select id from changed`

// Prove notes on the login that its coach was asked again just now.
func (s *Store) Prove(ctx context.Context, who roster.Actor, id roster.LoginID, now time.Time) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.LoginID], proveSQL, args(who, id, now)...)
	return err
}
