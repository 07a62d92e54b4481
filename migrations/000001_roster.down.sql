drop table athlete;
drop table phase;
drop table pathway;
drop table coach;
drop table club;
drop sequence club_number;
drop function current_club();
