drop table audit;
