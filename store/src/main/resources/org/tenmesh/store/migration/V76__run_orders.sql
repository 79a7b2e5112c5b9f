-- What an instrument is to read, position by position. An order is never changed; it may be cancelled until its run was read.
create table reading.run_order (
    id int generated always as identity primary key,
    name text not null unique check (name <> ''),
    method text not null check (method <> ''),
    instrument text not null check (instrument <> ''),
    made_at timestamptz not null,
    made_offset int not null,
    actor text not null,
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$')
);

create table reading.run_order_place (
    run_order int not null references reading.run_order,
    position int not null check (position > 0),
    role text not null,
    identity text not null check (identity <> ''),
    dilution float8 not null check (dilution >= 1),
    again boolean not null,
    primary key (run_order, position)
);

create table reading.run_order_cancelled (
    run_order int primary key references reading.run_order,
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null
);

create trigger run_order_stays before update or delete or truncate on reading.run_order
    for each statement execute function intake.refuse_change();
create trigger run_order_place_stays before update or delete or truncate on reading.run_order_place
    for each statement execute function intake.refuse_change();
create trigger run_order_cancelled_stays before update or delete or truncate on reading.run_order_cancelled
    for each statement execute function intake.refuse_change();

grant select, insert on reading.run_order, reading.run_order_place, reading.run_order_cancelled to tenmesh_app;
grant select on reading.run_order, reading.run_order_place, reading.run_order_cancelled to tenmesh_quality;
