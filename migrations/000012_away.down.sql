revoke update (injured_before) on leave from halfhour_app;
alter table leave drop column injured_before, drop column kind;
