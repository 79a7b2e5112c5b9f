-- What was read again says of a cause, by rule. A row for each time that the answer became another one; the newest counts.
create table causes.answer (
    id bigint generated always as identity primary key,
    day int not null references intake.day,
    cause text not null check (cause <> ''),
    kind text not null check (kind <> ''),
    said text not null check (said in ('confirmed', 'refuted', 'undecided', 'open')),
    log10_ratio float8 not null,
    compared int not null check (compared >= 0),
    changed int not null check (changed >= 0 and changed <= compared),
    sentence text not null,
    at timestamptz not null
);
create index on causes.answer (day, cause, id);

create trigger answer_stays before update or delete or truncate on causes.answer
    for each statement execute function intake.refuse_change();

grant select, insert on causes.answer to tenmesh_app;
grant select on causes.answer to tenmesh_quality;
