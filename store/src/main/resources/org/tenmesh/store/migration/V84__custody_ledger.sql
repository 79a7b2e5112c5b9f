-- The account of regulated soil: parcels, one line for each move of a portion, and charges that destroy it. Written once, in order.
create table custody.parcel (
    code text primary key,
    submission text not null,
    country text,
    places text[] not null,
    because text not null check (because <> ''),
    permit text not null,
    permit_version int not null,
    received_on date not null,
    keep_until date,
    condition text not null,
    weighed boolean not null,
    actor text not null,
    at timestamptz not null
);
create index on custody.parcel (submission);

create table custody.move (
    seq bigint generated always as identity primary key,
    batch text not null,
    id text not null constraint move_once unique,
    what text not null,
    parcel text not null references custody.parcel,
    portion text not null,
    kind text not null,
    from_portion text not null,
    place text not null,
    mass_mg bigint not null,
    pieces int not null check (pieces >= 0),
    charge text not null,
    note text not null,
    person text not null,
    at timestamptz not null
);
create index on custody.move (parcel, seq);
create index on custody.move (batch);
create index on custody.move (charge) where charge <> '';

create table custody.charge (
    name text primary key,
    device text not null,
    permit text not null,
    permit_version int not null,
    treatment text not null,
    sensors text[] not null check (cardinality(sensors) > 0),
    uncertainty_k float8 not null,
    opened_by text not null,
    opened_at timestamptz not null
);

-- What was typed or dropped of the temperature-time record, a piece at a time.
create table custody.charge_record (
    charge text not null references custody.charge,
    ord int not null,
    source text not null,
    sensor text[] not null,
    at_ms bigint[] not null check (cardinality(at_ms) = cardinality(sensor)),
    celsius float8[] not null check (cardinality(celsius) = cardinality(sensor)),
    actor text not null,
    at timestamptz not null,
    primary key (charge, ord)
);

create table custody.charge_closed (
    charge text primary key references custody.charge,
    opened_again timestamptz not null,
    confirmed text[] not null,
    passed boolean not null,
    reasons text[] not null,
    actor text not null,
    at timestamptz not null
);

create table custody.charge_signature (
    charge text not null references custody.charge,
    place int not null check (place in (1, 2)),
    person text not null,
    at timestamptz not null,
    primary key (charge, place)
);

create table custody.charge_residue (
    charge text primary key references custody.charge,
    carrier text not null check (carrier <> ''),
    destination text not null check (destination <> ''),
    ticket text not null,
    person text not null,
    at timestamptz not null
);

create trigger parcel_stays before update or delete or truncate on custody.parcel
    for each statement execute function intake.refuse_change();
create trigger move_stays before update or delete or truncate on custody.move
    for each statement execute function intake.refuse_change();
create trigger charge_stays before update or delete or truncate on custody.charge
    for each statement execute function intake.refuse_change();
create trigger charge_record_stays before update or delete or truncate on custody.charge_record
    for each statement execute function intake.refuse_change();
create trigger charge_closed_stays before update or delete or truncate on custody.charge_closed
    for each statement execute function intake.refuse_change();
create trigger charge_signature_stays before update or delete or truncate on custody.charge_signature
    for each statement execute function intake.refuse_change();
create trigger charge_residue_stays before update or delete or truncate on custody.charge_residue
    for each statement execute function intake.refuse_change();

grant select, insert on custody.parcel, custody.move, custody.charge, custody.charge_record, custody.charge_closed,
    custody.charge_signature, custody.charge_residue to tenmesh_app;
grant select on custody.parcel, custody.move, custody.charge, custody.charge_record, custody.charge_closed, custody.charge_signature,
    custody.charge_residue to tenmesh_quality;
