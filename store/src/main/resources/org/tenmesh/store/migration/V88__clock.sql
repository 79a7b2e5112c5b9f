-- When the newest entry was written by the clock of the database, whatever time the entry itself names: a clock that was set back shows.
alter table journal.head add column written_at timestamptz;
