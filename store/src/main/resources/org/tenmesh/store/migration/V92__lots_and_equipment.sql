-- Lots and equipment as they were registered, and what was noted about them: written once. What was wrong is taken back by a later row.
create schema equipment;

create table equipment.lot (
    id int generated always as identity primary key,
    name text not null unique check (name <> '' and char_length(name) <= 64),
    kind text not null check (kind in ('standard', 'check-solution', 'buffer', 'extractant', 'control-soil', 'reagent')),
    stands_for text not null check (stands_for <> ''),
    method text not null,
    source text not null check (source <> ''),
    received date not null,
    expires date check (expires >= received),
    days_open int check (days_open > 0),
    actor text not null,
    at timestamptz not null
);

create table equipment.lot_content (
    lot int not null references equipment.lot,
    ord int not null,
    analyte text not null check (analyte <> ''),
    value float8 not null,
    uncertainty float8 check (uncertainty >= 0),
    unit text not null,
    primary key (lot, ord)
);

create table equipment.lot_part (
    lot int not null references equipment.lot,
    ord int not null,
    part int not null references equipment.lot check (part < lot),
    primary key (lot, ord)
);

create table equipment.equipment (
    id int generated always as identity primary key,
    name text not null unique check (name <> '' and char_length(name) <= 64),
    kind text not null,
    identity text not null,
    instrument text not null,
    channel text not null check (channel = '' or instrument <> ''),
    actor text not null,
    at timestamptz not null
);

create table equipment.due (
    equipment int not null references equipment.equipment,
    ord int not null,
    what text not null check (what <> ''),
    every_days int check (every_days > 0),
    by_day date,
    low float8,
    high float8,
    unit text not null,
    primary key (equipment, ord),
    check (every_days is not null or by_day is not null)
);

create table equipment.act (
    number bigint primary key,
    lot int references equipment.lot,
    equipment int references equipment.equipment,
    what text not null check (what in ('opened', 'into-use', 'used-up', 'checked', 'out-of-service', 'back-in-service', 'taken-back')),
    about text not null,
    value float8,
    passed boolean not null,
    says text not null,
    happened_at timestamptz not null,
    actor text not null,
    at timestamptz not null,
    check ((lot is null) <> (equipment is null))
);

create table equipment.use (
    number bigint primary key,
    lot int references equipment.lot,
    equipment int references equipment.equipment,
    place text not null check (place in ('run', 'tray')),
    day int not null references intake.day,
    code text not null check (code <> '' and char_length(code) <= 64),
    method text not null,
    used_at timestamptz not null,
    actor text not null,
    at timestamptz not null,
    check ((lot is null) <> (equipment is null))
);

create table equipment.let_stand (
    number bigint primary key,
    lot int references equipment.lot,
    equipment int references equipment.equipment,
    day int not null references intake.day,
    finding text not null,
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null,
    check ((lot is null) <> (equipment is null))
);

do $$
declare
    one text;
begin
    foreach one in array array['lot', 'lot_content', 'lot_part', 'equipment', 'due', 'act', 'use', 'let_stand'] loop
        execute format('create trigger %I_stays before update or delete or truncate on equipment.%I
            for each statement execute function intake.refuse_change()', one, one);
        execute format('grant select, insert on equipment.%I to tenmesh_app', one);
        execute format('grant select on equipment.%I to tenmesh_quality', one);
    end loop;
end $$;
grant usage on schema equipment to tenmesh_app, tenmesh_quality;
