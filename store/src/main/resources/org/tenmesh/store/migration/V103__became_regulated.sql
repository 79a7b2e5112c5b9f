-- Soil of which it comes to be known after its layout that it met regulated soil, the permit of a parcel that came without a known one, and what was
-- decided of ordinary soil in one tray with regulated soil.
create table custody.became (
    submission int primary key references intake.submission,
    parcel text not null references custody.parcel,
    ground text not null check (ground <> ''),
    because text not null check (because <> ''),
    actor text not null,
    at timestamptz not null
);
create table custody.permit_entered (
    parcel text primary key references custody.parcel,
    permit text not null check (permit <> ''),
    permit_version int not null,
    keep_until date,
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null
);
create table custody.tray_decided (
    tray int not null references layout.tray,
    version int not null check (version > 0),
    decision text not null check (decision in ('regulated', 'ordinary')),
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null,
    primary key (tray, version)
);

create trigger became_stays before update or delete or truncate on custody.became
    for each statement execute function intake.refuse_change();
create trigger permit_entered_stays before update or delete or truncate on custody.permit_entered
    for each statement execute function intake.refuse_change();
create trigger tray_decided_stays before update or delete or truncate on custody.tray_decided
    for each statement execute function intake.refuse_change();

create view custody.tray_decided_now as
    select distinct on (tray) tray, version, decision, reason, actor, at from custody.tray_decided order by tray, version desc;

-- Soils that are regulated though they were laid out as ordinary: whatever came in with the submission, whenever its file came, and the rest of a
-- tray that was decided to be handled so.
create view custody.became_soil as
    select c.soil from custody.became b join intake.came_in c on c.submission = b.submission
    union
    select s.id
    from custody.tray_decided_now n
    join layout.tray t on t.id = n.tray
    join intake.day d on d.id = t.day
    join layout.place p on p.tray = t.id and p.purpose = 'soil'
    join intake.soil s on s.register = d.register and s.lab_number = p.lab_number
    where n.decision = 'regulated';

-- Soils as they are handled now.
create view intake.soil_now as
    select s.id, s.register, s.lab_number, s.submission, s.ordinal, s.client_label, s.top_cm, s.bottom_cm, s.package,
           case when b.soil is not null then true else s.regulated end as regulated, s.matter, s.day
    from intake.soil s left join custody.became_soil b on b.soil = s.id;

create or replace function shelf.keeping(the_soil int) returns text
language sql stable set search_path = pg_catalog, pg_temp as $$
    select case
        when exists (select from custody.became_soil b where b.soil in (the_soil, shelf.beside(the_soil))) then 'regulated'
        else (select case regulated when true then 'regulated' when false then 'ordinary' else 'unsettled' end
              from intake.soil where id = shelf.beside(the_soil)) end
$$;
create function shelf.became_regulated() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    update shelf.standing s set keeping = shelf.keeping(s.soil) where s.keeping is distinct from shelf.keeping(s.soil);
    return null;
end
$$;
create trigger shelved_became after insert on custody.became for each statement execute function shelf.became_regulated();
create trigger shelved_decided after insert on custody.tray_decided for each statement execute function shelf.became_regulated();
revoke all on function shelf.became_regulated from public;

grant select, insert on custody.became, custody.permit_entered, custody.tray_decided to tenmesh_app;
grant select on custody.became, custody.permit_entered, custody.tray_decided, custody.tray_decided_now, custody.became_soil, intake.soil_now
    to tenmesh_app, tenmesh_quality;
