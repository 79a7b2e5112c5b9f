-- What people note at the bench: written once, in order. The device makes the id, so that what is sent twice is kept once. Nothing here tells a
-- hidden control from a soil; the bench's database user may read it.
create table bench.act (
    seq bigint generated always as identity primary key,
    id text not null constraint act_once unique check (id ~ '^[0-9a-zA-Z-]{8,64}$'),
    day int references intake.day,
    kind text not null check (kind in ('tray', 'soil', 'rack')),
    code text not null check (char_length(code) between 1 and 64),
    step text not null check (char_length(step) <= 200),
    what text not null check (what in ('begun', 'done', 'spilt', 'too-little', 'wrong-tray', 'taken-back')),
    about text not null check (char_length(about) <= 64),
    told text not null check (char_length(told) <= 500),
    person text not null,
    sent_by text not null,
    device text not null check (char_length(device) <= 64),
    device_at timestamptz not null,
    stored_at timestamptz not null,
    check ((kind = 'rack') = (day is null))
);
create index on bench.act (day, code);
create index on bench.act (code) where day is null;

create trigger act_stays before update or delete or truncate on bench.act
    for each statement execute function intake.refuse_change();

grant usage on schema bench to tenmesh_app, tenmesh_quality;
grant select, insert on bench.act to tenmesh_app;
grant select on bench.act to tenmesh_quality, tenmesh_bench;

-- Badges of bench accounts. Of the code only the digest is kept; the PIN is chosen at the first scan.
create table people.badge (
    code_sha256 text primary key,
    person text not null references people.person (name) on update cascade,
    pin_hash text not null default '',
    issued_by text not null,
    issued_at timestamptz not null,
    withdrawn_by text not null default '',
    withdrawn_at timestamptz
);
create unique index badge_one_each on people.badge (person) where withdrawn_at is null;
grant select, insert on people.badge to tenmesh_app;
grant update (pin_hash, withdrawn_by, withdrawn_at) on people.badge to tenmesh_app;

-- A sign-in by badge locks after a shorter time without use.
alter table people.session add column locks_after_s int check (locks_after_s > 0);
