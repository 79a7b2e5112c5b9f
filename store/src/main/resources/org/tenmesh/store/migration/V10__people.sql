create schema people;
grant usage on schema people to tenmesh_app;

create table people.person (
    name text primary key check (btrim(name) <> '' and char_length(name) <= 80),
    role text not null check (role in ('in-charge', 'quality', 'bench', 'client-service', 'auditor')),
    password_hash text not null,
    active boolean not null
);
create unique index person_one_name on people.person (lower(name));

create table people.session (
    token_sha256 text primary key,
    person text not null references people.person,
    started_at timestamptz not null,
    expires_at timestamptz not null
);
create index on people.session (person);

create table people.one_time_token (
    token_sha256 text primary key,
    person text not null references people.person,
    expires_at timestamptz not null
);

-- No reference to a person: names that do not exist are tried too, and must look the same.
create table people.failed_sign_in (
    name text not null,
    at timestamptz not null
);
create index on people.failed_sign_in (name, at);

grant select, insert, update on people.person to tenmesh_app;
grant select, insert, delete on people.session, people.one_time_token, people.failed_sign_in to tenmesh_app;
