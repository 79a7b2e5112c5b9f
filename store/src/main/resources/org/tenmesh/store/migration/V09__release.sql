create schema release;
grant usage on schema release to tenmesh_app, tenmesh_quality;

create table release.release (
    id int generated always as identity primary key,
    day int not null references intake.day,
    submission text not null,
    revision int not null check (revision >= 1),
    signed_by text not null check (signed_by <> ''),
    signed_at timestamptz not null,
    signed_offset int not null,
    reason text not null,
    constraint revision_once unique (day, submission, revision),
    foreign key (day, submission) references intake.submission
);

create table release.result (
    release int not null references release.release,
    ord int not null,
    lab_number text not null,
    method text not null,
    method_version text not null,
    analyte text not null,
    value float8,
    unit text not null,
    reported text not null,
    uncertainty text not null,
    held_because text not null,
    primary key (release, ord)
);

create trigger release_stays before update or delete or truncate on release.release
    for each statement execute function intake.refuse_change();
create trigger result_stays before update or delete or truncate on release.result
    for each statement execute function intake.refuse_change();

grant select on all tables in schema release to tenmesh_app, tenmesh_quality;
grant insert on all tables in schema release to tenmesh_app;
