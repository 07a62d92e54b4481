drop index login_athlete;
drop index login_coach;
create index login_coach on login (club_id, coach_id) where ended_at is null;
create index login_athlete on login (club_id, athlete_id) where ended_at is null;

alter table login drop column claimed_at, drop column new_device;

-- The invitations of deputies cannot be kept; new ones are quickly made. (Row
-- security binds the owner of the tables too, unless for a moment it does not.)
alter table code no force row level security;
delete from code where purpose = 'deputy_invite';
alter table code
  drop constraint code_purpose,
  add constraint code_purpose check (purpose in ('set_up', 'athlete', 'coach', 'coach_invite'));
alter table code force row level security;

drop index athlete_handed_over;
alter table athlete drop column handed_at, drop column handed_by, drop column coach_id;

-- Whoever left has no address any more; one that leads nowhere stands in, since
-- every coach must have one.
alter table coach drop constraint coach_left, drop constraint coach_role;
alter table coach no force row level security;
update coach set email = 'left-' || club_id || '-' || coach_id || '@invalid' where left_at is not null;
alter table coach
  drop column left_at,
  drop column deputy,
  alter column email set not null;
alter table coach force row level security;
revoke update (email, owner) on coach from halfhour_app;

revoke update (name, zone) on club from halfhour_app;
alter table club drop column own_only;
