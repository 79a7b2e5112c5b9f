create schema judgement;
grant usage on schema judgement to tenmesh_app, tenmesh_quality;

-- What the judge said, kept until the digest of its inputs is another. Can be thrown away at any time.
create table judgement.kept (
    day int primary key references intake.day,
    inputs_digest text not null,
    kept_at timestamptz not null
);

create table judgement.result (
    day int not null references intake.day,
    ord int not null,
    lab_number text not null,
    method text not null,
    analyte text not null,
    run text not null,
    position int not null,
    channel text not null,
    kind text not null check (kind in ('measured', 'below', 'above', 'missing')),
    value float8,
    edge float8,
    missing_because text,
    unit text not null,
    reported text not null,
    uncertainty float8,
    verdict text not null check (verdict in ('fit', 'hold', 'redo')),
    causes text[] not null,
    primary key (day, ord)
);

create table judgement.cause (
    day int not null references intake.day,
    ord int not null,
    cause text not null,
    kind text not null,
    verdict text not null check (verdict in ('fit', 'hold', 'redo')),
    run text not null,
    method text not null,
    analytes text[] not null,
    first_position int not null,
    last_position int not null,
    samples int not null,
    evidence text not null,
    action text not null,
    log10_odds float8,
    primary key (day, ord)
);

create table judgement.gate (
    day int not null references intake.day,
    ord int not null,
    instrument text not null,
    run text not null,
    gate text not null,
    open boolean not null,
    observed text not null,
    edge text not null,
    at timestamptz not null,
    at_offset int not null,
    primary key (day, ord)
);

-- One line a lab number: its worst verdict over all its determinations.
create view judgement.verdict as
    select d.name as day, r.lab_number,
           case max(case r.verdict when 'fit' then 0 when 'hold' then 1 else 2 end)
               when 0 then 'fit' when 1 then 'hold' else 'redo' end as verdict,
           count(*) as determinations
    from judgement.result r
    join intake.day d on d.id = r.day
    group by d.name, r.lab_number;

grant select on all tables in schema judgement to tenmesh_app, tenmesh_quality;
grant insert, update, delete on judgement.kept, judgement.result, judgement.cause, judgement.gate to tenmesh_quality;
