alter table session drop column routine_id, drop column cool_down, drop column warm_up;
revoke update (roller) on athlete from halfhour_app;
alter table athlete drop column roller;
drop table movement;
drop table routine;
drop domain movement_counts;
drop domain movement_ids;
drop table weather;
