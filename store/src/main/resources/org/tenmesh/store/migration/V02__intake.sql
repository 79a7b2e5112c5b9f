create schema intake;
grant usage on schema intake to tenmesh_app, tenmesh_quality;

-- What was written once stays as it was written; a statement that would change it is refused whole.
create function intake.refuse_change() returns trigger language plpgsql as $$
begin
    raise exception 'rows of %.% are never changed or deleted', tg_table_schema, tg_table_name
        using errcode = 'restrict_violation',
              hint = 'write a new row that refers to the old one';
end
$$;

create table intake.day (
    id int generated always as identity primary key,
    name text not null unique check (char_length(name) between 1 and 64)
);

-- One import. The laboratory is as the newest import of a day says.
create table intake.source (
    id int generated always as identity primary key,
    day int not null references intake.day,
    sha256 text not null constraint source_taken_once unique check (sha256 ~ '^[0-9a-f]{64}$'),
    actor text not null,
    taken_at timestamptz not null,
    soils int not null,
    readings bigint not null,
    laboratory text not null,
    zone text not null,
    address text not null,
    invented boolean not null,
    policy jsonb not null
);
create index on intake.source (day, id);

create table intake.submission (
    day int not null references intake.day,
    ord int not null,
    submission text not null,
    client text not null,
    received_at timestamptz not null,
    received_offset int not null,
    promised_on date,
    origin_country text,
    origin_region text,
    package text,
    water_supplied boolean,
    note text,
    primary key (day, submission)
);

-- No foreign key to the submission: where a file of submissions could not be taken, its soils are judged all the same.
-- None to the day either, which would look the same day up once for each of thousands of rows; the only writer makes a
-- day and what belongs to it in one transaction.
create table intake.soil (
    day int not null,
    ord int not null,
    lab_number text not null check (char_length(lab_number) between 1 and 32),
    submission text,
    ordinal int,
    client_label text,
    top_cm float8,
    bottom_cm float8,
    package text,
    regulated boolean,
    primary key (day, lab_number)
);

create trigger source_stays before update or delete or truncate on intake.source
    for each statement execute function intake.refuse_change();
create trigger submission_stays before update or delete or truncate on intake.submission
    for each statement execute function intake.refuse_change();
create trigger soil_stays before update or delete or truncate on intake.soil
    for each statement execute function intake.refuse_change();

grant select on all tables in schema intake to tenmesh_app, tenmesh_quality;
grant insert on all tables in schema intake to tenmesh_app;
-- For the row lock that lets one import of a day follow the other.
grant update on intake.day to tenmesh_app, tenmesh_quality;
