-- Coming in: consents, answers about health, clearances; and how far somebody has
-- come in. What answers lead to is worked out when it is read; with a check stays
-- only why a clearance was advised when it was handed in.

alter table club add column minors boolean not null default false;
comment on column club.minors is 'It takes people under 18 with a guardian''s consent.';
grant update (minors) on club to halfhour_app;

-- Who was there before this step is here already.
alter table athlete
  add column arrival text not null default 'here' constraint athlete_arrival check (arrival in ('invited', 'answered', 'here', 'withdrawn')),
  add column arrival_since date,
  add column check_since date,
  add column available integer not null default 0 constraint athlete_available check (available between 0 and 2097151);
comment on column athlete.arrival is 'How far somebody has come in; nothing is prescribed to anybody who is not here.';
comment on column athlete.arrival_since is 'Since when arrival holds, on the athlete''s date; null: since they joined.';
comment on column athlete.check_since is 'Since when answers about health wait for a coach''s look; null: none do.';
comment on column athlete.available is 'When the athlete can train: a bit for each of morning, midday and evening, from Monday morning on; 0: not told.';
grant update (arrival, arrival_since, check_since, available, joined_on) on athlete to halfhour_app;

create table consent (
  club_id      bigint not null,
  athlete_id   bigint not null,
  consent_id   bigint not null generated always as identity,
  kind         text not null constraint consent_kind check (kind in ('keeping', 'health', 'adult', 'guardian')),
  text_version smallint not null constraint consent_text_version check (text_version > 0),
  on_date      date not null,
  at           timestamptz not null,
  by_coach     bigint,
  guardian     text not null default '',
  withdrawn_at timestamptz,
  primary key (club_id, consent_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint consent_guardian check (char_length(guardian) <= 80 and (guardian <> '') = (kind = 'guardian')),
  constraint consent_withdrawn_at check (withdrawn_at >= at)
);
comment on table consent is 'What somebody agreed to, in which words and when, and whether it was withdrawn.';
comment on column consent.text_version is 'Of the text that was agreed to.';
comment on column consent.by_coach is 'Filled in by a coach with the person beside them; null: by the athlete.';
comment on column consent.guardian is 'The name of the parent or guardian who agreed.';
create unique index consent_stands on consent (club_id, athlete_id, kind) where withdrawn_at is null;
create index consent_athlete on consent (club_id, athlete_id);

create table health_check (
  club_id    bigint not null,
  athlete_id bigint not null,
  check_id   bigint not null generated always as identity,
  form       smallint not null constraint health_check_form check (form > 0),
  fresh      boolean not null default false,
  answers    jsonb not null default '{}' constraint health_check_answers check (jsonb_typeof(answers) = 'object' and octet_length(answers::text) <= 65536),
  sections   text[] not null default '{}' constraint health_check_sections check (cardinality(sections) <= 20 and array_position(sections, null) is null),
  source     text not null constraint health_check_source check (source in ('phone', 'coach', 'paper')),
  by_coach   bigint,
  asked_on   date,
  asked_by   text,
  begun_at   timestamptz not null,
  handed_at  timestamptz,
  handed_on  date,
  advised    boolean not null default false,
  why        text[] not null default '{}' constraint health_check_why check (cardinality(why) <= 40 and array_position(why, null) is null),
  seen_at    timestamptz,
  seen_by    bigint,
  version    integer not null default 1,
  primary key (club_id, check_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  foreign key (club_id, seen_by) references coach (club_id, coach_id),
  constraint health_check_by_coach check ((by_coach is null) = (source = 'phone')),
  constraint health_check_asked check (num_nonnulls(asked_on, asked_by) = case source when 'paper' then 2 else 0 end
    and (char_length(asked_by) between 1 and 80) is not false),
  constraint health_check_paper check (source <> 'paper' or handed_at is not null and answers = '{}'),
  constraint health_check_handed check ((handed_at is null) = (handed_on is null) and (handed_at >= begun_at) is not false),
  constraint health_check_advised check (advised = (cardinality(why) > 0) and (handed_at is not null or not advised)),
  constraint health_check_seen check ((seen_at is null) = (seen_by is null) and (seen_at is null or handed_at is not null))
);
comment on table health_check is 'What somebody answered to the health questions, once; a draft until it is handed in.';
comment on column health_check.form is 'Version of the questions.';
comment on column health_check.fresh is 'Asked again later on: health only.';
comment on column health_check.sections is 'Those answered so far.';
comment on column health_check.by_coach is 'The coach who filled it in or asked; null: the athlete.';
comment on column health_check.asked_on is 'Of paper: when it was asked.';
comment on column health_check.asked_by is 'Of paper: who asked.';
comment on column health_check.advised is 'A clearance was advised when it was handed in.';
comment on column health_check.why is 'The reasons for that, as they stood.';
comment on column health_check.seen_by is 'The coach who has looked at it.';
create unique index health_check_draft on health_check (club_id, athlete_id) where handed_at is null;
create index health_check_athlete on health_check (club_id, athlete_id);

create table clearance (
  club_id     bigint not null,
  decision_id bigint not null,
  athlete_id  bigint not null,
  given_on    date not null,
  given_by    text not null constraint clearance_given_by check (char_length(given_by) between 1 and 80),
  limits      long_text not null default '',
  primary key (club_id, decision_id),
  foreign key (club_id, decision_id) references decision,
  foreign key (club_id, athlete_id) references athlete
);
comment on table clearance is 'What was said by whoever cleared somebody, with the decision that took it up.';
comment on column clearance.limits is 'What is to be kept to, in words.';
create index clearance_athlete on clearance (club_id, athlete_id, decision_id desc);

alter table consent enable row level security;
alter table consent force row level security;
create policy own on consent using (club_id = (select current_club()));
alter table health_check enable row level security;
alter table health_check force row level security;
create policy own on health_check using (club_id = (select current_club()));
alter table clearance enable row level security;
alter table clearance force row level security;
create policy own on clearance using (club_id = (select current_club()));

grant select, insert, update (withdrawn_at) on consent to halfhour_app;
grant select, insert, update (form, fresh, answers, sections, source, by_coach, handed_at, handed_on, advised, why, seen_at, seen_by, version)
  on health_check to halfhour_app;
grant select, insert on clearance to halfhour_app;
