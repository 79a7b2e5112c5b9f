-- What blanks and low check solutions gave, kept with the judgement of their day: detection limits come from many days.
-- Judgements kept before have none: their count is unknown, and they are made again before they are shown.
alter table judgement.kept add column low_readings integer;
create table judgement.low_reading (
    day int not null references intake.day on delete cascade,
    ord int not null,
    method text not null,
    analyte text not null,
    instrument text not null,
    read_on date not null,
    run text not null,
    position int not null,
    known float8,
    value float8 not null,
    primary key (day, ord)
);
create index low_reading_of_method on judgement.low_reading (method, read_on);
grant select on judgement.low_reading to tenmesh_app, tenmesh_quality;
grant insert, update, delete on judgement.low_reading to tenmesh_quality;
