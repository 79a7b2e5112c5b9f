-- What a journal entry vouches for, a line for each stored row: the row's digest and its name. The SHA-256 of the lines
-- stands in the entry, so a list that was changed no longer has the key it is looked up by.
create table journal.contents (
    sha256 text primary key,
    lines text not null
);

create trigger contents_stay before update or delete or truncate on journal.contents
    for each statement execute function intake.refuse_change();

grant select, insert on journal.contents to tenmesh_app;

-- Checking a day looks up the entries about that day. Hash indexes, because a subject may be long.
create index on journal.entry using hash (subject);
create index on journal.entry (what, seq);

-- Who knows all lab numbers could try which of them a plain digest of the key was taken over; the salt, which the
-- program cannot read, prevents that.
create table sealed.salt (
    day int primary key references intake.day,
    salt text not null
);
create trigger salt_stays before update or delete or truncate on sealed.salt
    for each statement execute function intake.refuse_change();
grant select on sealed.salt to tenmesh_quality;

create function intake.sealed_digest(the_day int) returns text
language sql security definer set search_path = pg_catalog, pg_temp as $$
    insert into sealed.salt (day, salt) values (the_day, gen_random_uuid()::text || gen_random_uuid()::text)
    on conflict do nothing;
    select encode(sha256(convert_to(
               coalesce((select s.salt from sealed.salt s where s.day = the_day), '') || e'\n'
               || coalesce((select string_agg(c.lab_number || e'\t' || c.material, e'\n'
                                              order by c.lab_number collate "C")
                            from sealed.control c where c.day = the_day), ''),
               'UTF8')), 'hex');
$$;
revoke all on function intake.sealed_digest from public;
grant execute on function intake.sealed_digest to tenmesh_app;
