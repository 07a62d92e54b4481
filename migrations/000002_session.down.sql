drop table note;
drop table leave;
drop function mark_rows_near(session);
drop function sound_blocks(session);
drop table session;
drop function weigh_session();
drop function mark_rows();
drop domain warning_signs, pain_scores, pain_sites, some_blocks, done_blocks, breath_answer, talk_answer, session_effort, session_minutes,
  session_outcome, session_kind;
