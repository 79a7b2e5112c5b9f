-- The laboratory record: submissions, soils, trays, runs, shortages, controls and releases are kept under keys of their own
-- for as long as records are kept. A day is a view of them: the runs that started then, and what was listed for it.
--
-- Lab numbers and submissions are unique in a register: the name of whoever gives the numbers. A laboratory has one register
-- of its own, called 'own'; soils that somebody else numbered come under a register named for them.

create table intake.register (
    register text primary key check (char_length(register) between 1 and 80)
);
insert into intake.register values ('own');

-- A laboratory day: a date in a register. Its name is its address. The former name is what version 0.1 called it: addresses and
-- journal entries of that time carry it.
alter table intake.day add column register text references intake.register;
alter table intake.day add column on_date date;
alter table intake.day add column former_name text unique;
alter table intake.day drop constraint day_name_check;
alter table intake.day add constraint day_name_check check (char_length(name) between 1 and 100);

-- The date of a day of version 0.1: the one most of its lab numbers carry, else the one most of its runs started on, else its
-- name, else the date of its first import.
create function pg_temp.date_of_day(the_day int, the_name text) returns date language plpgsql as $$
declare
    found date;
begin
    select make_date(2000 + substr(lab_number, 1, 2)::int, 1, 1) + substr(lab_number, 3, 3)::int - 1 into found
    from intake.soil
    where day = the_day and lab_number ~ '^\d{2}[0-3]\d{2}-\d{4,5}-[0-9A-Z]$' and substr(lab_number, 3, 3)::int between 1 and 366
    group by 1 order by count(*) desc, 1 desc limit 1;
    if found is null then
        select (started_at at time zone 'UTC' + make_interval(secs => started_offset))::date into found
        from reading.run where day = the_day
        group by 1 order by count(*) desc, 1 desc limit 1;
    end if;
    if found is null and the_name ~ '^\d{4}-(0\d|1[0-2])-([0-2]\d|3[01])$' then
        begin
            found := the_name::date;
        exception when others then
            found := null;
        end;
    end if;
    if found is null then
        select min(taken_at)::date into found from intake.source where day = the_day;
    end if;
    return coalesce(found, current_date);
end
$$;

create function pg_temp.received_on(at timestamptz, offset_seconds int) returns date language sql as $$
    select (at at time zone 'UTC' + make_interval(secs => offset_seconds))::date
$$;

-- A day whose numbers mean something else than those of a day before it gets a register of its own, so that nothing is merged
-- that is not the same.
do $$
declare
    d record;
    the_date date;
    clashes boolean;
begin
    update intake.day set former_name = name;
    for d in select id, name from intake.day order by id loop
        the_date := pg_temp.date_of_day(d.id, d.name);
        select exists (select from intake.day b where b.register = 'own' and b.on_date = the_date)
            or exists (
                select from intake.soil a
                join intake.soil b on b.lab_number = a.lab_number
                join intake.day e on e.id = b.day and e.register = 'own'
                left join intake.submission sa on sa.day = a.day and sa.submission = a.submission
                left join intake.submission sb on sb.day = b.day and sb.submission = b.submission
                where a.day = d.id
                  and (a.submission, a.ordinal, a.client_label, a.top_cm, a.bottom_cm, a.package, a.regulated, a.matter,
                       sa.client, pg_temp.received_on(sa.received_at, sa.received_offset))
                      is distinct from
                      (b.submission, b.ordinal, b.client_label, b.top_cm, b.bottom_cm, b.package, b.regulated, b.matter,
                       sb.client, pg_temp.received_on(sb.received_at, sb.received_offset)))
            or exists (
                select from intake.submission a
                join intake.submission b on b.submission = a.submission
                join intake.day e on e.id = b.day and e.register = 'own'
                where a.day = d.id
                  and pg_temp.received_on(a.received_at, a.received_offset)
                      = pg_temp.received_on(b.received_at, b.received_offset)
                  and (a.client, a.received_at, a.received_offset, a.promised_on, a.origin_country, a.origin_region, a.package,
                       a.water_supplied, a.note)
                      is distinct from
                      (b.client, b.received_at, b.received_offset, b.promised_on, b.origin_country, b.origin_region, b.package,
                       b.water_supplied, b.note))
            -- A lab number that is a hidden control on one day only, or of another material, is not the same soil.
            or exists (
                select from intake.soil a
                join intake.soil b on b.lab_number = a.lab_number
                join intake.day e on e.id = b.day and e.register = 'own'
                left join sealed.control ca on ca.day = a.day and ca.lab_number = a.lab_number
                left join sealed.control cb on cb.day = b.day and cb.lab_number = b.lab_number
                where a.day = d.id and ca.material is distinct from cb.material)
            or exists (
                select from sealed.control a
                join sealed.control b on b.lab_number = a.lab_number and b.day <> a.day
                join intake.day e on e.id = b.day and e.register = 'own'
                where a.day = d.id)
            or exists (
                select from release.release a
                join intake.submission sa on sa.day = a.day and sa.submission = a.submission
                join release.release b on b.submission = a.submission and b.revision = a.revision
                join intake.submission sb on sb.day = b.day and sb.submission = b.submission
                join intake.day e on e.id = b.day and e.register = 'own'
                where a.day = d.id
                  and pg_temp.received_on(sa.received_at, sa.received_offset)
                      = pg_temp.received_on(sb.received_at, sb.received_offset))
            or exists (
                select from intake.shortage a
                join intake.shortage b on b.lab_number = a.lab_number and b.method = a.method
                join intake.day e on e.id = b.day and e.register = 'own'
                where a.day = d.id)
            into clashes;
        if clashes then
            insert into intake.register values ('day ' || d.name);
        end if;
        update intake.day
        set register = case when clashes then 'day ' || d.name else 'own' end, on_date = the_date
        where id = d.id;
    end loop;
    -- In two steps: a new name may be the former name of another day.
    update intake.day set name = 'id ' || id;
    update intake.day set name = on_date::text || case when register = 'own' then '' else ' ' || register end;
end
$$;
alter table intake.day alter column register set not null;
alter table intake.day alter column on_date set not null;
alter table intake.day add constraint day_once unique (register, on_date);
create index on intake.day (on_date);

-- Submissions and soils.

alter table release.release drop constraint release_day_submission_fkey;
alter table intake.submission rename to submission_by_day;
alter table intake.soil rename to soil_by_day;

-- The day of a submission or soil is the one with whose import it came.
-- What a laboratory calls a submission may come again (S0001 each morning): the date it was received tells them apart.
create sequence intake.submission_id as int;
create table intake.submission (
    id int primary key,
    register text not null references intake.register,
    submission text not null,
    client text not null,
    received_at timestamptz not null,
    received_offset int not null,
    promised_on date,
    origin_country text,
    origin_region text,
    package text,
    water_supplied boolean,
    note text,
    received_on date not null,
    day int not null references intake.day,
    constraint submission_once unique (register, submission, received_on)
);

create sequence intake.soil_id as int;
create table intake.soil (
    id int primary key,
    register text not null,
    lab_number text not null check (char_length(lab_number) between 1 and 32),
    submission text,
    ordinal int,
    client_label text,
    top_cm float8,
    bottom_cm float8,
    package text,
    regulated boolean,
    matter text not null check (matter in ('soil', 'water')),
    day int not null,
    constraint soil_once unique (lab_number, register)
);

-- The submission a soil came in. A row of its own, since a file of submissions may come after its soils.
create table intake.came_in (
    soil int primary key,
    submission int not null
);

-- What is on the list of a day: it came in, was laid out or was read then.
create table intake.day_submission (
    day int not null,
    ord int not null,
    submission int not null,
    primary key (day, ord),
    unique (submission, day)
);
create table intake.day_soil (
    day int not null,
    ord int not null,
    soil int not null,
    primary key (day, ord),
    unique (soil, day)
);

insert into intake.submission
    (id, register, submission, client, received_at, received_offset, promised_on, origin_country, origin_region, package,
     water_supplied, note, received_on, day)
select nextval('intake.submission_id'), o.* from (
    select register, submission, client, received_at, received_offset, promised_on, origin_country, origin_region, package,
           water_supplied, note, received_on, day
    from (
        select distinct on (d.register, s.submission, pg_temp.received_on(s.received_at, s.received_offset))
               d.register, s.*, pg_temp.received_on(s.received_at, s.received_offset) as received_on
        from intake.submission_by_day s
        join intake.day d on d.id = s.day
        order by d.register, s.submission, pg_temp.received_on(s.received_at, s.received_offset), s.day) once
    order by day, ord) o;
insert into intake.day_submission (day, ord, submission)
select s.day, s.ord, n.id
from intake.submission_by_day s
join intake.day d on d.id = s.day
join intake.submission n on n.register = d.register and n.submission = s.submission
    and n.received_on = pg_temp.received_on(s.received_at, s.received_offset);

insert into intake.soil
    (id, register, lab_number, submission, ordinal, client_label, top_cm, bottom_cm, package, regulated, matter, day)
select nextval('intake.soil_id'), o.* from (
    select register, lab_number, submission, ordinal, client_label, top_cm, bottom_cm, package, regulated, matter, day
    from (
        select distinct on (d.register, s.lab_number) d.register, s.*
        from intake.soil_by_day s
        join intake.day d on d.id = s.day
        order by d.register, s.lab_number, s.day) once
    order by day, ord) o;
insert into intake.day_soil (day, ord, soil)
select s.day, s.ord, n.id
from intake.soil_by_day s
join intake.day d on d.id = s.day
join intake.soil n on n.register = d.register and n.lab_number = s.lab_number;
insert into intake.came_in (soil, submission)
select distinct on (n.id) n.id, b.submission
from intake.soil_by_day s
join intake.day d on d.id = s.day
join intake.soil n on n.register = d.register and n.lab_number = s.lab_number
join intake.day_submission b on b.day = s.day
join intake.submission u on u.id = b.submission and u.submission = s.submission
order by n.id, s.day;

create index on intake.soil (day);
create index on intake.submission (day);
create index on intake.came_in (submission);

-- Shortages and hidden controls belong to a lab number; the day says with which import they came.

alter table intake.shortage rename to shortage_by_day;
create table intake.shortage (
    register text not null,
    lab_number text not null,
    method text not null,
    day int not null references intake.day,
    ord int not null,
    primary key (register, lab_number, method)
);
insert into intake.shortage
select d.register, s.lab_number, s.method, s.day, s.ord
from intake.shortage_by_day s
join intake.day d on d.id = s.day;
create index on intake.shortage (day);

alter table sealed.control rename to control_by_day;
create table sealed.control (
    register text not null,
    lab_number text not null,
    material text not null,
    day int not null references intake.day,
    primary key (register, lab_number)
);
insert into sealed.control
select d.register, c.lab_number, c.material, c.day
from sealed.control_by_day c
join intake.day d on d.id = c.day;
create index on sealed.control (day);

drop function intake.seal;
-- The program can put a key in and cannot take it out. What it answers names no lab number.
create function intake.seal(the_day int, lab_numbers text[], materials text[]) returns boolean
language sql security definer set search_path = pg_catalog, pg_temp as $$
    insert into sealed.control (register, lab_number, material, day)
    select d.register, k.lab_number, k.material, d.id
    from unnest(lab_numbers, materials) as k (lab_number, material)
    join intake.day d on d.id = the_day
    on conflict do nothing;
    select not exists (
        select from unnest(lab_numbers, materials) as k (lab_number, material)
        join intake.day d on d.id = the_day
        join sealed.control c on c.register = d.register and c.lab_number = k.lab_number
        where c.material <> k.material);
$$;
revoke all on function intake.seal from public;
grant execute on function intake.seal to tenmesh_app;

-- Trays: a name comes again, the day it was laid out tells them apart.

drop view bench.place;
alter table layout.place rename to place_by_day;
alter table layout.tray rename to tray_by_day;
create sequence layout.tray_id as int;
create table layout.tray (
    id int primary key,
    day int not null references intake.day,
    ord int not null,
    tray text not null,
    constraint tray_once unique (day, tray)
);
create table layout.place (
    tray int not null,
    well smallint not null check (well between 0 and 11),
    lab_number text,
    purpose text not null check (purpose in ('soil', 'key')),
    primary key (tray, well)
);
insert into layout.tray (id, day, ord, tray)
select nextval('layout.tray_id'), o.* from (select day, ord, tray from layout.tray_by_day order by day, ord) o;
insert into layout.place (tray, well, lab_number, purpose)
select t.id, p.well, p.lab_number, p.purpose
from layout.place_by_day p
join layout.tray t on t.day = p.day and t.ord = p.tray;
create index on layout.place (lab_number);

create view bench.place as
    select d.name as day, t.tray, p.well, p.lab_number, p.purpose
    from layout.place p
    join layout.tray t on t.id = p.tray
    join intake.day d on d.id = t.day
    order by d.name, t.tray, p.well;
grant select on bench.place to tenmesh_bench;

-- Materials and standards hold from their day on, a method at a time, until a later day brings others of that method; packages the
-- same by their names.
create index on calibration.material (method, day);
create index on calibration.standard (method, day);
create index on intake.package (package, day);

-- Runs: the identities that each read, so that every run of a soil is found without its readings. A run is known by its name and
-- its day.

create table reading.identity (
    run int not null,
    identity text not null,
    primary key (run, identity)
);
insert into reading.identity (run, identity)
select distinct run, identity from reading.reading where role in ('sample', 'duplicate');
create index on reading.identity (identity);
create index on reading.run (run, started_at);

-- Releases belong to a submission; the day is the one whose page it was signed on, and the name is the one it had there.

alter table release.release disable trigger release_stays;
alter table release.release add column submission_id int references intake.submission;
alter table release.release add column held int;
update release.release r
set submission_id = u.id,
    held = (select count(*) from release.result h where h.release = r.id and h.held_because <> '')
from intake.day_submission b, intake.submission u
where b.day = r.day and u.id = b.submission and u.submission = r.submission;
alter table release.release enable trigger release_stays;
alter table release.release alter column submission_id set not null;
alter table release.release alter column held set not null;
create index on release.release (day);
alter table release.release drop constraint revision_once;
alter table release.release add constraint revision_once unique (submission_id, revision);

-- What a person did about a cause is found by the cause; the day is where it was done.
alter table causes.action alter column day drop not null;

do $$
declare
    counts record;
begin
    select (select count(*) from intake.submission_by_day) as submissions_before,
           (select count(*) from intake.day_submission) as submissions,
           (select count(*) from intake.soil_by_day) as soils_before,
           (select count(*) from intake.day_soil) as soils,
           (select count(*) from intake.shortage_by_day) as shortages_before,
           (select count(*) from intake.shortage) as shortages,
           (select count(*) from sealed.control_by_day) as controls_before,
           (select count(*) from sealed.control) as controls,
           (select count(*) from layout.place_by_day) as places_before,
           (select count(*) from layout.place) as places
    into counts;
    if counts.submissions <> counts.submissions_before or counts.soils <> counts.soils_before
        or counts.shortages <> counts.shortages_before or counts.controls <> counts.controls_before
        or counts.places <> counts.places_before then
        raise exception 'rows would be lost: %', counts;
    end if;
end
$$;

drop table intake.submission_by_day, intake.soil_by_day, intake.shortage_by_day, sealed.control_by_day, layout.place_by_day,
    layout.tray_by_day;

create trigger submission_stays before update or delete or truncate on intake.submission
    for each statement execute function intake.refuse_change();
create trigger soil_stays before update or delete or truncate on intake.soil
    for each statement execute function intake.refuse_change();
create trigger came_in_stays before update or delete or truncate on intake.came_in
    for each statement execute function intake.refuse_change();
create trigger day_submission_stays before update or delete or truncate on intake.day_submission
    for each statement execute function intake.refuse_change();
create trigger day_soil_stays before update or delete or truncate on intake.day_soil
    for each statement execute function intake.refuse_change();
create trigger shortage_stays before update or delete or truncate on intake.shortage
    for each statement execute function intake.refuse_change();
create trigger control_stays before update or delete or truncate on sealed.control
    for each statement execute function intake.refuse_change();
create trigger tray_stays before update or delete or truncate on layout.tray
    for each statement execute function intake.refuse_change();
create trigger place_stays before update or delete or truncate on layout.place
    for each statement execute function intake.refuse_change();
create trigger identity_stays before update or delete or truncate on reading.identity
    for each statement execute function intake.refuse_change();

grant select on all tables in schema intake to tenmesh_app, tenmesh_quality;
grant insert on intake.submission, intake.soil, intake.came_in, intake.day_submission, intake.day_soil, intake.shortage,
    intake.register to tenmesh_app;
-- For the row lock that lets one import follow the other in a register.
grant update on intake.register to tenmesh_app, tenmesh_quality;
grant usage on sequence intake.submission_id, intake.soil_id to tenmesh_app;
grant select on layout.tray, layout.place to tenmesh_app, tenmesh_quality;
grant insert on layout.tray, layout.place to tenmesh_app;
grant usage on sequence layout.tray_id to tenmesh_app;
grant select on reading.identity to tenmesh_app, tenmesh_quality;
grant insert on reading.identity to tenmesh_app;
grant select on sealed.control to tenmesh_quality;
