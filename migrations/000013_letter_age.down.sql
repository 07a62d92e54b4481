alter table athlete drop column mail_refused_at;
revoke delete on letter from halfhour_app;
comment on table letter is 'The mail that was sent to somebody, or is to be: of which kind, when, and how it ended. What stood in it is not kept.';
