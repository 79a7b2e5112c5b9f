-- The way back of soil that became regulated by a note that was a mistake: two people sign it. It may become regulated again, by another note.
alter table custody.became add column version int not null default 1 check (version > 0);
alter table custody.became alter column version drop default;
alter table custody.became drop constraint became_pkey;
alter table custody.became add primary key (submission, version);

create table custody.ordinary_again (
    submission int not null,
    version int not null,
    place int not null check (place in (1, 2)),
    quality boolean not null,
    reason text not null check (reason <> ''),
    person text not null,
    at timestamptz not null,
    primary key (submission, version, place),
    foreign key (submission, version) references custody.became
);
create trigger ordinary_again_stays before update or delete or truncate on custody.ordinary_again
    for each statement execute function intake.refuse_change();

-- What became regulated and is so still.
create view custody.became_now as
    select b.submission, b.version, b.parcel, b.ground, b.because, b.actor, b.at
    from custody.became b
    where not exists (select from custody.ordinary_again o where o.submission = b.submission and o.version = b.version and o.place = 2);

-- What became regulated and is ordinary again, since when.
create view custody.became_ended as
    select b.submission, b.version, b.parcel, o.at
    from custody.became b join custody.ordinary_again o on o.submission = b.submission and o.version = b.version and o.place = 2;

-- A decision on a tray is no word about soil that was one cause of it and is ordinary again since.
create or replace view custody.became_soil as
    select c.soil from custody.became_now b join intake.came_in c on c.submission = b.submission
    union
    select s.id
    from custody.tray_decided_now n
    join layout.tray t on t.id = n.tray
    join intake.day d on d.id = t.day
    join layout.place p on p.tray = t.id and p.purpose = 'soil'
    join intake.soil s on s.register = d.register and s.lab_number = p.lab_number
    where n.decision = 'regulated'
      and not exists (select from intake.came_in c join custody.became_ended e on e.submission = c.submission
                      where c.soil = s.id and e.at >= n.at);

create trigger shelved_ordinary after insert on custody.ordinary_again for each statement execute function shelf.became_regulated();

grant select, insert on custody.ordinary_again to tenmesh_app;
grant select on custody.ordinary_again, custody.became_now, custody.became_ended to tenmesh_app, tenmesh_quality;
