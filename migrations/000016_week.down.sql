drop table pin;
alter table athlete drop column run_group_id, drop column strength_week, drop column strength_legs, drop column week_version;
drop table holiday;
drop table run_group;
