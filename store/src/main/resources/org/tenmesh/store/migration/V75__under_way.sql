-- Readings that arrive while their run is under way. What arrived is kept unchanged; its readings stand in reading.reading under the id that
-- the run keeps when it has ended and its row in reading.run is written.
create schema capture;
grant usage on schema capture to tenmesh_app, tenmesh_quality;

create table capture.arrival (
    id bigint generated always as identity primary key,
    register text not null,
    source text not null check (source <> ''),
    key text not null check (key <> ''),
    name text not null,
    received_at timestamptz not null,
    taken_at timestamptz not null,
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$'),
    bytes bytea not null,
    set_aside text check (set_aside <> ''),
    actor text not null,
    constraint arrival_taken_once unique (source, key)
);
create index on capture.arrival (source, id);

-- What one arrival brought of one run: its lines in reading.reading, none where first_line is after last_line.
create table capture.part (
    arrival bigint not null references capture.arrival,
    ord int not null,
    run int not null,
    name text not null,
    day int not null references intake.day,
    first_line int not null,
    last_line int not null,
    ends boolean not null,
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$'),
    primary key (arrival, ord)
);
create index on capture.part (run, arrival);
create index on capture.part (day);

-- A run while more of it is to come; the row goes when the run has ended.
create table reading.under_way (
    id int primary key,
    register text not null,
    day int not null references intake.day,
    run text not null,
    method text not null,
    instrument text not null,
    operator text,
    started_at timestamptz not null,
    started_offset int not null,
    readings int not null,
    first_at timestamptz not null,
    last_at timestamptz not null,
    constraint under_way_once unique (register, run)
);
create index on reading.under_way (day);

create trigger arrival_stays before update or delete or truncate on capture.arrival
    for each statement execute function intake.refuse_change();
create trigger part_stays before update or delete or truncate on capture.part
    for each statement execute function intake.refuse_change();

grant select on capture.arrival, capture.part, reading.under_way to tenmesh_app, tenmesh_quality;
grant insert on capture.arrival, capture.part, reading.under_way to tenmesh_app;
grant update (day, readings, last_at), delete on reading.under_way to tenmesh_app;

-- What is on the list of a day, with what its runs under way read: that is put on the list when they have ended.
create view intake.soil_in_view as
    select l.day, l.ord, l.soil from intake.day_soil l
    union all
    select u.day, 1000000000, s.id
    from (select distinct u.day, u.register, i.identity
          from reading.under_way u
          join reading.identity i on i.run = u.id) u
    join intake.soil s on s.register = u.register and s.lab_number = u.identity
    where not exists (select from intake.day_soil l where l.day = u.day and l.soil = s.id);

create view intake.submission_in_view as
    select l.day, l.ord, l.submission from intake.day_submission l
    union all
    select distinct v.day, 1000000000, c.submission
    from reading.under_way u
    join intake.soil_in_view v on v.day = u.day
    join intake.came_in c on c.soil = v.soil
    where not exists (select from intake.day_submission l where l.day = v.day and l.submission = c.submission);

grant select on intake.soil_in_view, intake.submission_in_view to tenmesh_app, tenmesh_quality;
