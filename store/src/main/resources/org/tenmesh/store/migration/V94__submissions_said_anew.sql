-- What the dock says of a submission after it was laid out: client, promise, package, note. What came stays as it came; each change is a new
-- version with its reason, and the newest one counts.
create table intake.submission_version (
    submission int not null references intake.submission,
    version int not null check (version > 0),
    client text not null check (client <> ''),
    promised_on date,
    package text check (package <> ''),
    note text check (note <> ''),
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null,
    primary key (submission, version)
);

create trigger submission_version_stays before update or delete or truncate on intake.submission_version
    for each statement execute function intake.refuse_change();

-- Submissions as they are said now.
create view intake.submission_now as
    select s.id, s.register, s.submission, coalesce(v.client, s.client) as client, s.received_at, s.received_offset,
           case when v.version is null then s.promised_on else v.promised_on end as promised_on,
           s.origin_country, s.origin_region,
           case when v.version is null then s.package else v.package end as package,
           s.water_supplied,
           case when v.version is null then s.note else v.note end as note,
           s.received_on, s.day
    from intake.submission s
    left join lateral (
        select * from intake.submission_version n where n.submission = s.id order by n.version desc limit 1) v on true;

grant select, insert on intake.submission_version to tenmesh_app;
grant select on intake.submission_version to tenmesh_quality;
grant select on intake.submission_now to tenmesh_app, tenmesh_quality;
