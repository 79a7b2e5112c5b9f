create schema journal;
grant usage on schema journal to tenmesh_app;

create table journal.entry (
    seq bigint primary key,
    at timestamptz not null,
    actor text not null,
    what text not null,
    subject text not null,
    detail text not null,
    previous_sha256 text not null,
    sha256 text not null
);

-- One row, locked by whoever writes the next entry until that transaction ends: the chain cannot fork, and an entry
-- cut off at the end is missed.
create table journal.head (
    one boolean primary key default true check (one),
    seq bigint not null,
    sha256 text not null
);
insert into journal.head (seq, sha256) values (0, repeat('0', 64));

create trigger entry_stays before update or delete or truncate on journal.entry
    for each statement execute function intake.refuse_change();

grant select, insert on journal.entry to tenmesh_app;
grant select, update on journal.head to tenmesh_app;
