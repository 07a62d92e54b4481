-- One line for each change: who, what, when, which row. Never what was in it:
-- nothing about anybody's health and no names. The program can add lines and
-- neither read nor change them.
create domain change_name as text constraint change check (char_length(value) <= 40 and value like '_%._%' and value !~ '[^a-z_.]');

create table audit (
  club_id    bigint not null,
  audit_id   bigint not null generated always as identity,
  at         timestamptz not null default clock_timestamp(),
  coach_id   bigint,
  athlete_id bigint,
  change     change_name not null,
  row_id     bigint,
  primary key (club_id, audit_id),
  constraint audit_actor check (num_nonnulls(coach_id, athlete_id) <= 1)
);
comment on column audit.coach_id is 'Who made the change: a coach, an athlete or, with both null, the program.';
comment on column audit.change is 'The table and what was done: session.log, decision.keep.';
comment on column audit.row_id is 'The row''s number in that table; null where it has none.';

alter table audit enable row level security;
alter table audit force row level security;
create policy own on audit using (club_id = (select current_club()));

grant insert on audit to halfhour_app;
