-- What a letter that goes out at once is about, by kinds of alarm, so that each is told
-- once of a session; and to whom letters by the clock may be written, in whichever club.

alter table letter add column alarm smallint constraint letter_alarm check (alarm between 1 and 15);
comment on column letter.alarm is 'Of a letter sent at once: a warning sign (1), pain that may come from a bone (2), pain that pauses running (4), answers about health (8), added up.';

create index athlete_monday on athlete (zone, club_id, athlete_id) where mail_monday and left_at is null and email <> '';
create index club_gentle on club (club_id) where gentle_on;

grant select (zone, mail_monday, mail_gentle, mail_refused_at) on athlete to halfhour_door;
grant select (gentle_on) on club to halfhour_door;

-- Whoever has an address that takes mail, and wants it.
create function door_hearers(kind text, zones text[], after_club bigint, after_athlete bigint, most integer)
  returns table (club_id bigint, athlete_id bigint, zone text)
  language sql stable security definer set search_path = public, pg_temp
  as $$
  select h.club_id, h.athlete_id, h.zone from (
    select a.club_id, a.athlete_id, a.zone::text as zone from athlete a
    where kind = 'monday' and a.mail_monday and a.left_at is null and a.email <> '' and a.zone::text = any (zones) and a.mail_refused_at is null
    union all
    select a.club_id, a.athlete_id, a.zone::text from club k join athlete a on a.club_id = k.club_id
    where kind = 'gentle' and k.gentle_on and a.mail_gentle and a.left_at is null and a.email <> '' and a.zone::text = any (zones) and a.mail_refused_at is null) h
  where (h.club_id, h.athlete_id) > (after_club, after_athlete)
  order by h.club_id, h.athlete_id limit most
$$;
create function door_zones(kind text) returns setof text
  language sql stable security definer set search_path = public, pg_temp
  as $$
  select distinct a.zone::text from athlete a
  where kind = 'monday' and a.mail_monday and a.left_at is null and a.email <> ''
  union
  select distinct a.zone::text from club k join athlete a on a.club_id = k.club_id
  where kind = 'gentle' and k.gentle_on and a.mail_gentle and a.left_at is null and a.email <> ''
$$;
revoke execute on function door_hearers(text, text[], bigint, bigint, integer), door_zones(text) from public;
grant execute on function door_hearers(text, text[], bigint, bigint, integer), door_zones(text) to halfhour_app;
grant create on schema public to halfhour_door;
alter function door_hearers(text, text[], bigint, bigint, integer) owner to halfhour_door;
alter function door_zones(text) owner to halfhour_door;
revoke create on schema public from halfhour_door;
