drop table lifted, kit, program, exercise;
drop domain slot_numbers, exercise_ids;
