alter table athlete drop column max_formula;
drop table measurement;
drop table recording;
