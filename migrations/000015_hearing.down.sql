drop function door_zones(text);
drop function door_hearers(text, text[], bigint, bigint, integer);
revoke select (gentle_on) on club from halfhour_door;
revoke select (zone, mail_monday, mail_gentle, mail_refused_at) on athlete from halfhour_door;
drop index club_gentle;
drop index athlete_monday;
alter table letter drop column alarm;
