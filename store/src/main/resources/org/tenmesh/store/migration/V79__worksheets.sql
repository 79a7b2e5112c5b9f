-- Clients' worksheets between the dock and the layout. What came is kept unchanged with its digest; what the dock says of it is a new version
-- with a reason each time, until it is laid out or left.
create table intake.worksheet (
    id int generated always as identity primary key,
    submission text not null unique check (submission <> ''),
    file_name text not null check (file_name <> ''),
    sha256 text not null check (sha256 ~ '^[0-9a-f]{64}$'),
    bytes bytea not null,
    actor text not null,
    at timestamptz not null
);

create table intake.worksheet_version (
    worksheet int not null references intake.worksheet,
    version int not null check (version > 0),
    client text not null check (client <> ''),
    promised_on date,
    package text,
    note text,
    reason text not null check (version = 1 or reason <> ''),
    actor text not null,
    at timestamptz not null,
    primary key (worksheet, version)
);

create table intake.worksheet_settled (
    worksheet int primary key references intake.worksheet,
    laid_out boolean not null,
    reason text not null check (laid_out or reason <> ''),
    actor text not null,
    at timestamptz not null
);

create trigger worksheet_stays before update or delete or truncate on intake.worksheet
    for each statement execute function intake.refuse_change();
create trigger worksheet_version_stays before update or delete or truncate on intake.worksheet_version
    for each statement execute function intake.refuse_change();
create trigger worksheet_settled_stays before update or delete or truncate on intake.worksheet_settled
    for each statement execute function intake.refuse_change();

grant select, insert on intake.worksheet, intake.worksheet_version, intake.worksheet_settled to tenmesh_app;
