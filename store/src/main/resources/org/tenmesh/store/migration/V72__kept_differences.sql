-- Differences between probes, balances, instruments, people, wells and hours, so that a kept judgement is the whole of it.
-- Judgements kept before have none: their count is unknown, and they are made again before they are shown.
alter table judgement.kept add column differences integer;
create table judgement.difference (
    day int not null references intake.day on delete cascade,
    ord int not null,
    kind text not null,
    group_name text not null,
    method text not null,
    analyte text not null,
    size float8 not null,
    low float8 not null,
    high float8 not null,
    unit text not null,
    soils int not null,
    log10_chance float8 not null,
    told boolean not null,
    primary key (day, ord)
);
grant select on judgement.difference to tenmesh_app, tenmesh_quality;
grant insert, update, delete on judgement.difference to tenmesh_quality;
