drop table athlete;
drop table phase;
drop table pathway;
drop table coach;
drop table club;
drop sequence club_number;
drop domain planned_blocks, block_kinds, hold, long_text, phase_name, zone_name, short_name, form_key;
drop function current_club();
