-- Lists of areas from which soil is regulated, and permits under which it is kept: drafted in versions, in force from a day on when somebody
-- has signed them. The program puts none in.
create schema custody;
grant usage on schema custody to tenmesh_app, tenmesh_quality;

create table custody.paper (
    id int generated always as identity primary key,
    kind text not null check (kind in ('areas', 'permit')),
    name text not null check (char_length(name) between 1 and 120),
    constraint paper_once unique (kind, name)
);

create table custody.version (
    paper int not null references custody.paper,
    version int not null check (version > 0),
    reason text not null check (char_length(reason) between 1 and 500),
    drafted_by text not null,
    at timestamptz not null,
    primary key (paper, version)
);

create table custody.signature (
    paper int not null,
    version int not null,
    signed_by text not null,
    at timestamptz not null,
    from_day date not null,
    primary key (paper, version),
    foreign key (paper, version) references custody.version
);

create table custody.area_list (
    paper int not null,
    version int not null,
    authority text not null,
    pest text not null,
    rule text not null,
    covers text[] not null,
    everywhere_else boolean not null,
    source text not null,
    as_of date not null,
    review_by date not null,
    primary key (paper, version),
    foreign key (paper, version) references custody.version
);

-- Areas of a list, or places in the scope of a permit.
create table custody.area (
    paper int not null,
    version int not null,
    place int not null,
    country text not null,
    region text[] not null,
    county text[] not null,
    from_day date,
    until_day date,
    note text not null,
    primary key (paper, version, place),
    foreign key (paper, version) references custody.version
);

create table custody.permit (
    paper int not null,
    version int not null,
    kind text not null check (kind in ('PERMIT', 'AGREEMENT')),
    authority text not null,
    holder text not null,
    site text not null,
    lists text[] not null,
    analyses text[] not null,
    most_g bigint,
    hand_carried boolean not null,
    issued date not null,
    amended date,
    expires date not null,
    warn_days int not null,
    storage_days int,
    retention_years int,
    label text not null,
    effluent text not null,
    conditions text[] not null,
    contact text not null,
    primary key (paper, version),
    foreign key (paper, version) references custody.version
);

create table custody.treatment (
    paper int not null,
    version int not null,
    place int not null,
    name text not null,
    unbroken boolean not null,
    longest_gap_s int not null,
    fit text[] not null,
    confirm text[] not null,
    source text not null,
    limit_c float8[] not null,
    limit_s int[] not null check (cardinality(limit_s) = cardinality(limit_c)),
    primary key (paper, version, place),
    foreign key (paper, version) references custody.version
);

create trigger paper_stays before update or delete or truncate on custody.paper
    for each statement execute function intake.refuse_change();
create trigger version_stays before update or delete or truncate on custody.version
    for each statement execute function intake.refuse_change();
create trigger signature_stays before update or delete or truncate on custody.signature
    for each statement execute function intake.refuse_change();
create trigger area_list_stays before update or delete or truncate on custody.area_list
    for each statement execute function intake.refuse_change();
create trigger area_stays before update or delete or truncate on custody.area
    for each statement execute function intake.refuse_change();
create trigger permit_stays before update or delete or truncate on custody.permit
    for each statement execute function intake.refuse_change();
create trigger treatment_stays before update or delete or truncate on custody.treatment
    for each statement execute function intake.refuse_change();

grant select, insert on all tables in schema custody to tenmesh_app;
grant select on all tables in schema custody to tenmesh_quality;
