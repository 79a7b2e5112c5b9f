-- A cause is one event: it has stretches, each with its verdict and the determinations it touches there. Its key is made of its content.
create table judgement.stretch (
    day int not null references intake.day,
    cause int not null,
    ord int not null,
    run text not null,
    method text not null,
    verdict text not null check (verdict in ('fit', 'hold', 'redo')),
    analytes text[] not null,
    first_position int not null,
    last_position int not null,
    evidence text not null,
    -- The determinations it touches, one in each place of both lists.
    touched_lab_numbers text[] not null,
    touched_analytes text[] not null,
    primary key (day, cause, ord),
    foreign key (day, cause) references judgement.cause (day, ord) on delete cascade,
    check (cardinality(touched_lab_numbers) = cardinality(touched_analytes))
);
insert into judgement.stretch
    select day, ord, 0, run, method, verdict, analytes, first_position, last_position, evidence, '{}', '{}' from judgement.cause;

alter table judgement.cause
    drop column verdict, drop column run, drop column method, drop column analytes, drop column first_position,
    drop column last_position, drop column samples, drop column evidence,
    add column evidence_digest text not null default '';

grant select on judgement.stretch to tenmesh_app, tenmesh_quality;
grant insert, update, delete on judgement.stretch to tenmesh_quality;

-- What is done about a cause is bound to the cause as it was seen. What was stored under an ordinal before has no evidence: it has lapsed.
alter table causes.action
    add column evidence_digest text not null default '',
    add column run text not null default '',
    add column evidence text not null default '',
    add column lab_numbers int not null default 0;
