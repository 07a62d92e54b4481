-- Where the migrations lead, read from a database by "make schema": for reading,
-- never run. Every table also has row security, on and forced.

create domain block_kinds as text
  constraint blocks CHECK ((((char_length(VALUE) >= 1) AND (char_length(VALUE) <= 60)) AND (translate(VALUE, 'rw'::text, ''::text) = ''::text)));

create domain breath_answer as text
  constraint breath CHECK ((VALUE = ANY (ARRAY['early'::text, 'half'::text, 'late'::text])));

create domain change_name as text
  constraint change CHECK (((char_length(VALUE) <= 40) AND (VALUE ~~ '_%._%'::text) AND (VALUE !~ '[^a-z_.]'::text)));

create domain done_blocks as smallint[]
  constraint done_s CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND ((0 <= ALL (VALUE)) IS NOT FALSE) AND ((14400 >= ALL (VALUE)) IS NOT FALSE) AND (array_position(VALUE, NULL::smallint) IS NULL)));

create domain exercise_ids as text[]
  constraint exercise_ids CHECK (((cardinality(VALUE) <= 32) AND ((cardinality(VALUE) = 0) OR ((array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1))) AND (array_position(VALUE, NULL::text) IS NULL) AND ((''::text <> ALL (VALUE)) IS NOT FALSE) AND (char_length(array_to_string(VALUE, ''::text)) <= (60 * cardinality(VALUE)))));

create domain form_key as text
  constraint key CHECK ((((char_length(VALUE) >= 8) AND (char_length(VALUE) <= 64)) AND (VALUE !~ '[^A-Za-z0-9_-]'::text)));

create domain hold as text
  constraint held CHECK ((VALUE = ANY (ARRAY[''::text, 'paused'::text, 'referred'::text])));

create domain long_text as text
  constraint note CHECK ((char_length(VALUE) <= 2000));

create domain movement_counts as smallint[]
  constraint movement_counts CHECK ((((cardinality(VALUE) >= 1) AND (cardinality(VALUE) <= 14)) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND (array_position(VALUE, NULL::smallint) IS NULL) AND ((1 <= ALL (VALUE)) IS NOT FALSE) AND ((900 >= ALL (VALUE)) IS NOT FALSE)));

create domain movement_ids as text[]
  constraint movement_ids CHECK ((((cardinality(VALUE) >= 1) AND (cardinality(VALUE) <= 14)) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND (array_position(VALUE, NULL::text) IS NULL) AND ((''::text <> ALL (VALUE)) IS NOT FALSE) AND (char_length(array_to_string(VALUE, ''::text)) <= (40 * cardinality(VALUE)))));

create domain pain_scores as smallint[]
  constraint pain_score CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND ((0 <= ALL (VALUE)) IS NOT FALSE) AND ((10 >= ALL (VALUE)) IS NOT FALSE)));

create domain pain_sites as text[]
  constraint pain_site CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND (cardinality(VALUE) <= 12) AND ((''::text <> ALL (VALUE)) IS NOT FALSE) AND (array_position(VALUE, NULL::text) IS NULL) AND (char_length(array_to_string(VALUE, ''::text)) <= (80 * cardinality(VALUE)))));

create domain phase_name as text
  constraint phase CHECK (((char_length(VALUE) >= 1) AND (char_length(VALUE) <= 81)));

create domain planned_blocks as smallint[]
  constraint planned_s CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND ((1 <= ALL (VALUE)) IS NOT FALSE) AND ((7200 >= ALL (VALUE)) IS NOT FALSE) AND (array_position(VALUE, NULL::smallint) IS NULL)));

create domain session_effort as smallint
  constraint effort CHECK (((VALUE >= 0) AND (VALUE <= 10)));

create domain session_kind as text
  constraint kind CHECK ((VALUE = ANY (ARRAY['planned'::text, 'extra'::text, 'strength'::text, 'other'::text])));

create domain session_minutes as smallint
  constraint minutes CHECK (((VALUE >= 0) AND (VALUE <= 600)));

create domain session_outcome as text
  constraint outcome CHECK ((VALUE = ANY (ARRAY['in_full'::text, 'shortened'::text, 'stopped_for_pain'::text, 'missed'::text, 'called_off'::text])));

create domain short_name as text
  constraint name CHECK (((char_length(VALUE) >= 1) AND (char_length(VALUE) <= 80)));

create domain slot_numbers as smallint[]
  constraint slot_numbers CHECK (((cardinality(VALUE) <= 32) AND ((cardinality(VALUE) = 0) OR ((array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1))) AND (array_position(VALUE, NULL::smallint) IS NULL) AND ((0 <= ALL (VALUE)) IS NOT FALSE) AND ((120 >= ALL (VALUE)) IS NOT FALSE)));

create domain some_blocks as smallint[]
  constraint settle_s CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND ((0 <= ALL (VALUE)) IS NOT FALSE) AND ((14400 >= ALL (VALUE)) IS NOT FALSE)));

create domain talk_answer as text
  constraint talk CHECK ((VALUE = ANY (ARRAY['chat'::text, 'sentence'::text, 'words'::text])));

create domain warning_signs as text[]
  constraint signs CHECK (((cardinality(VALUE) >= 1) AND (array_ndims(VALUE) = 1) AND (array_lower(VALUE, 1) = 1) AND (cardinality(VALUE) <= 11) AND (array_position(VALUE, NULL::text) IS NULL) AND (VALUE <@ ARRAY['chest_pressure'::text, 'faint'::text, 'breathless'::text, 'palpitations'::text, 'heat_confusion'::text, 'one_sided_weakness'::text, 'calf_swelling'::text, 'night_pain'::text, 'bone_tender'::text, 'hop_pain'::text, 'groin_deep'::text])));

create domain zone_name as text
  constraint zone CHECK (((char_length(VALUE) >= 1) AND (char_length(VALUE) <= 80)));

create sequence club_number;
grant usage on sequence club_number to halfhour_app;

create table athlete (
  club_id bigint not null,
  athlete_id bigint not null generated always as identity,
  key form_key not null,
  name short_name not null,
  email text not null default ''::text,
  birth_year smallint,
  zone zone_name not null,
  sessions_a_week smallint not null,
  heart_usable boolean not null,
  pathway_id bigint not null,
  phase phase_name not null,
  phase_since date not null,
  last_passed text not null default ''::text,
  held hold not null default ''::text,
  held_since date,
  cleared_on date,
  cleared_at timestamp with time zone,
  injured_on date,
  coach_word long_text not null default ''::text,
  joined_on date not null,
  left_at timestamp with time zone,
  version integer not null default 1,
  max_formula text not null default 'nes'::text,
  arrival text not null default 'here'::text,
  arrival_since date,
  check_since date,
  available integer not null default 0,
  coach_id bigint,
  handed_by bigint,
  handed_at timestamp with time zone,
  mail_refused_at timestamp with time zone,
  mail_decisions boolean not null default true,
  mail_monday boolean not null default false,
  mail_gentle boolean not null default true,
  mail_stop text not null default replace((gen_random_uuid())::text, '-'::text, ''::text),
  run_group_id bigint,
  strength_week smallint not null default 0,
  strength_legs smallint not null default 0,
  week_version integer not null default 0,
  roller boolean not null default false,
  constraint athlete_pkey PRIMARY KEY (club_id, athlete_id),
  constraint athlete_key_once UNIQUE (club_id, key),
  constraint athlete_mail_stop_once UNIQUE (mail_stop),
  constraint athlete_arrival CHECK ((arrival = ANY (ARRAY['invited'::text, 'answered'::text, 'here'::text, 'withdrawn'::text]))),
  constraint athlete_available CHECK (((available >= 0) AND (available <= 2097151))),
  constraint athlete_birth_year CHECK (((birth_year >= 1900) AND (birth_year <= 2200))),
  constraint athlete_email CHECK ((octet_length(email) <= 254)),
  constraint athlete_handed CHECK (((handed_at IS NULL) OR (num_nonnulls(coach_id, handed_by) = 2))),
  constraint athlete_last_passed CHECK ((char_length(last_passed) <= 81)),
  constraint athlete_legs CHECK (((strength_legs >= 0) AND (strength_legs <= strength_week))),
  constraint athlete_max_formula CHECK ((max_formula = ANY (ARRAY['nes'::text, 'fox'::text, 'tanaka'::text, 'gellish'::text, 'gellish_quadratic'::text, 'zhu'::text]))),
  constraint athlete_sessions_a_week CHECK (((sessions_a_week >= 2) AND (sessions_a_week <= 6))),
  constraint athlete_strength CHECK (((strength_week >= 0) AND (strength_week <= 3))),
  constraint athlete_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id),
  constraint athlete_club_id_pathway_id_fkey FOREIGN KEY (club_id, pathway_id) REFERENCES pathway(club_id, pathway_id),
  constraint athlete_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint athlete_group FOREIGN KEY (club_id, run_group_id) REFERENCES run_group(club_id, run_group_id) ON DELETE SET NULL (run_group_id),
  constraint athlete_handed_by_fkey FOREIGN KEY (club_id, handed_by) REFERENCES coach(club_id, coach_id)
);
comment on column athlete.max_formula is 'The formula of the predicted maximum heart rate (rule 4.2).';
comment on column athlete.arrival is 'How far somebody has come in; nothing is prescribed to anybody who is not here.';
comment on column athlete.arrival_since is 'Since when arrival holds, on the athlete''s date; null: since they joined.';
comment on column athlete.check_since is 'Since when answers about health wait for a coach''s look; null: none do.';
comment on column athlete.available is 'When the athlete can train: a bit for each of morning, midday and evening, from Monday morning on; 0: not told.';
comment on column athlete.coach_id is 'Whose athlete it is; null: everybody''s.';
comment on column athlete.handed_at is 'When the athlete was handed over to the present coach; null: never, or the coach has seen it.';
comment on column athlete.mail_refused_at is 'When a mail server last refused the address; nothing once it takes a letter, or the address is another.';
comment on column athlete.mail_monday is 'Wants a note of the week''s sessions on Mondays.';
comment on column athlete.mail_gentle is 'May be written to after silence.';
comment on column athlete.mail_stop is 'The secret in the address that stops mail: whoever got one of the letters has it.';
comment on column athlete.strength_week is 'Sessions of strength in each week.';
comment on column athlete.strength_legs is 'How many of these are hard on the legs.';
comment on column athlete.week_version is 'Counts what was wished of the weeks, so that two at once do not overwrite each other.';
comment on column athlete.roller is 'There is a roller, to release tissue with before a session.';
CREATE INDEX athlete_email ON public.athlete USING btree (email) WHERE ((email <> ''::text) AND (left_at IS NULL));
CREATE INDEX athlete_handed_over ON public.athlete USING btree (club_id, coach_id) WHERE (handed_at IS NOT NULL);
CREATE INDEX athlete_monday ON public.athlete USING btree (zone, club_id, athlete_id) WHERE (mail_monday AND (left_at IS NULL) AND (email <> ''::text));
CREATE INDEX athlete_of_group ON public.athlete USING btree (club_id, run_group_id) WHERE (run_group_id IS NOT NULL);
CREATE TRIGGER athlete_erased AFTER DELETE ON public.athlete FOR EACH ROW EXECUTE FUNCTION mark_erased();
create policy door on athlete for select to halfhour_door using ((CURRENT_USER = 'halfhour_door'::name));
create policy own on athlete for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on athlete to halfhour_app;
grant delete on athlete to halfhour_keeper;
grant update (arrival, arrival_since, available, birth_year, check_since, cleared_at, cleared_on, coach_id, coach_word, email, handed_at, handed_by, heart_usable, held, held_since, injured_on, joined_on, last_passed, left_at, mail_decisions, mail_gentle, mail_monday, mail_refused_at, max_formula, name, pathway_id, phase, phase_since, roller, run_group_id, sessions_a_week, strength_legs, strength_week, version, week_version, zone) on athlete to halfhour_app;
grant select (athlete_id, club_id, email, left_at, mail_gentle, mail_monday, mail_refused_at, mail_stop, zone) on athlete to halfhour_door;
grant select (athlete_id, club_id) on athlete to halfhour_keeper;
grant update (version) on athlete to halfhour_keeper;

create table attempt (
  club_id bigint not null default 0,
  key bytea not null,
  attempt_id bigint not null generated always as identity,
  at timestamp with time zone not null,
  constraint attempt_pkey PRIMARY KEY (club_id, key, attempt_id),
  constraint attempt_club_id CHECK ((club_id = 0)),
  constraint attempt_key CHECK ((octet_length(key) = 32))
);
CREATE INDEX attempt_at ON public.attempt USING btree (club_id, at);
create policy own on attempt for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on attempt to halfhour_app;

create table audit (
  club_id bigint not null,
  audit_id bigint not null generated always as identity,
  at timestamp with time zone not null default clock_timestamp(),
  coach_id bigint,
  athlete_id bigint,
  change change_name not null,
  row_id bigint,
  constraint audit_pkey PRIMARY KEY (club_id, audit_id),
  constraint audit_actor CHECK ((num_nonnulls(coach_id, athlete_id) <= 1))
);
comment on column audit.coach_id is 'Who made the change: a coach, an athlete or, with both null, the program.';
comment on column audit.change is 'The table and what was done: session.log, decision.keep.';
comment on column audit.row_id is 'The row''s number in that table; null where it has none.';
create policy own on audit for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert on audit to halfhour_app;
grant select on audit to halfhour_keeper;

create table calendar (
  club_id bigint not null,
  calendar_id bigint not null generated always as identity,
  athlete_id bigint,
  coach_id bigint,
  name text not null default replace((gen_random_uuid())::text, '-'::text, ''::text),
  fetched_on date,
  constraint calendar_pkey PRIMARY KEY (club_id, calendar_id),
  constraint calendar_athlete_once UNIQUE (club_id, athlete_id),
  constraint calendar_coach_once UNIQUE (club_id, coach_id),
  constraint calendar_of CHECK ((num_nonnulls(athlete_id, coach_id) = 1)),
  constraint calendar_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint calendar_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint calendar_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
comment on column calendar.name is 'What the names of its events end with, so that they are unlike any others in the world.';
comment on column calendar.fetched_on is 'The date, in UTC, on which a program fetched it last; null: none has.';
create policy own on calendar for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on calendar to halfhour_app;
grant delete on calendar to halfhour_keeper;
grant update (fetched_on) on calendar to halfhour_app;
grant select (athlete_id, calendar_id, club_id) on calendar to halfhour_keeper;

create table calendar_address (
  club_id bigint not null,
  calendar_id bigint not null,
  athlete_id bigint,
  hash bytea not null,
  made_at timestamp with time zone not null,
  constraint calendar_address_pkey PRIMARY KEY (club_id, calendar_id),
  constraint calendar_address_once UNIQUE (hash),
  constraint calendar_address_hash CHECK ((octet_length(hash) = 32)),
  constraint calendar_address_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint calendar_address_club_id_calendar_id_fkey FOREIGN KEY (club_id, calendar_id) REFERENCES calendar(club_id, calendar_id) ON DELETE CASCADE
);
comment on column calendar_address.athlete_id is 'Null: it is a coach''s.';
comment on column calendar_address.hash is 'SHA-256 of the secret in the address.';
CREATE INDEX calendar_address_athlete ON public.calendar_address USING btree (club_id, athlete_id) WHERE (athlete_id IS NOT NULL);
create policy door on calendar_address for select to halfhour_door using (true);
create policy own on calendar_address for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on calendar_address to halfhour_app;
grant delete on calendar_address to halfhour_keeper;
grant select (club_id, hash) on calendar_address to halfhour_door;
grant select (athlete_id, club_id) on calendar_address to halfhour_keeper;

create table calendar_event (
  club_id bigint not null,
  calendar_id bigint not null,
  slot text not null,
  athlete_id bigint,
  week date not null,
  kind text not null,
  on_date date not null,
  starts_at timestamp with time zone,
  minutes smallint not null,
  words text not null,
  state text not null,
  sequence integer not null,
  changed_at timestamp with time zone not null,
  constraint calendar_event_pkey PRIMARY KEY (club_id, calendar_id, slot),
  constraint calendar_event_in_week CHECK (((on_date >= week) AND (on_date <= (week + 6)))),
  constraint calendar_event_kind CHECK (((char_length(kind) >= 1) AND (char_length(kind) <= 30))),
  constraint calendar_event_minutes CHECK (((minutes >= 1) AND (minutes <= 1440))),
  constraint calendar_event_sequence CHECK ((sequence >= 0)),
  constraint calendar_event_slot CHECK (((char_length(slot) >= 1) AND (char_length(slot) <= 60))),
  constraint calendar_event_state CHECK ((state = ANY (ARRAY['on'::text, 'off'::text, 'gone'::text]))),
  constraint calendar_event_week CHECK ((EXTRACT(isodow FROM week) = (1)::numeric)),
  constraint calendar_event_words CHECK ((char_length(words) = 64)),
  constraint calendar_event_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint calendar_event_club_id_calendar_id_fkey FOREIGN KEY (club_id, calendar_id) REFERENCES calendar(club_id, calendar_id) ON DELETE CASCADE
);
comment on column calendar_event.slot is 'What the event''s name begins with: it stays whatever is changed.';
comment on column calendar_event.athlete_id is 'Null: it is in a coach''s calendar.';
comment on column calendar_event.starts_at is 'Null: at any time of the day.';
comment on column calendar_event.words is 'SHA-256 of its words, to see whether they changed.';
comment on column calendar_event.state is 'off: called off, and shown struck out; gone: not shown.';
CREATE INDEX calendar_event_athlete ON public.calendar_event USING btree (club_id, athlete_id) WHERE (athlete_id IS NOT NULL);
create policy own on calendar_event for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on calendar_event to halfhour_app;
grant delete on calendar_event to halfhour_keeper;
grant update (changed_at, minutes, on_date, sequence, starts_at, state, words) on calendar_event to halfhour_app;
grant select (athlete_id, club_id) on calendar_event to halfhour_keeper;

create table ceremony (
  club_id bigint not null default 0,
  hash bytea not null,
  until_at timestamp with time zone not null,
  constraint ceremony_pkey PRIMARY KEY (club_id, hash),
  constraint ceremony_club_id CHECK ((club_id = 0)),
  constraint ceremony_hash CHECK ((octet_length(hash) = 32))
);
comment on column ceremony.hash is 'SHA-256 of the secret that the browser holds; the question is made of the secret.';
CREATE INDEX ceremony_until ON public.ceremony USING btree (club_id, until_at);
create policy own on ceremony for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on ceremony to halfhour_app;

create table clearance (
  club_id bigint not null,
  decision_id bigint not null,
  athlete_id bigint not null,
  given_on date not null,
  given_by text not null,
  limits long_text not null default ''::text,
  constraint clearance_pkey PRIMARY KEY (club_id, decision_id),
  constraint clearance_given_by CHECK (((char_length(given_by) >= 1) AND (char_length(given_by) <= 80))),
  constraint clearance_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint clearance_club_id_decision_id_fkey FOREIGN KEY (club_id, decision_id) REFERENCES decision(club_id, decision_id)
);
comment on column clearance.limits is 'What is to be kept to, in words.';
CREATE INDEX clearance_athlete ON public.clearance USING btree (club_id, athlete_id, decision_id DESC);
create policy own on clearance for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on clearance to halfhour_app;
grant delete on clearance to halfhour_keeper;
grant select (athlete_id, club_id) on clearance to halfhour_keeper;

create table club (
  club_id bigint not null default nextval('club_number'::regclass),
  name short_name not null,
  zone zone_name not null,
  demo boolean not null default false,
  minors boolean not null default false,
  own_only boolean not null default false,
  keep_months smallint not null default 24,
  keep_since timestamp with time zone not null default now(),
  gentle_on boolean not null default false,
  gentle_words long_text not null default ''::text,
  waiting_since timestamp with time zone not null default now(),
  constraint club_pkey PRIMARY KEY (club_id),
  constraint club_id CHECK ((club_id > 0)),
  constraint club_keep_months CHECK (((keep_months >= 1) AND (keep_months <= 120)))
);
comment on column club.minors is 'It takes people under 18 with a guardian''s consent.';
comment on column club.own_only is 'Coaches see only their own athletes and those of nobody; owners see all.';
comment on column club.keep_months is 'For how many months after they left athletes are kept.';
comment on column club.keep_since is 'When that was last changed: nobody is erased within a month of it, so that it can be announced.';
comment on column club.gentle_on is 'Athletes are written to when nothing was heard of them for a while.';
comment on column club.gentle_words is 'The words of that letter; empty: those that Halfhour brings.';
comment on column club.waiting_since is 'Since when it holds for the club that those are erased who never began.';
CREATE INDEX club_gentle ON public.club USING btree (club_id) WHERE gentle_on;
create policy door on club for select to halfhour_door using (true);
create policy own on club for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on club to halfhour_app;
grant update (gentle_on, gentle_words, keep_months, keep_since, minors, name, own_only, zone) on club to halfhour_app;
grant select (club_id, gentle_on, zone) on club to halfhour_door;

create table coach (
  club_id bigint not null,
  coach_id bigint not null generated always as identity,
  name short_name not null,
  email text,
  password text not null default ''::text,
  owner boolean not null default false,
  deputy boolean not null default false,
  left_at timestamp with time zone,
  letter_on boolean not null default true,
  letter_day smallint not null default 7,
  letter_hour smallint not null default 18,
  letter_news_only boolean not null default false,
  letter_all boolean not null default false,
  letter_detail text not null default 'initials'::text,
  at_once_on boolean not null default true,
  letter_next timestamp with time zone,
  mail_stop text not null default replace((gen_random_uuid())::text, '-'::text, ''::text),
  mail_refused_at timestamp with time zone,
  email_at timestamp with time zone,
  email_login bigint,
  constraint coach_pkey PRIMARY KEY (club_id, coach_id),
  constraint coach_email_once UNIQUE (email),
  constraint coach_mail_stop_once UNIQUE (mail_stop),
  constraint coach_email CHECK (((email = lower(email)) AND ((octet_length(email) >= 3) AND (octet_length(email) <= 254)) AND (POSITION(('@'::text) IN (email)) > 1))),
  constraint coach_email_at CHECK ((num_nonnulls(email_at, email_login) = ANY (ARRAY[0, 2]))),
  constraint coach_left CHECK ((((left_at IS NULL) = (email IS NOT NULL)) AND ((left_at IS NULL) OR ((password = ''::text) AND (NOT owner) AND (NOT deputy))))),
  constraint coach_letter_day CHECK (((letter_day >= 1) AND (letter_day <= 7))),
  constraint coach_letter_detail CHECK ((letter_detail = ANY (ARRAY['initials'::text, 'names'::text, 'reasons'::text]))),
  constraint coach_letter_hour CHECK (((letter_hour >= 0) AND (letter_hour <= 23))),
  constraint coach_role CHECK ((NOT (owner AND deputy))),
  constraint coach_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
comment on column coach.password is 'argon2id hash as a PHC string; empty: none was set.';
comment on column coach.deputy is 'Helps with the training, and sees no health answers.';
comment on column coach.left_at is 'Null: still here.';
comment on column coach.letter_day is 'The day of the week on which the weekly letter is written: Monday is 1.';
comment on column coach.letter_hour is 'The hour of that day, where the club is.';
comment on column coach.letter_next is 'When the next one is due; null: to be worked out anew.';
comment on column coach.mail_stop is 'The secret in the address that stops mail: whoever got one of the letters has it.';
comment on column coach.mail_refused_at is 'When a mail server last refused the address; nothing once it takes a letter, or the address is another.';
comment on column coach.email_at is 'When the coach changed the address, until that was seen on another login; null: never, or it was seen.';
comment on column coach.email_login is 'The login that changed it.';
CREATE INDEX coach_letter_due ON public.coach USING btree (COALESCE(letter_next, '-infinity'::timestamp with time zone)) WHERE (letter_on AND (left_at IS NULL) AND (mail_refused_at IS NULL));
create policy door on coach for select to halfhour_door using (true);
create policy own on coach for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on coach to halfhour_app;
grant update (at_once_on, deputy, email, email_at, email_login, left_at, letter_all, letter_day, letter_detail, letter_hour, letter_news_only, letter_next, letter_on, mail_refused_at, owner, password) on coach to halfhour_app;
grant select (club_id, coach_id, email, left_at, letter_day, letter_hour, letter_next, letter_on, mail_refused_at, mail_stop) on coach to halfhour_door;

create table code (
  club_id bigint not null,
  hash bytea not null,
  purpose text not null,
  coach_id bigint,
  athlete_id bigint,
  expires_at timestamp with time zone not null,
  used_at timestamp with time zone,
  of_club bigint generated always as (NULLIF(club_id, 0)) stored,
  email text,
  constraint code_pkey PRIMARY KEY (club_id, hash),
  constraint code_hash_once UNIQUE (hash),
  constraint code_email CHECK (((email = lower(email)) AND ((octet_length(email) >= 3) AND (octet_length(email) <= 254)) AND (POSITION(('@'::text) IN (email)) > 1))),
  constraint code_hash CHECK ((octet_length(hash) = 32)),
  constraint code_person CHECK (
CASE purpose
    WHEN 'set_up'::text THEN ((club_id = 0) AND (num_nonnulls(coach_id, athlete_id, email) = 0))
    WHEN 'athlete'::text THEN ((club_id > 0) AND (num_nonnulls(coach_id, email) = 0) AND (athlete_id IS NOT NULL))
    WHEN 'coach'::text THEN ((club_id > 0) AND (coach_id IS NOT NULL) AND (num_nonnulls(athlete_id, email) = 0))
    WHEN 'coach_email'::text THEN ((club_id > 0) AND (coach_id IS NOT NULL) AND (athlete_id IS NULL))
    ELSE ((club_id > 0) AND (num_nonnulls(coach_id, athlete_id, email) = 0))
END),
  constraint code_purpose CHECK ((purpose = ANY (ARRAY['set_up'::text, 'athlete'::text, 'coach'::text, 'coach_invite'::text, 'deputy_invite'::text, 'coach_email'::text]))),
  constraint code_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint code_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint code_of_club_fkey FOREIGN KEY (of_club) REFERENCES club(club_id)
);
comment on column code.hash is 'SHA-256 of the code in the link.';
comment on column code.email is 'The new address that a coach confirms with it; null again once it was used or is long over.';
CREATE INDEX code_open ON public.code USING btree (club_id, purpose, athlete_id, coach_id) WHERE (used_at IS NULL);
create policy door on code for select to halfhour_door using (true);
create policy own on code for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on code to halfhour_app;
grant delete on code to halfhour_keeper;
grant update (email, expires_at, used_at) on code to halfhour_app;
grant select (club_id, hash) on code to halfhour_door;
grant select (athlete_id, club_id) on code to halfhour_keeper;

create table consent (
  club_id bigint not null,
  athlete_id bigint not null,
  consent_id bigint not null generated always as identity,
  kind text not null,
  text_version smallint not null,
  on_date date not null,
  at timestamp with time zone not null,
  by_coach bigint,
  guardian text not null default ''::text,
  withdrawn_at timestamp with time zone,
  constraint consent_pkey PRIMARY KEY (club_id, consent_id),
  constraint consent_guardian CHECK (((char_length(guardian) <= 80) AND ((guardian <> ''::text) = (kind = 'guardian'::text)))),
  constraint consent_kind CHECK ((kind = ANY (ARRAY['keeping'::text, 'health'::text, 'adult'::text, 'guardian'::text]))),
  constraint consent_text_version CHECK ((text_version > 0)),
  constraint consent_withdrawn_at CHECK ((withdrawn_at >= at)),
  constraint consent_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint consent_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id)
);
comment on column consent.text_version is 'Of the text that was agreed to.';
comment on column consent.by_coach is 'Filled in by a coach with the person beside them; null: by the athlete.';
comment on column consent.guardian is 'The name of the parent or guardian who agreed.';
CREATE INDEX consent_athlete ON public.consent USING btree (club_id, athlete_id);
CREATE UNIQUE INDEX consent_stands ON public.consent USING btree (club_id, athlete_id, kind) WHERE (withdrawn_at IS NULL);
create policy own on consent for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on consent to halfhour_app;
grant delete on consent to halfhour_keeper;
grant update (withdrawn_at) on consent to halfhour_app;
grant select (athlete_id, club_id, consent_id) on consent to halfhour_keeper;

create table decision (
  club_id bigint not null,
  athlete_id bigint not null,
  decision_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  as_of date not null,
  choice text not null,
  to_phase text not null default ''::text,
  reason long_text not null default ''::text,
  word long_text not null default ''::text,
  proposal text not null default ''::text,
  verdict jsonb not null,
  undone_at timestamp with time zone,
  undone_by bigint,
  before_pathway_id bigint not null,
  before_phase phase_name not null,
  before_phase_since date not null,
  before_last_passed text not null,
  before_held hold not null,
  before_held_since date,
  before_cleared_on date,
  before_cleared_at timestamp with time zone,
  before_injured_on date,
  before_word text not null,
  after_pathway_id bigint not null,
  after_phase phase_name not null,
  after_phase_since date not null,
  after_last_passed text not null,
  after_held hold not null,
  after_held_since date,
  after_cleared_on date,
  after_cleared_at timestamp with time zone,
  after_injured_on date,
  constraint decision_pkey PRIMARY KEY (club_id, decision_id),
  constraint decision_key_once UNIQUE (club_id, athlete_id, key),
  constraint decision_choice CHECK ((choice = ANY (ARRAY['move_up'::text, 'hold'::text, 'half_step'::text, 'ease_back'::text, 'pause'::text, 'resume'::text, 'refer'::text, 'cleared'::text, 'seen'::text]))),
  constraint decision_proposal CHECK ((char_length(proposal) <= 200)),
  constraint decision_to_phase CHECK ((char_length(to_phase) <= 81)),
  constraint decision_undone CHECK (((undone_at IS NULL) = (undone_by IS NULL))),
  constraint decision_verdict CHECK ((jsonb_typeof(verdict) = 'object'::text)),
  constraint decision_club_id_after_pathway_id_fkey FOREIGN KEY (club_id, after_pathway_id) REFERENCES pathway(club_id, pathway_id),
  constraint decision_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint decision_club_id_before_pathway_id_fkey FOREIGN KEY (club_id, before_pathway_id) REFERENCES pathway(club_id, pathway_id),
  constraint decision_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint decision_club_id_undone_by_fkey FOREIGN KEY (club_id, undone_by) REFERENCES coach(club_id, coach_id)
);
comment on column decision.before_word is 'The coach''s word to the athlete that this one replaced.';
CREATE INDEX decision_newest ON public.decision USING btree (club_id, athlete_id, decision_id DESC) WHERE (undone_at IS NULL);
CREATE INDEX decision_recent ON public.decision USING btree (club_id, at);
create policy own on decision for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on decision to halfhour_app;
grant delete on decision to halfhour_keeper;
grant update (undone_at, undone_by) on decision to halfhour_app;
grant select (athlete_id, club_id, decision_id) on decision to halfhour_keeper;

create table erased (
  club_id bigint not null,
  mark bytea not null,
  erased_on date not null,
  constraint erased_pkey PRIMARY KEY (club_id, mark),
  constraint erased_mark CHECK ((octet_length(mark) = 32)),
  constraint erased_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
comment on column erased.mark is 'SHA-256 of a random secret that was erased with the person: it says nothing of anybody, but knows them again in a copy.';
comment on column erased.erased_on is 'In UTC.';
create policy own on erased for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant select on erased to halfhour_app;
grant insert on erased to halfhour_keeper;

create table erasure (
  club_id bigint not null,
  athlete_id bigint not null,
  asked_at timestamp with time zone not null,
  constraint erasure_pkey PRIMARY KEY (club_id, athlete_id),
  constraint erasure_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id)
);
create policy own on erasure for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on erasure to halfhour_app;
grant delete on erasure to halfhour_keeper;
grant select (athlete_id, club_id) on erasure to halfhour_keeper;

create table exercise (
  club_id bigint not null,
  exercise_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  away_at timestamp with time zone,
  name text not null,
  pattern text not null,
  needs text[] not null,
  measure text not null,
  sides boolean not null,
  level smallint not null,
  cues text[] not null,
  easier text not null,
  harder text not null,
  caution text not null,
  loads text[] not null,
  hard boolean not null,
  on_back boolean not null,
  on_front boolean not null,
  strains boolean not null,
  hops boolean not null,
  version integer not null default 1,
  constraint exercise_pkey PRIMARY KEY (club_id, exercise_id),
  constraint exercise_key_once UNIQUE (club_id, key),
  constraint exercise_caution CHECK ((char_length(caution) <= 200)),
  constraint exercise_cues CHECK ((((cardinality(cues) >= 1) AND (cardinality(cues) <= 6)) AND (array_position(cues, NULL::text) IS NULL) AND ((''::text <> ALL (cues)) IS NOT FALSE) AND (char_length(array_to_string(cues, ''::text)) <= (200 * cardinality(cues))))),
  constraint exercise_easier CHECK ((char_length(easier) <= 200)),
  constraint exercise_harder CHECK ((char_length(harder) <= 200)),
  constraint exercise_level CHECK (((level >= 1) AND (level <= 3))),
  constraint exercise_loads CHECK (((cardinality(loads) > 0) AND (loads <@ ARRAY['foot'::text, 'ankle'::text, 'Achilles'::text, 'calf'::text, 'shin'::text, 'knee'::text, 'thigh'::text, 'hip'::text, 'back'::text, 'shoulder'::text, 'elbow'::text, 'wrist'::text, 'neck'::text]) AND (array_position(loads, NULL::text) IS NULL))),
  constraint exercise_measure CHECK ((measure = ANY (ARRAY['weight'::text, 'reps'::text, 'hold'::text]))),
  constraint exercise_name CHECK (((char_length(name) >= 1) AND (char_length(name) <= 60))),
  constraint exercise_needs CHECK (((needs <@ ARRAY['dumbbells'::text, 'band'::text, 'bench'::text, 'step'::text]) AND (array_position(needs, NULL::text) IS NULL))),
  constraint exercise_pattern CHECK ((pattern = ANY (ARRAY['squat'::text, 'hinge'::text, 'single_leg'::text, 'pull'::text, 'vertical_press'::text, 'horizontal_press'::text, 'core'::text]))),
  constraint exercise_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column exercise.away_at is 'When it was put away; null: it can be chosen.';
create policy own on exercise for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on exercise to halfhour_app;
grant update (away_at, caution, cues, easier, hard, harder, hops, level, loads, measure, name, needs, on_back, on_front, pattern, sides, strains, version) on exercise to halfhour_app;

create table health_check (
  club_id bigint not null,
  athlete_id bigint not null,
  check_id bigint not null generated always as identity,
  form smallint not null,
  fresh boolean not null default false,
  answers jsonb not null default '{}'::jsonb,
  sections text[] not null default '{}'::text[],
  source text not null,
  by_coach bigint,
  asked_on date,
  asked_by text,
  begun_at timestamp with time zone not null,
  handed_at timestamp with time zone,
  handed_on date,
  advised boolean not null default false,
  why text[] not null default '{}'::text[],
  seen_at timestamp with time zone,
  seen_by bigint,
  version integer not null default 1,
  constraint health_check_pkey PRIMARY KEY (club_id, check_id),
  constraint health_check_advised CHECK (((advised = (cardinality(why) > 0)) AND ((handed_at IS NOT NULL) OR (NOT advised)))),
  constraint health_check_answers CHECK (((jsonb_typeof(answers) = 'object'::text) AND (octet_length((answers)::text) <= 65536))),
  constraint health_check_asked CHECK (((num_nonnulls(asked_on, asked_by) =
CASE source
    WHEN 'paper'::text THEN 2
    ELSE 0
END) AND (((char_length(asked_by) >= 1) AND (char_length(asked_by) <= 80)) IS NOT FALSE))),
  constraint health_check_by_coach CHECK (((by_coach IS NULL) = (source = 'phone'::text))),
  constraint health_check_form CHECK ((form > 0)),
  constraint health_check_handed CHECK ((((handed_at IS NULL) = (handed_on IS NULL)) AND ((handed_at >= begun_at) IS NOT FALSE))),
  constraint health_check_paper CHECK (((source <> 'paper'::text) OR ((handed_at IS NOT NULL) AND (answers = '{}'::jsonb)))),
  constraint health_check_sections CHECK (((cardinality(sections) <= 20) AND (array_position(sections, NULL::text) IS NULL))),
  constraint health_check_seen CHECK ((((seen_at IS NULL) = (seen_by IS NULL)) AND ((seen_at IS NULL) OR (handed_at IS NOT NULL)))),
  constraint health_check_source CHECK ((source = ANY (ARRAY['phone'::text, 'coach'::text, 'paper'::text]))),
  constraint health_check_why CHECK (((cardinality(why) <= 40) AND (array_position(why, NULL::text) IS NULL))),
  constraint health_check_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint health_check_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id),
  constraint health_check_club_id_seen_by_fkey FOREIGN KEY (club_id, seen_by) REFERENCES coach(club_id, coach_id)
);
comment on column health_check.form is 'Version of the questions.';
comment on column health_check.fresh is 'Asked again later on: health only.';
comment on column health_check.sections is 'Those answered so far.';
comment on column health_check.by_coach is 'The coach who filled it in or asked; null: the athlete.';
comment on column health_check.asked_on is 'Of paper: when it was asked.';
comment on column health_check.asked_by is 'Of paper: who asked.';
comment on column health_check.advised is 'A clearance was advised when it was handed in.';
comment on column health_check.why is 'The reasons for that, as they stood.';
comment on column health_check.seen_by is 'The coach who has looked at it.';
CREATE INDEX health_check_athlete ON public.health_check USING btree (club_id, athlete_id);
CREATE UNIQUE INDEX health_check_draft ON public.health_check USING btree (club_id, athlete_id) WHERE (handed_at IS NULL);
create policy own on health_check for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on health_check to halfhour_app;
grant delete on health_check to halfhour_keeper;
grant update (advised, answers, by_coach, form, fresh, handed_at, handed_on, sections, seen_at, seen_by, source, version, why) on health_check to halfhour_app;
grant select (athlete_id, club_id) on health_check to halfhour_keeper;

create table holiday (
  club_id bigint not null,
  holiday_id bigint not null generated always as identity,
  key form_key not null,
  name short_name not null,
  first_day date not null,
  last_day date not null,
  constraint holiday_pkey PRIMARY KEY (club_id, holiday_id),
  constraint holiday_key_once UNIQUE (club_id, key),
  constraint holiday_to CHECK ((last_day >= first_day)),
  constraint holiday_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
create policy own on holiday for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on holiday to halfhour_app;

create table kit (
  club_id bigint not null,
  athlete_id bigint not null,
  has text[] not null,
  weights integer[] not null,
  least integer not null,
  most integer not null,
  step integer not null,
  at timestamp with time zone not null,
  constraint kit_pkey PRIMARY KEY (club_id, athlete_id),
  constraint kit_has CHECK (((has <@ ARRAY['dumbbells'::text, 'band'::text, 'bench'::text, 'step'::text]) AND (array_position(has, NULL::text) IS NULL))),
  constraint kit_rack CHECK (((("least" >= 0) AND ("least" <= 100000)) AND ((most >= 0) AND (most <= 100000)) AND ((step >= 0) AND (step <= 100000)))),
  constraint kit_weights CHECK (((cardinality(weights) <= 60) AND (array_position(weights, NULL::integer) IS NULL) AND ((100 <= ALL (weights)) IS NOT FALSE) AND ((100000 >= ALL (weights)) IS NOT FALSE))),
  constraint kit_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id)
);
create policy own on kit for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on kit to halfhour_app;
grant delete on kit to halfhour_keeper;
grant update (at, has, least, most, step, weights) on kit to halfhour_app;
grant select (athlete_id, club_id) on kit to halfhour_keeper;

create table leave (
  club_id bigint not null,
  athlete_id bigint not null,
  leave_id bigint not null generated always as identity,
  key form_key not null,
  first_day date not null,
  last_day date,
  why text not null default ''::text,
  kind text not null default 'away'::text,
  injured_before date,
  constraint leave_pkey PRIMARY KEY (club_id, leave_id),
  constraint leave_key_once UNIQUE (club_id, athlete_id, key),
  constraint leave_injured_before CHECK (((injured_before IS NULL) OR (kind = 'injury'::text))),
  constraint leave_kind CHECK ((kind = ANY (ARRAY['away'::text, 'illness'::text, 'injury'::text]))),
  constraint leave_to CHECK ((last_day >= first_day)),
  constraint leave_why CHECK ((char_length(why) <= 80)),
  constraint leave_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id)
);
comment on column leave.last_day is 'Null: not over yet.';
comment on column leave.kind is 'away: holiday, work, whatever; an injury is the athlete''s injured_on too.';
comment on column leave.injured_before is 'Of an injury: what the athlete''s injured_on was before it, to be put back if the injury is taken out again.';
create policy own on leave for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on leave to halfhour_app;
grant delete on leave to halfhour_keeper;
grant update (injured_before, last_day) on leave to halfhour_app;
grant select (athlete_id, club_id, leave_id) on leave to halfhour_keeper;

create table letter (
  club_id bigint not null,
  letter_id bigint not null generated always as identity,
  key form_key not null,
  kind text not null,
  coach_id bigint,
  athlete_id bigint,
  address text,
  login_id bigint,
  by_coach bigint,
  made_at timestamp with time zone not null,
  sent_at timestamp with time zone,
  dropped_at timestamp with time zone,
  dropped_for text,
  week date,
  session_id bigint,
  decision_id bigint,
  subject text,
  composed_at timestamp with time zone,
  parts smallint,
  alarm smallint,
  constraint letter_pkey PRIMARY KEY (club_id, letter_id),
  constraint letter_key_once UNIQUE (club_id, key),
  constraint letter_address CHECK (((address ~~ '_%@_%'::text) AND (octet_length(address) <= 254))),
  constraint letter_alarm CHECK (((alarm >= 1) AND (alarm <= 15))),
  constraint letter_composed CHECK ((num_nonnulls(subject, composed_at, parts) = ANY (ARRAY[0, 3]))),
  constraint letter_dropped_for CHECK ((dropped_for = ANY (ARRAY['refused'::text, 'late'::text, 'nobody'::text, 'moot'::text, 'stopped'::text]))),
  constraint letter_ended CHECK (((num_nonnulls(sent_at, dropped_at) <= 1) AND (num_nonnulls(dropped_at, dropped_for) = ANY (ARRAY[0, 2])))),
  constraint letter_kind CHECK ((kind = ANY (ARRAY['way_in'::text, 'invitation'::text, 'coach_invitation'::text, 'deputy_invitation'::text, 'new_device'::text, 'new_address'::text, 'old_address'::text, 'weekly'::text, 'weekly_now'::text, 'at_once'::text, 'decision'::text, 'monday'::text, 'gentle'::text]))),
  constraint letter_parts CHECK (((parts >= 1) AND (parts <= 2000))),
  constraint letter_subject CHECK (((char_length(subject) >= 1) AND (char_length(subject) <= 200))),
  constraint letter_to CHECK (
CASE kind
    WHEN 'way_in'::text THEN ((address IS NULL) AND (num_nonnulls(coach_id, athlete_id) = 1))
    WHEN 'invitation'::text THEN ((num_nonnulls(coach_id, address) = 0) AND (num_nonnulls(athlete_id, by_coach) = 2))
    WHEN 'new_device'::text THEN ((num_nonnulls(athlete_id, address) = 0) AND (num_nonnulls(coach_id, login_id) = 2))
    WHEN 'new_address'::text THEN ((athlete_id IS NULL) AND (num_nonnulls(coach_id, address) = 2))
    WHEN 'old_address'::text THEN ((athlete_id IS NULL) AND (num_nonnulls(coach_id, address) = 2))
    WHEN 'weekly'::text THEN ((num_nonnulls(athlete_id, address) = 0) AND (num_nonnulls(coach_id, week) = 2))
    WHEN 'weekly_now'::text THEN ((num_nonnulls(athlete_id, address) = 0) AND (coach_id IS NOT NULL))
    WHEN 'at_once'::text THEN ((address IS NULL) AND (num_nonnulls(coach_id, athlete_id) = 2))
    WHEN 'decision'::text THEN ((num_nonnulls(coach_id, address) = 0) AND (num_nonnulls(athlete_id, by_coach) = 2))
    WHEN 'monday'::text THEN ((num_nonnulls(coach_id, address) = 0) AND (athlete_id IS NOT NULL))
    WHEN 'gentle'::text THEN ((num_nonnulls(coach_id, address) = 0) AND (athlete_id IS NOT NULL))
    ELSE ((num_nonnulls(coach_id, athlete_id) = 0) AND (num_nonnulls(address, by_coach) = 2))
END),
  constraint letter_week CHECK ((EXTRACT(isodow FROM week) = (1)::numeric)),
  constraint letter_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id) ON DELETE CASCADE,
  constraint letter_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id),
  constraint letter_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint letter_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id),
  constraint letter_club_id_login_id_fkey FOREIGN KEY (club_id, login_id) REFERENCES login(club_id, login_id) ON DELETE CASCADE,
  constraint letter_decision FOREIGN KEY (club_id, decision_id) REFERENCES decision(club_id, decision_id) ON DELETE CASCADE,
  constraint letter_session FOREIGN KEY (club_id, session_id) REFERENCES session(club_id, session_id) ON DELETE SET NULL (session_id)
);
comment on column letter.coach_id is 'To whom; with at_once, athlete_id is whom it is about.';
comment on column letter.address is 'Of somebody who is nobody here yet, or a coach''s address before it counts or after; for all others it is read when the letter is sent.';
comment on column letter.dropped_for is 'Why it was not sent: the address was refused, it was too late, there is nobody to send it to.';
comment on column letter.week is 'Of a weekly letter: the Monday of its week where the club is.';
comment on column letter.parts is 'Of how many parts it was made. A letter that has fewer now told of somebody who was erased.';
comment on column letter.alarm is 'Of a letter sent at once: a warning sign (1), pain that may come from a bone (2), pain that pauses running (4), answers about health (8), added up.';
CREATE INDEX letter_athlete ON public.letter USING btree (club_id, athlete_id) WHERE (athlete_id IS NOT NULL);
CREATE INDEX letter_coach ON public.letter USING btree (club_id, coach_id, made_at) WHERE (kind = ANY (ARRAY['weekly'::text, 'weekly_now'::text]));
CREATE INDEX letter_decision ON public.letter USING btree (club_id, decision_id) WHERE (decision_id IS NOT NULL);
CREATE INDEX letter_login ON public.letter USING btree (club_id, login_id) WHERE (login_id IS NOT NULL);
CREATE INDEX letter_session ON public.letter USING btree (club_id, session_id) WHERE (session_id IS NOT NULL);
CREATE UNIQUE INDEX letter_week_once ON public.letter USING btree (club_id, coach_id, week) WHERE (kind = 'weekly'::text);
create policy own on letter for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on letter to halfhour_app;
grant delete on letter to halfhour_keeper;
grant update (composed_at, dropped_at, dropped_for, parts, sent_at, subject) on letter to halfhour_app;
grant select (athlete_id, club_id, letter_id) on letter to halfhour_keeper;

create table letter_part (
  club_id bigint not null,
  letter_id bigint not null,
  place smallint not null,
  athlete_id bigint,
  plain text not null,
  html text not null,
  constraint letter_part_pkey PRIMARY KEY (club_id, letter_id, place),
  constraint letter_part_place CHECK (((place >= 1) AND (place <= 2000))),
  constraint letter_part_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id) ON DELETE CASCADE,
  constraint letter_part_club_id_letter_id_fkey FOREIGN KEY (club_id, letter_id) REFERENCES letter(club_id, letter_id) ON DELETE CASCADE
);
comment on column letter_part.athlete_id is 'Whom the part is about, so that it goes with whom it is about; null: nobody.';
CREATE INDEX letter_part_athlete ON public.letter_part USING btree (club_id, athlete_id) WHERE (athlete_id IS NOT NULL);
create policy own on letter_part for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on letter_part to halfhour_app;
grant delete on letter_part to halfhour_keeper;
grant select (athlete_id, club_id) on letter_part to halfhour_keeper;

create table lifted (
  club_id bigint not null,
  athlete_id bigint not null,
  session_id bigint not null,
  turn text not null default ''::text,
  exercises exercise_ids not null,
  stood_for exercise_ids not null,
  grams integer[] not null,
  reserve smallint[] not null,
  sets slot_numbers not null,
  counts smallint[] not null,
  constraint lifted_pkey PRIMARY KEY (club_id, session_id),
  constraint lifted_counts CHECK (((cardinality(counts) <= 192) AND (array_position(counts, NULL::smallint) IS NULL) AND ((1 <= ALL (counts)) IS NOT FALSE) AND ((600 >= ALL (counts)) IS NOT FALSE))),
  constraint lifted_grams CHECK (((cardinality(grams) <= 32) AND (array_position(grams, NULL::integer) IS NULL) AND ((0 <= ALL (grams)) IS NOT FALSE) AND ((100000 >= ALL (grams)) IS NOT FALSE))),
  constraint lifted_lists CHECK (((cardinality((stood_for)::text[]) = cardinality((exercises)::text[])) AND (cardinality(grams) = cardinality((exercises)::text[])) AND (cardinality(reserve) = cardinality((exercises)::text[])) AND (cardinality((sets)::smallint[]) = cardinality((exercises)::text[])))),
  constraint lifted_reserve CHECK (((cardinality(reserve) <= 32) AND ((0 <= ALL (reserve)) IS NOT FALSE) AND ((20 >= ALL (reserve)) IS NOT FALSE))),
  constraint lifted_turn CHECK ((char_length(turn) <= 60)),
  constraint lifted_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint lifted_club_id_session_id_fkey FOREIGN KEY (club_id, session_id) REFERENCES session(club_id, session_id) ON DELETE CASCADE
);
comment on column lifted.turn is 'Which session of the programme it was; empty: none of it.';
comment on column lifted.stood_for is 'The exercise of the programme in whose place each was done.';
comment on column lifted.grams is 'Of one dumbbell; 0: none.';
comment on column lifted.reserve is 'Repetitions still left after the hardest set; null: not told.';
comment on column lifted.sets is 'How many of the counts belong to each of the exercises, in their order.';
comment on column lifted.counts is 'Repetitions of each set, or seconds.';
CREATE INDEX lifted_athlete ON public.lifted USING btree (club_id, athlete_id);
create policy own on lifted for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on lifted to halfhour_app;
grant delete on lifted to halfhour_keeper;
grant update (counts, exercises, grams, reserve, sets, stood_for) on lifted to halfhour_app;
grant select (athlete_id, club_id) on lifted to halfhour_keeper;

create table login (
  club_id bigint not null,
  login_id bigint not null generated always as identity,
  token bytea not null,
  coach_id bigint,
  athlete_id bigint,
  device text not null,
  since timestamp with time zone not null,
  seen_at timestamp with time zone not null,
  expires_at timestamp with time zone not null,
  ended_at timestamp with time zone,
  new_device boolean not null default false,
  claimed_at timestamp with time zone,
  passkey_id bigint,
  proved_at timestamp with time zone,
  constraint login_pkey PRIMARY KEY (club_id, login_id),
  constraint login_token_once UNIQUE (token),
  constraint login_claimed_at CHECK (((claimed_at IS NULL) OR new_device)),
  constraint login_device CHECK ((char_length(device) <= 200)),
  constraint login_expires_at CHECK ((expires_at > since)),
  constraint login_person CHECK ((num_nonnulls(coach_id, athlete_id) = 1)),
  constraint login_token CHECK ((octet_length(token) = 32)),
  constraint login_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint login_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id),
  constraint login_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id),
  constraint login_club_id_passkey_id_fkey FOREIGN KEY (club_id, passkey_id) REFERENCES passkey(club_id, passkey_id)
);
comment on column login.token is 'SHA-256 of the secret that the browser holds.';
comment on column login.new_device is 'Nobody signed in as this person on a device of this kind within the year before, though somebody had before.';
comment on column login.claimed_at is 'When the person said that the new device is theirs; null: not yet.';
comment on column login.passkey_id is 'The passkey that opened it; null: opened another way.';
comment on column login.proved_at is 'When the password or a passkey was asked for again; null: not since it was opened.';
CREATE INDEX login_athlete ON public.login USING btree (club_id, athlete_id) WHERE (athlete_id IS NOT NULL);
CREATE INDEX login_coach ON public.login USING btree (club_id, coach_id) WHERE (coach_id IS NOT NULL);
create policy door on login for select to halfhour_door using (true);
create policy own on login for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on login to halfhour_app;
grant delete on login to halfhour_keeper;
grant update (claimed_at, ended_at, expires_at, proved_at, seen_at) on login to halfhour_app;
grant select (club_id, token) on login to halfhour_door;
grant select (athlete_id, club_id, login_id) on login to halfhour_keeper;

create table look (
  club_id bigint not null,
  athlete_id bigint not null,
  coach_id bigint not null,
  on_date date not null,
  what text not null,
  first_at timestamp with time zone not null,
  last_at timestamp with time zone not null,
  times integer not null,
  constraint look_pkey PRIMARY KEY (club_id, athlete_id, coach_id, on_date, what),
  constraint look_last_at CHECK ((last_at >= first_at)),
  constraint look_times CHECK ((times > 0)),
  constraint look_what CHECK ((what = ANY (ARRAY['page'::text, 'sessions'::text, 'heart'::text, 'health'::text, 'kept'::text, 'archive'::text]))),
  constraint look_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint look_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column look.on_date is 'The date where the club is.';
create policy own on look for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on look to halfhour_app;
grant delete on look to halfhour_keeper;
grant update (last_at, times) on look to halfhour_app;
grant select (athlete_id, club_id) on look to halfhour_keeper;

create table measurement (
  club_id bigint not null,
  athlete_id bigint not null,
  measurement_id bigint not null generated always as identity,
  key form_key not null,
  on_date date not null,
  kind text not null,
  bpm smallint not null,
  stage_bpm smallint[],
  stage_talk text[],
  at timestamp with time zone not null,
  by_coach bigint,
  constraint measurement_pkey PRIMARY KEY (club_id, measurement_id),
  constraint measurement_key_once UNIQUE (club_id, athlete_id, key),
  constraint measurement_bpm CHECK (
CASE kind
    WHEN 'resting'::text THEN ((bpm >= 30) AND (bpm <= 120))
    WHEN 'talk_test'::text THEN ((bpm >= 60) AND (bpm <= 220))
    ELSE ((bpm >= 100) AND (bpm <= 230))
END),
  constraint measurement_kind CHECK ((kind = ANY (ARRAY['talk_test'::text, 'max'::text, 'observed'::text, 'resting'::text]))),
  constraint measurement_stages CHECK (
CASE
    WHEN (kind = 'talk_test'::text) THEN ((((cardinality(stage_bpm) >= 1) AND (cardinality(stage_bpm) <= 20)) AND (array_ndims(stage_bpm) = 1) AND (array_lower(stage_bpm, 1) = 1) AND (cardinality(stage_talk) = cardinality(stage_bpm)) AND (array_ndims(stage_talk) = 1) AND (array_lower(stage_talk, 1) = 1) AND ((60 <= ALL (stage_bpm)) IS NOT FALSE) AND ((220 >= ALL (stage_bpm)) IS NOT FALSE) AND (array_position(stage_talk, NULL::text) IS NULL) AND (stage_talk <@ ARRAY['chat'::text, 'sentence'::text, 'words'::text])) IS TRUE)
    ELSE (num_nonnulls(stage_bpm, stage_talk) = 0)
END),
  constraint measurement_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint measurement_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id)
);
comment on column measurement.bpm is 'Of a talk test that of the last comfortable stage.';
comment on column measurement.stage_bpm is 'The heart rate at the end of each stage of a talk test; an element is null where none was read.';
comment on column measurement.by_coach is 'Null: by the athlete.';
create policy own on measurement for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on measurement to halfhour_app;
grant delete on measurement to halfhour_keeper;
grant select (athlete_id, club_id, measurement_id) on measurement to halfhour_keeper;

create table movement (
  club_id bigint not null,
  movement_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  away_at timestamp with time zone,
  name text not null,
  kind text not null,
  how text not null,
  sides boolean not null,
  timed boolean not null,
  usual smallint not null,
  loads text[] not null,
  on_back boolean not null,
  on_front boolean not null,
  strains boolean not null,
  hops boolean not null,
  constraint movement_pkey PRIMARY KEY (club_id, movement_id),
  constraint movement_key_once UNIQUE (club_id, key),
  constraint movement_how CHECK (((char_length(how) >= 1) AND (char_length(how) <= 300))),
  constraint movement_kind CHECK ((kind = ANY (ARRAY['walk'::text, 'release'::text, 'dynamic'::text, 'rhythm'::text, 'cool_down'::text]))),
  constraint movement_loads CHECK (((loads <@ ARRAY['foot'::text, 'ankle'::text, 'Achilles'::text, 'calf'::text, 'shin'::text, 'knee'::text, 'thigh'::text, 'hip'::text, 'back'::text, 'shoulder'::text, 'elbow'::text, 'wrist'::text, 'neck'::text]) AND (array_position(loads, NULL::text) IS NULL))),
  constraint movement_name CHECK (((char_length(name) >= 1) AND (char_length(name) <= 60))),
  constraint movement_usual CHECK (((usual >= 1) AND (usual <= 900))),
  constraint movement_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column movement.away_at is 'When it was put away; null: it can be chosen.';
create policy own on movement for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on movement to halfhour_app;
grant update (away_at) on movement to halfhour_app;

create table note (
  club_id bigint not null,
  athlete_id bigint not null,
  note_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  text long_text not null,
  private boolean not null default false,
  constraint note_pkey PRIMARY KEY (club_id, note_id),
  constraint note_key_once UNIQUE (club_id, athlete_id, key),
  constraint note_text CHECK (((text)::text <> ''::text)),
  constraint note_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint note_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column note.private is 'For coaches alone, not for deputies. It is in the athlete''s archive all the same.';
create policy own on note for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on note to halfhour_app;
grant delete on note to halfhour_keeper;
grant select (athlete_id, club_id, note_id) on note to halfhour_keeper;

create table passkey (
  club_id bigint not null,
  passkey_id bigint not null generated always as identity,
  coach_id bigint not null,
  credential_id bytea not null,
  public_key bytea not null,
  sign_count bigint not null,
  backup_eligible boolean not null,
  backed_up boolean not null,
  transports text[] not null,
  site text not null,
  name short_name not null,
  created_at timestamp with time zone not null,
  used_at timestamp with time zone,
  refused_at timestamp with time zone,
  removed_at timestamp with time zone,
  constraint passkey_pkey PRIMARY KEY (club_id, passkey_id),
  constraint passkey_credential_id_once UNIQUE (credential_id),
  constraint passkey_backed_up CHECK ((backup_eligible OR (NOT backed_up))),
  constraint passkey_credential_id CHECK (((octet_length(credential_id) >= 1) AND (octet_length(credential_id) <= 1023))),
  constraint passkey_public_key CHECK (((octet_length(public_key) >= 1) AND (octet_length(public_key) <= 4096))),
  constraint passkey_sign_count CHECK (((sign_count >= 0) AND (sign_count <= '4294967295'::bigint))),
  constraint passkey_site CHECK (((char_length(site) >= 1) AND (char_length(site) <= 253))),
  constraint passkey_transports CHECK (((transports <@ ARRAY['ble'::text, 'hybrid'::text, 'internal'::text, 'nfc'::text, 'smart-card'::text, 'usb'::text]) AND (cardinality(transports) <= 6))),
  constraint passkey_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column passkey.credential_id is 'How the authenticator names it; a door finds its club by this.';
comment on column passkey.public_key is 'The COSE key that its signatures are checked with. What is secret never leaves the authenticator.';
comment on column passkey.sign_count is 'How often the authenticator said it had signed; 0: it does not count.';
comment on column passkey.backup_eligible is 'It may be kept by a service and used on several devices; never changes.';
comment on column passkey.transports is 'How browsers reach it.';
comment on column passkey.site is 'The host name it was made for (relying party ID); browsers show it nowhere else.';
comment on column passkey.name is 'In the coach''s words.';
comment on column passkey.used_at is 'Null: never yet.';
comment on column passkey.refused_at is 'Its count went back, so a copy may exist: it signs nobody in any more. Null: never.';
CREATE INDEX passkey_coach ON public.passkey USING btree (club_id, coach_id) WHERE (removed_at IS NULL);
create policy door on passkey for select to halfhour_door using (true);
create policy own on passkey for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on passkey to halfhour_app;
grant update (backed_up, refused_at, removed_at, sign_count, used_at) on passkey to halfhour_app;
grant select (club_id, credential_id) on passkey to halfhour_door;

create table pathway (
  club_id bigint not null,
  pathway_id bigint not null generated always as identity,
  name short_name not null,
  version integer not null,
  made_at timestamp with time zone not null default now(),
  constraint pathway_pkey PRIMARY KEY (club_id, pathway_id),
  constraint pathway_once UNIQUE (club_id, name, version),
  constraint pathway_version CHECK ((version > 0)),
  constraint pathway_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
create policy own on pathway for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on pathway to halfhour_app;

create table phase (
  club_id bigint not null,
  pathway_id bigint not null,
  place smallint not null,
  id short_name not null,
  stage text not null,
  kinds block_kinds not null,
  planned_s planned_blocks not null,
  half_kinds block_kinds,
  half_s planned_blocks,
  constraint phase_pkey PRIMARY KEY (club_id, pathway_id, place),
  constraint phase_once UNIQUE (club_id, pathway_id, id),
  constraint phase_blocks CHECK ((cardinality((planned_s)::smallint[]) = char_length((kinds)::text))),
  constraint phase_half CHECK ((COALESCE(cardinality((half_s)::smallint[]), 0) = COALESCE(char_length((half_kinds)::text), 0))),
  constraint phase_id CHECK (((id)::text !~~ '%-'::text)),
  constraint phase_place CHECK (((place >= 0) AND (place <= 199))),
  constraint phase_stage CHECK ((char_length(stage) <= 80)),
  constraint phase_club_id_pathway_id_fkey FOREIGN KEY (club_id, pathway_id) REFERENCES pathway(club_id, pathway_id)
);
comment on column phase.half_kinds is 'The phase''s own half step; null: computed from the phase below.';
create policy own on phase for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on phase to halfhour_app;

create table pin (
  club_id bigint not null,
  athlete_id bigint not null,
  pin_id bigint not null generated always as identity,
  key form_key not null,
  kind text not null,
  on_date date,
  weekday smallint,
  part text not null default ''::text,
  by_coach bigint,
  insist boolean not null default false,
  from_date date,
  made_at timestamp with time zone not null,
  made_on date not null,
  lifted_at timestamp with time zone,
  lifted_on date,
  undone_key form_key,
  constraint pin_pkey PRIMARY KEY (club_id, pin_id),
  constraint pin_key_once UNIQUE (club_id, athlete_id, key),
  constraint pin_day CHECK ((num_nonnulls(on_date, weekday) = 1)),
  constraint pin_from CHECK (((from_date IS NULL) OR ((on_date IS NOT NULL) AND (date_trunc('week'::text, (from_date)::timestamp with time zone) = date_trunc('week'::text, (on_date)::timestamp with time zone))))),
  constraint pin_insist CHECK (((NOT insist) OR (by_coach IS NOT NULL))),
  constraint pin_kind CHECK ((kind = ANY (ARRAY['run'::text, 'strength'::text, 'legs'::text]))),
  constraint pin_lifted CHECK (((num_nonnulls(lifted_at, lifted_on) = ANY (ARRAY[0, 2])) AND (lifted_at >= made_at))),
  constraint pin_part CHECK ((part = ANY (ARRAY[''::text, 'morning'::text, 'midday'::text, 'evening'::text]))),
  constraint pin_undone CHECK (((undone_key IS NULL) OR (NOT (lifted_at IS DISTINCT FROM made_at)))),
  constraint pin_weekday CHECK (((weekday >= 1) AND (weekday <= 7))),
  constraint pin_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint pin_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id)
);
comment on column pin.kind is 'run: a session of the pathway, also where that is a walk; legs: strength that is hard on the legs.';
comment on column pin.weekday is 'For every week: Monday is 1.';
comment on column pin.part is 'Empty: any time of the day.';
comment on column pin.by_coach is 'Null: the athlete.';
comment on column pin.insist is 'It stays whatever rule gives way for it.';
comment on column pin.from_date is 'Where the session was before it was moved.';
comment on column pin.undone_key is 'Of a move that was taken back at once, as if it had not been made: what it was taken back with.';
CREATE INDEX pin_ended ON public.pin USING btree (club_id, lifted_on) WHERE (lifted_at IS NOT NULL);
CREATE INDEX pin_held ON public.pin USING btree (club_id, COALESCE(on_date, 'infinity'::date)) WHERE (lifted_at IS NULL);
create policy own on pin for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on pin to halfhour_app;
grant delete on pin to halfhour_keeper;
grant update (lifted_at, lifted_on, undone_key) on pin to halfhour_app;
grant select (athlete_id, club_id, pin_id) on pin to halfhour_keeper;

create table program (
  club_id bigint not null,
  athlete_id bigint not null,
  program_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  a_week smallint not null,
  names text[] not null,
  sizes slot_numbers not null,
  exercises exercise_ids not null,
  patterns text[] not null,
  sets slot_numbers not null,
  low slot_numbers not null,
  high slot_numbers not null,
  reserve slot_numbers not null,
  constraint program_pkey PRIMARY KEY (club_id, program_id),
  constraint program_key_once UNIQUE (club_id, athlete_id, key),
  constraint program_a_week CHECK (((a_week >= 1) AND (a_week <= 3))),
  constraint program_names CHECK (((cardinality(names) <= 4) AND (array_position(names, NULL::text) IS NULL) AND ((''::text <> ALL (names)) IS NOT FALSE) AND (char_length(array_to_string(names, ''::text)) <= (60 * cardinality(names))))),
  constraint program_patterns CHECK (((cardinality(patterns) <= 32) AND (array_position(patterns, NULL::text) IS NULL) AND (char_length(array_to_string(patterns, ''::text)) <= (120 * cardinality(patterns))))),
  constraint program_slots CHECK (((cardinality((sizes)::smallint[]) = cardinality(names)) AND (cardinality(patterns) = cardinality((exercises)::text[])) AND (cardinality((sets)::smallint[]) = cardinality((exercises)::text[])) AND (cardinality((low)::smallint[]) = cardinality((exercises)::text[])) AND (cardinality((high)::smallint[]) = cardinality((exercises)::text[])) AND (cardinality((reserve)::smallint[]) = cardinality((exercises)::text[])))),
  constraint program_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint program_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
comment on column program.names is 'The sessions, which take turns.';
comment on column program.sizes is 'How many of the exercises belong to each of the sessions, in their order.';
comment on column program.patterns is 'What may stand in each place, names with blanks between.';
comment on column program.low is 'Repetitions, or seconds, with high as the upper end.';
CREATE INDEX program_athlete ON public.program USING btree (club_id, athlete_id, program_id DESC);
create policy own on program for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on program to halfhour_app;
grant delete on program to halfhour_keeper;
grant select (athlete_id, club_id, program_id) on program to halfhour_keeper;

create table recording (
  club_id bigint not null,
  athlete_id bigint not null,
  recording_id bigint not null generated always as identity,
  session_id bigint not null,
  digest bytea not null,
  format text not null,
  started_at timestamp with time zone,
  body bytea not null,
  reading jsonb not null,
  peak smallint,
  easy_bpm smallint,
  easy_sd integer,
  easy_source text,
  easy_formula text,
  hard_bpm smallint,
  hard_sd integer,
  hard_source text,
  hard_formula text,
  rules integer not null,
  read_at timestamp with time zone not null,
  added_at timestamp with time zone not null,
  by_coach bigint,
  passed_over boolean not null default false,
  constraint recording_pkey PRIMARY KEY (club_id, recording_id),
  constraint recording_digest_once UNIQUE (club_id, athlete_id, digest),
  constraint recording_session_once UNIQUE (club_id, session_id),
  constraint recording_body CHECK (((octet_length(body) >= 1) AND (octet_length(body) <= 1048576))),
  constraint recording_digest CHECK ((octet_length(digest) = 32)),
  constraint recording_easy CHECK (((num_nonnulls(easy_bpm, easy_sd, easy_source) = ANY (ARRAY[0, 3])) AND ((((easy_bpm >= 30) AND (easy_bpm <= 230)) AND ((easy_sd >= 0) AND (easy_sd <= 50000)) AND (easy_source = ANY (ARRAY['predicted'::text, 'measured'::text, 'reserve'::text, 'talk_test'::text]))) IS NOT FALSE) AND ((easy_formula IS NOT NULL) = ((easy_source IS NOT NULL) AND (easy_source = 'predicted'::text))) AND ((easy_formula = ANY (ARRAY['nes'::text, 'fox'::text, 'tanaka'::text, 'gellish'::text, 'gellish_quadratic'::text, 'zhu'::text])) IS NOT FALSE))),
  constraint recording_format CHECK ((format = ANY (ARRAY['fit'::text, 'gpx'::text, 'csv'::text, 'strap'::text]))),
  constraint recording_hard CHECK (((num_nonnulls(hard_bpm, hard_sd, hard_source) = ANY (ARRAY[0, 3])) AND ((((hard_bpm >= 30) AND (hard_bpm <= 230)) AND ((hard_sd >= 0) AND (hard_sd <= 50000)) AND (hard_source = ANY (ARRAY['predicted'::text, 'measured'::text, 'reserve'::text, 'talk_test'::text]))) IS NOT FALSE) AND ((hard_formula IS NOT NULL) = ((hard_source IS NOT NULL) AND (hard_source = 'predicted'::text))) AND ((hard_formula = ANY (ARRAY['nes'::text, 'fox'::text, 'tanaka'::text, 'gellish'::text, 'gellish_quadratic'::text, 'zhu'::text])) IS NOT FALSE))),
  constraint recording_peak CHECK (((peak >= 1) AND (peak <= 250))),
  constraint recording_reading CHECK (((jsonb_typeof(reading) = 'object'::text) AND (octet_length((reading)::text) <= 2097152))),
  constraint recording_rules CHECK ((rules >= 0)),
  constraint recording_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint recording_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id),
  constraint recording_club_id_session_id_fkey FOREIGN KEY (club_id, session_id) REFERENCES session(club_id, session_id) ON DELETE CASCADE
);
comment on column recording.digest is 'SHA-256 of the file, so that the same one is recognised.';
comment on column recording.started_at is 'Of its first sample; null where the file tells no date.';
comment on column recording.body is 'What the device wrote down, packed by internal/trace.';
comment on column recording.reading is 'What was read in it at read_at with these rules and ceilings.';
comment on column recording.peak is 'The highest heart rate held for ten seconds; null: none to be told.';
comment on column recording.easy_bpm is 'The easy ceiling it was judged with; null: there was none (rule 4.5).';
comment on column recording.easy_sd is 'Thousandths of a beat a minute (rule 4.3).';
comment on column recording.hard_bpm is 'The top of zone 2; null: not known.';
comment on column recording.by_coach is 'Null: added by the athlete.';
comment on column recording.passed_over is 'Its peak is not to be offered as a maximum.';
create policy own on recording for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on recording to halfhour_app;
grant delete on recording to halfhour_keeper;
grant update (easy_bpm, easy_formula, easy_sd, easy_source, hard_bpm, hard_formula, hard_sd, hard_source, passed_over, peak, read_at, reading, rules) on recording to halfhour_app;
grant select (athlete_id, club_id, recording_id) on recording to halfhour_keeper;

create table routine (
  club_id bigint not null,
  routine_id bigint not null generated always as identity,
  key form_key not null,
  coach_id bigint not null,
  at timestamp with time zone not null,
  before_moves movement_ids not null,
  before_counts movement_counts not null,
  after_moves movement_ids not null,
  after_counts movement_counts not null,
  constraint routine_pkey PRIMARY KEY (club_id, routine_id),
  constraint routine_key_once UNIQUE (club_id, key),
  constraint routine_after CHECK ((cardinality((after_moves)::text[]) = cardinality((after_counts)::smallint[]))),
  constraint routine_before CHECK ((cardinality((before_moves)::text[]) = cardinality((before_counts)::smallint[]))),
  constraint routine_club_id_coach_id_fkey FOREIGN KEY (club_id, coach_id) REFERENCES coach(club_id, coach_id)
);
create policy own on routine for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant insert, select on routine to halfhour_app;

create table run_group (
  club_id bigint not null,
  run_group_id bigint not null generated always as identity,
  key form_key not null,
  name short_name not null,
  meets smallint[] not null,
  version integer not null default 1,
  constraint run_group_pkey PRIMARY KEY (club_id, run_group_id),
  constraint run_group_key_once UNIQUE (club_id, key),
  constraint run_group_meets CHECK (((cardinality(meets) = 7) AND (array_ndims(meets) = 1) AND (array_lower(meets, 1) = 1) AND ((0 <= ALL (meets)) IS NOT FALSE) AND ((1439 >= ALL (meets)) IS NOT FALSE) AND (cardinality(array_remove(meets, NULL::smallint)) > 0))),
  constraint run_group_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
comment on column run_group.meets is 'When it meets, for each day from Monday on: minutes after midnight where the club is; null: not on that day.';
create policy own on run_group for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on run_group to halfhour_app;
grant update (meets, name, version) on run_group to halfhour_app;

create table session (
  club_id bigint not null,
  athlete_id bigint not null,
  session_id bigint not null generated always as identity,
  key form_key not null,
  started_at timestamp with time zone not null,
  date date not null,
  kind session_kind not null,
  phase phase_name,
  outcome session_outcome,
  minutes session_minutes,
  planned_minutes session_minutes,
  effort session_effort,
  talk talk_answer,
  breath breath_answer,
  hot boolean not null,
  limp boolean not null,
  block_kinds block_kinds,
  planned_s planned_blocks,
  done_s done_blocks,
  settle_s some_blocks,
  valid_s some_blocks,
  heart_s some_blocks,
  heart_low_s some_blocks,
  heart_high_s some_blocks,
  pain_asked boolean not null,
  pain_site pain_sites,
  pain_score pain_scores,
  pain_morning pain_scores,
  signs warning_signs,
  note long_text not null default ''::text,
  logged_at timestamp with time zone not null,
  changed_at timestamp with time zone,
  by_coach bigint,
  version integer not null default 1,
  aching boolean not null default false,
  exposed boolean not null default false,
  loaded boolean not null default false,
  ran boolean not null default false,
  strolled boolean not null default false,
  in_a_row boolean not null default false,
  stops boolean not null default false,
  warm_up text,
  cool_down text,
  routine_id bigint,
  constraint session_pkey PRIMARY KEY (club_id, session_id),
  constraint session_key_once UNIQUE (club_id, athlete_id, key),
  constraint session_once UNIQUE (club_id, athlete_id, started_at, kind),
  constraint session_cool_down CHECK ((cool_down = ANY (ARRAY['done'::text, 'skipped'::text]))),
  constraint session_warm_up CHECK ((warm_up = ANY (ARRAY['done'::text, 'skipped'::text]))),
  constraint session_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint session_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id),
  constraint session_routine FOREIGN KEY (club_id, routine_id) REFERENCES routine(club_id, routine_id)
);
comment on column session.date is 'The civil date it belongs to, in the athlete''s zone at entry (rule 1.1).';
comment on column session.aching is 'A pain of 3 or more, during or the next morning (rule 6.1).';
comment on column session.exposed is 'A planned session of which something was done (rules 2.1, 2.2).';
comment on column session.loaded is 'It has load (rule 8.1).';
comment on column session.ran is 'Something was run, or walked of a session of the walking base (rule 9.4).';
comment on column session.strolled is 'A walk outside the plan.';
comment on column session.in_a_row is 'The third planned session in a row with a pain of 3 or more, whatever the site (rule 6.3).';
comment on column session.stops is 'A pause or a referral begins here (rules 6.1, 6.3 to 6.5).';
comment on column session.warm_up is 'Whether there was a warm-up; null: not told.';
comment on column session.cool_down is 'The same of the walk at the end.';
comment on column session.routine_id is 'The club''s routine when it was told; null: the one that everybody begins with, or not told.';
CREATE INDEX session_routine ON public.session USING btree (club_id, routine_id) WHERE (routine_id IS NOT NULL);
CREATE INDEX session_stops ON public.session USING btree (club_id, athlete_id, started_at) WHERE stops;
CREATE INDEX session_strolled ON public.session USING btree (club_id, athlete_id, started_at) WHERE strolled;
CREATE TRIGGER mark_rows_added AFTER INSERT ON public.session FOR EACH ROW WHEN ((new.aching AND ((new.kind)::text = 'planned'::text))) EXECUTE FUNCTION mark_rows();
CREATE TRIGGER mark_rows_changed AFTER UPDATE ON public.session FOR EACH ROW WHEN (((((old.aching IS DISTINCT FROM new.aching) OR (old.exposed IS DISTINCT FROM new.exposed)) OR ((old.kind)::text IS DISTINCT FROM (new.kind)::text)) OR (old.started_at IS DISTINCT FROM new.started_at))) EXECUTE FUNCTION mark_rows();
CREATE TRIGGER mark_rows_removed AFTER DELETE ON public.session FOR EACH ROW WHEN ((old.exposed OR old.aching)) EXECUTE FUNCTION mark_rows();
CREATE TRIGGER weigh_session BEFORE INSERT OR UPDATE ON public.session FOR EACH ROW EXECUTE FUNCTION weigh_session();
create policy own on session for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select, update on session to halfhour_app;
grant delete on session to halfhour_keeper;
grant select (aching, athlete_id, block_kinds, club_id, done_s, exposed, in_a_row, kind, session_id, started_at) on session to halfhour_keeper;

create table tally (
  club_id bigint not null,
  year smallint not null,
  erased integer not null,
  sessions bigint not null,
  run_minutes bigint not null,
  reached integer not null,
  constraint tally_pkey PRIMARY KEY (club_id, year),
  constraint tally_counts CHECK (((erased > 0) AND (sessions >= 0) AND (run_minutes >= 0) AND ((reached >= 0) AND (reached <= erased)))),
  constraint tally_year CHECK (((year >= 2000) AND (year <= 2200))),
  constraint tally_club_id_fkey FOREIGN KEY (club_id) REFERENCES club(club_id)
);
comment on column tally.run_minutes is 'Minutes run in the sessions of those people.';
comment on column tally.reached is 'How many of them had run for thirty minutes without a break.';
create policy own on tally for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant select on tally to halfhour_app;
grant insert, select, update on tally to halfhour_keeper;

create table weather (
  club_id bigint not null,
  weather_id bigint not null generated always as identity,
  athlete_id bigint,
  key form_key not null,
  at timestamp with time zone not null,
  told_at timestamp with time zone not null,
  tenths smallint not null,
  humidity smallint,
  shade boolean not null,
  by_coach bigint,
  constraint weather_pkey PRIMARY KEY (club_id, weather_id),
  constraint weather_key_once UNIQUE NULLS NOT DISTINCT (club_id, athlete_id, key),
  constraint weather_by CHECK ((num_nonnulls(athlete_id, by_coach) = 1)),
  constraint weather_humidity CHECK (((humidity >= 1) AND (humidity <= 100))),
  constraint weather_mild CHECK (((humidity IS NOT NULL) OR (tenths < 100))),
  constraint weather_tenths CHECK (((tenths >= '-400'::integer) AND (tenths <= 500))),
  constraint weather_club_id_athlete_id_fkey FOREIGN KEY (club_id, athlete_id) REFERENCES athlete(club_id, athlete_id),
  constraint weather_club_id_by_coach_fkey FOREIGN KEY (club_id, by_coach) REFERENCES coach(club_id, coach_id)
);
comment on column weather.athlete_id is 'Who typed it for the own way; null: a coach, for the club.';
comment on column weather.at is 'The hour that it is of.';
CREATE INDEX weather_at ON public.weather USING btree (club_id, athlete_id, at);
create policy own on weather for all to public using ((club_id = ( SELECT current_club() AS current_club)));
grant delete, insert, select on weather to halfhour_app;
grant delete on weather to halfhour_keeper;
grant select (athlete_id, club_id, weather_id) on weather to halfhour_keeper;

create FUNCTION public.current_club()
 RETURNS bigint
 LANGUAGE sql
 STABLE PARALLEL SAFE
RETURN (NULLIF(current_setting('halfhour.club'::text, true), ''::text))::bigint;

create FUNCTION public.door_any()
 RETURNS boolean
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select exists (select from club) $function$;
alter function door_any() owner to halfhour_door;

create FUNCTION public.door_calendar(secret bytea)
 RETURNS bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select c.club_id from calendar_address c where c.hash = secret $function$;
alter function door_calendar(bytea) owner to halfhour_door;

create FUNCTION public.door_clubs()
 RETURNS SETOF bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select c.club_id from club c order by c.club_id $function$;
alter function door_clubs() owner to halfhour_door;

create FUNCTION public.door_code(secret bytea)
 RETURNS bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select c.club_id from code c where c.hash = secret $function$;
alter function door_code(bytea) owner to halfhour_door;

create FUNCTION public.door_email(address text)
 RETURNS bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select c.club_id from coach c where c.email = address $function$;
alter function door_email(text) owner to halfhour_door;

create FUNCTION public.door_hearers(kind text, zones text[], after_club bigint, after_athlete bigint, most integer)
 RETURNS TABLE(club_id bigint, athlete_id bigint, zone text)
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
  select h.club_id, h.athlete_id, h.zone from (
    select a.club_id, a.athlete_id, a.zone::text as zone from athlete a
    where kind = 'monday' and a.mail_monday and a.left_at is null and a.email <> '' and a.zone::text = any (zones) and a.mail_refused_at is null
    union all
    select a.club_id, a.athlete_id, a.zone::text from club k join athlete a on a.club_id = k.club_id
    where kind = 'gentle' and k.gentle_on and a.mail_gentle and a.left_at is null and a.email <> '' and a.zone::text = any (zones) and a.mail_refused_at is null) h
  where (h.club_id, h.athlete_id) > (after_club, after_athlete)
  order by h.club_id, h.athlete_id limit most
$function$;
alter function door_hearers(text,text[],bigint,bigint,integer) owner to halfhour_door;

create FUNCTION public.door_letters(until timestamp with time zone, after_club bigint, after_coach bigint, most integer)
 RETURNS TABLE(club_id bigint, coach_id bigint, zone text, day smallint, hour smallint, next timestamp with time zone)
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
  select c.club_id, c.coach_id, k.zone::text, c.letter_day, c.letter_hour, c.letter_next
  from coach c join club k on k.club_id = c.club_id
  where c.letter_on and c.left_at is null and c.mail_refused_at is null and coalesce(c.letter_next, '-infinity') <= until
    and (c.club_id, c.coach_id) > (after_club, after_coach)
  order by c.club_id, c.coach_id limit most
$function$;
alter function door_letters(timestamp with time zone,bigint,bigint,integer) owner to halfhour_door;

create FUNCTION public.door_passkey(credential bytea)
 RETURNS bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select p.club_id from passkey p where p.credential_id = credential $function$;
alter function door_passkey(bytea) owner to halfhour_door;

create FUNCTION public.door_people(address text)
 RETURNS TABLE(club_id bigint, coach_id bigint, athlete_id bigint)
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
  select c.club_id, c.coach_id, null::bigint from coach c where c.email = address
  union all
  (select a.club_id, null::bigint, a.athlete_id from athlete a
    where a.email = address and a.email <> '' and a.left_at is null order by a.club_id, a.athlete_id limit 8)
$function$;
alter function door_people(text) owner to halfhour_door;

create FUNCTION public.door_stop(secret text)
 RETURNS TABLE(club_id bigint, coach_id bigint, athlete_id bigint)
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
  select c.club_id, c.coach_id, null::bigint from coach c where c.mail_stop = secret and c.left_at is null
  union all
  select a.club_id, null::bigint, a.athlete_id from athlete a where a.mail_stop = secret and a.left_at is null
$function$;
alter function door_stop(text) owner to halfhour_door;

create FUNCTION public.door_token(hash bytea)
 RETURNS bigint
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$ select l.club_id from login l where l.token = hash $function$;
alter function door_token(bytea) owner to halfhour_door;

create FUNCTION public.door_zones(kind text)
 RETURNS SETOF text
 LANGUAGE sql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
  select distinct a.zone::text from athlete a
  where kind = 'monday' and a.mail_monday and a.left_at is null and a.email <> ''
  union
  select distinct a.zone::text from club k join athlete a on a.club_id = k.club_id
  where kind = 'gentle' and k.gentle_on and a.mail_gentle and a.left_at is null and a.email <> ''
$function$;
alter function door_zones(text) owner to halfhour_door;

create FUNCTION public.keeper_erase(whom bigint, in_year integer)
 RETURNS SETOF bigint
 LANGUAGE plpgsql
 SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
declare
  t text;
  sessions bigint;
  minutes bigint;
  longest bigint;
begin
  perform from athlete a where a.club_id = current_club() and a.athlete_id = whom for update;
  if not found then
    return;
  end if;
  select count(distinct s.session_id), coalesce(sum(d.done), 0) / 60, coalesce(max(d.done), 0) into sessions, minutes, longest
    from session s left join lateral unnest(s.done_s) with ordinality d (done, place) on substr(s.block_kinds, d.place::int, 1) = 'r'
    where s.club_id = current_club() and s.athlete_id = whom;
  insert into tally as y (club_id, year, erased, sessions, run_minutes, reached)
    values (current_club(), in_year, 1, sessions, minutes, (longest >= 1800)::int)
    on conflict (club_id, year) do update set erased = y.erased + 1, sessions = y.sessions + excluded.sessions,
      run_minutes = y.run_minutes + excluded.run_minutes, reached = y.reached + excluded.reached;
  for t in select k.name from keeper_tables() k loop
    execute format('delete from %I x where x.club_id = current_club() and x.athlete_id = $1', t) using whom;
  end loop;
  delete from athlete a where a.club_id = current_club() and a.athlete_id = whom;
  return next whom;
end $function$;
alter function keeper_erase(bigint,integer) owner to halfhour_keeper;

create FUNCTION public.keeper_lines(whom bigint)
 RETURNS TABLE(audit_id bigint, at timestamp with time zone, coach_id bigint, athlete_id bigint, change text, row_id bigint)
 LANGUAGE plpgsql
 STABLE SECURITY DEFINER
 SET search_path TO 'public', 'pg_temp'
AS $function$
declare
  theirs text;
begin
  select string_agg(format('select %L as of, x.%I as id from %I x where x.club_id = current_club() and x.athlete_id = $1',
    t.name, t.number, t.name), ' union all ') into theirs from keeper_tables() t where t.number is not null;
  return query execute 'select a.audit_id, a.at, a.coach_id, a.athlete_id, a.change::text, a.row_id
    from audit a left join (select ''athlete'' as of, $1 as id union all ' || theirs || ') r
      on r.of = split_part(a.change, ''.'', 1) and r.id = a.row_id
    where a.club_id = current_club() and (a.athlete_id = $1 or r.id is not null) order by a.audit_id' using whom;
end $function$;
alter function keeper_lines(bigint) owner to halfhour_keeper;

create FUNCTION public.keeper_tables()
 RETURNS TABLE(name text, number text)
 LANGUAGE sql
 STABLE
 SET search_path TO 'pg_catalog', 'pg_temp'
AS $function$
with recursive theirs as (
  select c.oid, c.relname::text as name from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'athlete_id'
  where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname not in ('athlete', 'audit')
), chain as (
  select t.oid, 0 as depth from theirs t
  union
  select k.conrelid, c.depth + 1 from chain c join pg_constraint k on k.confrelid = c.oid and k.contype = 'f' and k.conrelid <> c.oid
  where c.depth < 9
)
select t.name, (select a.attname::text from pg_attribute a where a.attrelid = t.oid and a.attname = t.name || '_id' and not a.attisdropped)
from theirs t order by (select max(c.depth) from chain c where c.oid = t.oid) desc, t.name
$function$;

create FUNCTION public.mark_erased()
 RETURNS trigger
 LANGUAGE plpgsql
 SET search_path TO 'public', 'pg_temp'
AS $function$
begin
  insert into erased (club_id, mark, erased_on)
    values (old.club_id, sha256(convert_to(old.mail_stop, 'UTF8')), (now() at time zone 'UTC')::date)
    on conflict do nothing;
  return null;
end $function$;

create FUNCTION public.mark_rows()
 RETURNS trigger
 LANGUAGE plpgsql
AS $function$
begin
  -- One after the other, or two told at once would not see each other.
  perform from athlete a where a.club_id = coalesce(new.club_id, old.club_id) and a.athlete_id = coalesce(new.athlete_id, old.athlete_id)
    for no key update;
  if tg_op <> 'INSERT' then
    perform mark_rows_near(old);
  end if;
  if tg_op <> 'DELETE' then
    perform mark_rows_near(new);
  end if;
  return null;
end $function$;

create FUNCTION public.mark_rows_near(s session)
 RETURNS void
 LANGUAGE plpgsql
AS $function$
declare
  r      record;
  before boolean := false; -- whether the one before ached
  twice  boolean := false; -- and the one before that too
begin
  for r in
    (select t.session_id, t.started_at, t.aching, t.in_a_row from session t
      where t.club_id = s.club_id and t.athlete_id = s.athlete_id and t.kind = 'planned' and (t.exposed or t.aching) and t.started_at < s.started_at
      order by t.started_at desc limit 2)
    union all
    (select t.session_id, t.started_at, t.aching, t.in_a_row from session t
      where t.club_id = s.club_id and t.athlete_id = s.athlete_id and t.kind = 'planned' and (t.exposed or t.aching) and t.started_at >= s.started_at
      order by t.started_at limit 3)
    order by started_at
  loop
    if r.started_at >= s.started_at and r.in_a_row <> (r.aching and twice) then
      update session t set in_a_row = not r.in_a_row where t.club_id = s.club_id and t.session_id = r.session_id;
    end if;
    twice := r.aching and before;
    before := r.aching;
  end loop;
end $function$;

create FUNCTION public.sound_blocks(s session)
 RETURNS boolean
 LANGUAGE plpgsql
 IMMUTABLE PARALLEL SAFE
AS $function$
declare
  n integer := char_length(s.block_kinds);
  walk boolean;
begin
  if n is null then
    return num_nonnulls(s.planned_s, s.done_s, s.settle_s, s.valid_s, s.heart_s, s.heart_low_s, s.heart_high_s) = 0;
  end if;
  if (cardinality(s.planned_s) = n and cardinality(s.done_s) = n) is not true or cardinality(s.settle_s) <> n then
    return false;
  end if;
  if s.settle_s is not null then
    for i in 1 .. n loop
      if s.settle_s[i] > s.done_s[i] or s.settle_s[i] is not null and substr(s.block_kinds, i, 1) = 'r' then
        return false;
      end if;
    end loop;
  end if;
  if num_nonnulls(s.valid_s, s.heart_s, s.heart_low_s, s.heart_high_s) = 0 then
    return true;
  end if;
  if cardinality(s.valid_s) <> n or cardinality(s.heart_s) <> n or cardinality(s.heart_low_s) <> n or cardinality(s.heart_high_s) <> n then
    return false;
  end if;
  for i in 1 .. n loop
    walk := substr(s.block_kinds, i, 1) = 'w';
    if (s.valid_s[i] is null) <> (s.heart_s[i] is null)
      or s.valid_s[i] is null and num_nonnulls(s.heart_low_s[i], s.heart_high_s[i]) > 0
      or s.valid_s[i] > s.done_s[i] or s.heart_s[i] > s.valid_s[i] or s.heart_low_s[i] > s.valid_s[i] or s.heart_high_s[i] > s.valid_s[i]
      or walk and (s.heart_low_s[i] > s.heart_s[i] or s.heart_s[i] > s.heart_high_s[i])
      or not walk and (s.heart_high_s[i] > s.heart_s[i] or s.heart_s[i] > s.heart_low_s[i]) then
      return false;
    end if;
  end loop;
  return true;
end $function$;

create FUNCTION public.weigh_session()
 RETURNS trigger
 LANGUAGE plpgsql
AS $function$
declare
  running integer := 0;
  walking integer := 0;
  wrong   text;
begin
  if not sound_blocks(new) then
    wrong := 'session_blocks';
  elsif new.pain_site is null and num_nonnulls(new.pain_score, new.pain_morning) > 0
    or new.pain_site is not null and (new.pain_asked and cardinality(new.pain_score) = cardinality(new.pain_site)
      and cardinality(new.pain_morning) = cardinality(new.pain_site) and array_position(new.pain_score, null) is null) is not true then
    wrong := 'session_pain';
  elsif abs(new.date - (new.started_at at time zone 'UTC')::date) > 2 then
    wrong := 'session_date'; -- at most a day off the local date (rule 1.1), which is a day off UTC at most
  elsif new.minutes is null and new.block_kinds is null
    and (new.kind = 'planned' and new.outcome in ('missed', 'called_off')) is not true then
    wrong := 'session_minutes';
  elsif new.kind = 'planned' and new.block_kinds is null and new.outcome is null then
    wrong := 'session_outcome'; -- rule 2.2
  end if;
  if wrong is null then
    for i in 1 .. coalesce(char_length(new.block_kinds), 0) loop
      if substr(new.block_kinds, i, 1) = 'r' then
        running := running + new.done_s[i];
      else
        walking := walking + new.done_s[i];
      end if;
    end loop;
    new.aching := coalesce(3 <= any (new.pain_score), false) or coalesce(3 <= any (new.pain_morning), false);
    new.exposed := new.kind = 'planned' and case
      when new.outcome = 'stopped_for_pain' then true
      when new.block_kinds is null then new.outcome in ('in_full', 'shortened')
      else running + walking > 0 and new.outcome is distinct from 'called_off' end;
    new.loaded := coalesce(new.effort, 1) > 0 and coalesce(new.minutes > 0, running + walking >= 30);
    new.ran := case new.kind
      when 'planned' then case
        when new.block_kinds is null then new.outcome = 'in_full' or new.outcome <> 'missed' and coalesce(new.minutes, 0) > 0
        when new.block_kinds like '%r%' then running > 0
        else walking > 0 end
      else new.kind = 'extra' and running > 0 end;
    new.strolled := new.kind = 'extra' and running = 0 and (walking > 0 or coalesce(new.minutes, 0) > 0);
    new.stops := new.limp or new.signs is not null or new.in_a_row
      or new.kind = 'planned' and coalesce(new.outcome = 'stopped_for_pain', false)
      or coalesce(6 <= any (new.pain_score), false) or coalesce(6 <= any (new.pain_morning), false);
    if new.exposed and new.phase is null then
      wrong := 'session_phase'; -- rule 2.2
    end if;
  end if;
  if wrong is not null then
    raise check_violation using message = 'a session that cannot be', table = 'session', constraint = wrong;
  end if;
  return new;
end $function$;

-- The tables of River, which its own migrations explain.
create schema river;
grant usage on schema river to halfhour_app;
create table river.river_job;
grant delete on river.river_job to halfhour_app;
grant insert on river.river_job to halfhour_app;
grant select on river.river_job to halfhour_app;
grant update on river.river_job to halfhour_app;
create table river.river_leader;
grant delete on river.river_leader to halfhour_app;
grant insert on river.river_leader to halfhour_app;
grant select on river.river_leader to halfhour_app;
grant update on river.river_leader to halfhour_app;
create table river.river_migration;
grant select on river.river_migration to halfhour_app;
create table river.river_notification;
grant delete on river.river_notification to halfhour_app;
grant insert on river.river_notification to halfhour_app;
grant select on river.river_notification to halfhour_app;
grant update on river.river_notification to halfhour_app;
create table river.river_queue;
grant delete on river.river_queue to halfhour_app;
grant insert on river.river_queue to halfhour_app;
grant select on river.river_queue to halfhour_app;
grant update on river.river_queue to halfhour_app;
