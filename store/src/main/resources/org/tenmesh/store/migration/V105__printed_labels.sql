-- Labels that were printed, a row a file. The same label a second time needs a reason: two of it can put two soils under one number.
create table layout.printed (
    id bigint generated always as identity primary key,
    kind text not null check (kind <> ''),
    of_day text not null,
    labels text[] not null check (cardinality(labels) > 0),
    again int not null check (again between 0 and cardinality(labels)),
    reason text not null check ((again = 0) = (reason = '')),
    actor text not null,
    at timestamptz not null
);
create index on layout.printed using gin (labels);

create trigger printed_stays before update or delete or truncate on layout.printed
    for each statement execute function intake.refuse_change();
grant select, insert on layout.printed to tenmesh_app;
grant select on layout.printed to tenmesh_quality;
