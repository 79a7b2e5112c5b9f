-- The report of each release as the client has it: made when it was signed, kept as bytes with their digest, never made anew. A release
-- from before this had none; its report is made once, when it is first asked for, and says so here.
create table release.report (
    release int primary key references release.release,
    made_at timestamptz not null,
    made_later boolean not null,
    paper text not null check (paper in ('a4', 'letter')),
    layout text not null check (layout in ('table', 'soil-pages')),
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$'),
    pdf bytea not null check (length(pdf) > 0)
);

-- compressed already
alter table release.report alter column pdf set storage external;

create trigger report_stays before update or delete or truncate on release.report
    for each statement execute function intake.refuse_change();

grant select on release.report to tenmesh_app, tenmesh_quality;
grant insert on release.report to tenmesh_app;
