-- Submissions of which something is still to be released, so that the lists of open work read these and not the records of ten years.
-- Only the triggers below write here. The verification computes it again from the releases.
create table release.unreleased (submission int primary key);

insert into release.unreleased
select s.id
from intake.submission s
left join lateral (
    select n.held from release.release n where n.submission_id = s.id order by n.revision desc limit 1) r on true
where r.held is null or r.held > 0;

create function release.submission_came() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    insert into release.unreleased select id from fresh on conflict do nothing;
    return null;
end
$$;
create trigger submission_came after insert on intake.submission
    referencing new table as fresh for each statement execute function release.submission_came();

create function release.revision_signed() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    if new.held = 0 then
        delete from release.unreleased where submission = new.submission_id;
    else
        insert into release.unreleased values (new.submission_id) on conflict do nothing;
    end if;
    return null;
end
$$;
create trigger revision_signed after insert on release.release
    for each row execute function release.revision_signed();

revoke all on function release.submission_came, release.revision_signed from public;
grant select on release.unreleased to tenmesh_app, tenmesh_quality;

-- The list of days is read from its newest end.
create index day_newest on intake.day (on_date, (register = 'own'), id);
