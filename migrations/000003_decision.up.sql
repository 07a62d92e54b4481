-- Decisions: what a coach decided, with the verdict as it stood, and where the
-- athlete stood before and after, so that one can be taken back.
create table decision (
  club_id            bigint not null,
  athlete_id         bigint not null,
  decision_id        bigint not null generated always as identity,
  key                form_key not null,
  coach_id           bigint not null,
  at                 timestamptz not null,
  as_of              date not null,
  choice             text not null constraint decision_choice check (choice in
    ('move_up', 'hold', 'half_step', 'ease_back', 'pause', 'resume', 'refer', 'cleared', 'seen')),
  to_phase           text not null default '' constraint decision_to_phase check (char_length(to_phase) <= 81),
  reason             long_text not null default '',
  word               long_text not null default '',
  proposal           text not null default '' constraint decision_proposal check (char_length(proposal) <= 200),
  verdict            jsonb not null constraint decision_verdict check (jsonb_typeof(verdict) = 'object'),
  undone_at          timestamptz,
  undone_by          bigint,

  before_pathway_id  bigint not null,
  before_phase       phase_name not null,
  before_phase_since date not null,
  before_last_passed text not null,
  before_held        hold not null,
  before_held_since  date,
  before_cleared_on  date,
  before_cleared_at  timestamptz,
  before_injured_on  date,
  before_word        text not null,

  after_pathway_id   bigint not null,
  after_phase        phase_name not null,
  after_phase_since  date not null,
  after_last_passed  text not null,
  after_held         hold not null,
  after_held_since   date,
  after_cleared_on   date,
  after_cleared_at   timestamptz,
  after_injured_on   date,

  primary key (club_id, decision_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, coach_id) references coach,
  foreign key (club_id, undone_by) references coach (club_id, coach_id),
  foreign key (club_id, before_pathway_id) references pathway (club_id, pathway_id),
  foreign key (club_id, after_pathway_id) references pathway (club_id, pathway_id),
  constraint decision_key_once unique (club_id, athlete_id, key),
  constraint decision_undone check ((undone_at is null) = (undone_by is null))
);
comment on column decision.before_word is 'The coach''s word to the athlete that this one replaced.';

create index decision_newest on decision (club_id, athlete_id, decision_id desc) where undone_at is null;
create index decision_recent on decision (club_id, at);

alter table decision enable row level security;
alter table decision force row level security;
create policy own on decision using (club_id = (select current_club()));

grant select, insert, update (undone_at, undone_by) on decision to halfhour_app;
