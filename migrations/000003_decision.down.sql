drop table decision;
