drop table audit;
drop domain change_name;
