package postgres

import "halfhour.app/halfhour/internal/roster"

// Every change writes its line in the statement that makes it, so that neither is
// there without the other. The first three arguments of such a statement are the
// club, the coach and the athlete who act.
//
// audited is the part of a statement that writes the line about the rows which
// the part named changed has just given, as their number id.
func audited(change string) string {
	return `audited as (
  insert into audit (club_id, coach_id, athlete_id, change, row_id)
  select $1, nullif($2::bigint, 0), nullif($3::bigint, 0), '` + change + `', changed.id from changed)`
}

// auditedAs is audited for statements that are told what the change is called: the
// argument of the number.
func auditedAs(argument string) string {
	return `audited as (
  insert into audit (club_id, coach_id, athlete_id, change, row_id)
  select $1, nullif($2::bigint, 0), nullif($3::bigint, 0), ` + argument + `::text, changed.id from changed)`
}

// args are the actor's three, then the others.
func args(who roster.Actor, others ...any) []any {
	return append([]any{int64(who.Club), int64(who.Coach), int64(who.Athlete)}, others...)
}
