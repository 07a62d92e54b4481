drop table note;
drop table leave;
drop table session;
drop function mark_row();
drop function sound_blocks(text, smallint[], smallint[], smallint[], smallint[], smallint[], smallint[], smallint[], integer, integer);
