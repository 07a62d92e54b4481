drop function door_calendar(bytea);
drop table calendar_event, calendar_address;
drop table calendar;
