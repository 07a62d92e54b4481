-- Letters go after a while, and a coach learns that an address is refused.

grant delete on letter to halfhour_app;

alter table athlete add column mail_refused_at timestamptz;
comment on column athlete.mail_refused_at is 'When a mail server last refused the address; nothing once it takes a letter, or the address is another.';
grant update (mail_refused_at) on athlete to halfhour_app;

comment on table letter is 'The mail that was sent to somebody in the last 30 days, or is to be: of which kind, when, and how it ended. What stood in it is not in here.';
