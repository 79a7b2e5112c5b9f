create schema causes;
grant usage on schema causes to tenmesh_app, tenmesh_quality;

create table causes.action (
    id bigint generated always as identity primary key,
    day int not null references intake.day,
    cause text not null check (cause <> ''),
    action text not null check (action in ('order-redo', 'accept', 'shut-gate', 'open-gate')),
    reason text not null,
    actor text not null check (actor <> ''),
    at timestamptz not null,
    constraint reason_given check (action not in ('accept', 'shut-gate') or btrim(reason) <> '')
);
create index on causes.action (day, id);

create trigger action_stays before update or delete or truncate on causes.action
    for each statement execute function intake.refuse_change();

grant select, insert on causes.action to tenmesh_app;
grant select on causes.action to tenmesh_quality;
