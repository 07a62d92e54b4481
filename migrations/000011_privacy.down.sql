drop function keeper_erase(bigint, integer);
drop function keeper_lines(bigint);
drop function keeper_tables();
drop function door_clubs();

revoke all on all tables in schema public from halfhour_keeper;
revoke update (keep_months, keep_since) on club from halfhour_app;

drop table tally;
drop table erasure;
drop table look;
alter table note drop column private;
alter table club drop column keep_months, drop column keep_since;
