drop schema river cascade;
drop function door_people(text);
revoke select (coach_id) on coach from halfhour_door;
revoke select (club_id, athlete_id, email, left_at) on athlete from halfhour_door;
drop policy door on athlete;
drop index athlete_email;
drop table letter;
