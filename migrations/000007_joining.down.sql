drop table clearance;
drop table health_check;
drop table consent;
revoke update (joined_on) on athlete from halfhour_app;
alter table athlete drop column arrival, drop column arrival_since, drop column check_since, drop column available;
revoke update (minors) on club from halfhour_app;
alter table club drop column minors;
