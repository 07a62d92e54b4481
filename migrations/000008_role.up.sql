-- Who may what in a club: deputies, coaches with athletes of their own, coaches who
-- have left; and the devices on which somebody signs in for the first time.

alter table club add column own_only boolean not null default false;
comment on column club.own_only is 'Coaches see only their own athletes and those of nobody; owners see all.';
grant update (name, zone, own_only) on club to halfhour_app;

-- Whoever leaves is never deleted: decisions and notes keep the name. The address
-- is forgotten, so that it can sign in elsewhere, and so is the password.
alter table coach
  add column deputy boolean not null default false,
  add column left_at timestamptz,
  alter column email drop not null,
  add constraint coach_role check (not (owner and deputy)),
  add constraint coach_left check ((left_at is null) = (email is not null) and (left_at is null or password = '' and not owner and not deputy));
comment on column coach.deputy is 'Helps with the training, and sees no health answers.';
comment on column coach.left_at is 'Null: still here.';
grant update (email, owner, deputy, left_at) on coach to halfhour_app;

alter table athlete
  add column coach_id bigint,
  add column handed_by bigint,
  add column handed_at timestamptz,
  add constraint athlete_coach_id_fkey foreign key (club_id, coach_id) references coach,
  add constraint athlete_handed_by_fkey foreign key (club_id, handed_by) references coach (club_id, coach_id),
  add constraint athlete_handed check (handed_at is null or num_nonnulls(coach_id, handed_by) = 2);
comment on column athlete.coach_id is 'Whose athlete it is; null: everybody''s.';
comment on column athlete.handed_at is 'When the athlete was handed over to the present coach; null: never, or the coach has seen it.';
create index athlete_handed_over on athlete (club_id, coach_id) where handed_at is not null;
grant update (coach_id, handed_by, handed_at) on athlete to halfhour_app;

alter table code
  drop constraint code_purpose,
  add constraint code_purpose check (purpose in ('set_up', 'athlete', 'coach', 'coach_invite', 'deputy_invite'));

alter table login
  add column new_device boolean not null default false,
  add column claimed_at timestamptz,
  add constraint login_claimed_at check (claimed_at is null or new_device);
comment on column login.new_device is 'Nobody signed in as this person on a device of this kind within the year before, though somebody had before.';
comment on column login.claimed_at is 'When the person said that the new device is theirs; null: not yet.';
grant update (claimed_at) on login to halfhour_app;

-- A person's logins are looked through also where they have ended.
drop index login_coach;
drop index login_athlete;
create index login_coach on login (club_id, coach_id) where coach_id is not null;
create index login_athlete on login (club_id, athlete_id) where athlete_id is not null;
