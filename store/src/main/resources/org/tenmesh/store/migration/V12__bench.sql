-- What the bench may see, sorted by what is written on tray and bottle: nothing here, its order included, tells a hidden
-- control from a soil.
create schema bench;
grant usage on schema bench to tenmesh_bench;

create view bench.place as
    select d.name as day, t.tray, p.well, p.lab_number, p.purpose
    from layout.place p
    join layout.tray t on t.day = p.day and t.ord = p.tray
    join intake.day d on d.id = p.day
    order by d.name, t.tray, p.well;

create view bench.run as
    select d.name as day, r.run, r.method, r.instrument, r.operator, r.started_at
    from reading.run r
    join intake.day d on d.id = r.day
    order by d.name, r.started_at, r.run;

grant select on bench.place, bench.run to tenmesh_bench;
