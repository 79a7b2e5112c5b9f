-- Whether a release asks for somebody who did none of the work behind it: each row a signed decision, the newest holds. Without a row it is asked.
create table release.second_person (
    number bigint primary key check (number > 0),
    asked boolean not null,
    reason text not null check (reason <> ''),
    signed_by text not null check (signed_by <> ''),
    at timestamptz not null
);
create trigger second_person_stays before update or delete or truncate on release.second_person
    for each statement execute function intake.refuse_change();
grant select, insert on release.second_person to tenmesh_app;
grant select on release.second_person to tenmesh_quality;

-- Who had done the work when a release was signed, and by which rule the signer could sign; empty text in releases from before this was kept.
alter table release.release disable trigger release_stays;
alter table release.release add column approval text not null default '';
alter table release.release enable trigger release_stays;
