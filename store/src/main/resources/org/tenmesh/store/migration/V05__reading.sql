create schema reading;
grant usage on schema reading to tenmesh_app, tenmesh_quality;

create sequence reading.run_id as int;
create table reading.run (
    id int primary key,
    day int not null references intake.day,
    source int not null references intake.source,
    run text not null,
    method text not null,
    instrument text not null,
    operator text,
    started_at timestamptz not null,
    started_offset int not null,
    readings int not null,
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$'),
    unique (day, run)
);

-- Millions of rows a week, written once, read a run or a day at a time, always in the order they came: a block-range
-- index costs next to nothing on the way in. A foreign key would look up the run once for each row; the only writer
-- makes the run and its rows in one transaction.
create table reading.reading (
    run int not null,
    line int not null,
    at timestamptz not null,
    value float8 not null,
    dilution float8 not null,
    position int not null,
    at_offset int not null,
    role text not null,
    identity text not null,
    channel text not null,
    quantity text not null,
    unit text not null
) with (autovacuum_vacuum_insert_scale_factor = 0, autovacuum_vacuum_insert_threshold = 500000);
create index reading_run on reading.reading using brin (run) with (pages_per_range = 128, autosummarize = on);

create trigger run_stays before update or delete or truncate on reading.run
    for each statement execute function intake.refuse_change();
create trigger reading_stays before update or delete or truncate on reading.reading
    for each statement execute function intake.refuse_change();

grant select on all tables in schema reading to tenmesh_app, tenmesh_quality;
grant insert on all tables in schema reading to tenmesh_app;
grant usage on sequence reading.run_id to tenmesh_app;
