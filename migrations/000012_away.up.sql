-- Times away have a kind: after an illness or an injury the way back is another.

alter table leave
  add column kind text not null default 'away' constraint leave_kind check (kind in ('away', 'illness', 'injury')),
  add column injured_before date constraint leave_injured_before check (injured_before is null or kind = 'injury');
comment on column leave.kind is 'away: holiday, work, whatever; an injury is the athlete''s injured_on too.';
comment on column leave.injured_before is 'Of an injury: what the athlete''s injured_on was before it, to be put back if the injury is taken out again.';
grant update (injured_before) on leave to halfhour_app;
