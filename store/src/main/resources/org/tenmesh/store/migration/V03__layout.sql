create schema layout;
grant usage on schema layout to tenmesh_app, tenmesh_quality;

create table layout.tray (
    day int not null references intake.day,
    ord int not null,
    tray text not null,
    primary key (day, tray),
    unique (day, ord)
);

-- The tray by its place in the day's list; without a foreign key for the reason given for soils.
create table layout.place (
    day int not null,
    tray int not null,
    well smallint not null check (well between 0 and 11),
    lab_number text,
    purpose text not null check (purpose in ('soil', 'key')),
    primary key (day, tray, well)
);

create trigger tray_stays before update or delete or truncate on layout.tray
    for each statement execute function intake.refuse_change();
create trigger place_stays before update or delete or truncate on layout.place
    for each statement execute function intake.refuse_change();

grant select on all tables in schema layout to tenmesh_app, tenmesh_quality;
grant insert on all tables in schema layout to tenmesh_app;
