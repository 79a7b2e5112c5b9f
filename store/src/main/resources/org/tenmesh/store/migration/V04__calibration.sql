create schema calibration;
grant usage on schema calibration to tenmesh_app, tenmesh_quality;

create table calibration.material (
    day int not null references intake.day,
    ord int not null,
    material text not null,
    method text not null,
    analyte text not null,
    mean float8 not null,
    sd float8 not null,
    unit text not null,
    n int,
    primary key (day, material, method, analyte)
);

create table calibration.standard (
    day int not null references intake.day,
    ord int not null,
    method text not null,
    standard text not null,
    analyte text not null,
    value float8 not null,
    unit text not null,
    tolerance float8,
    tolerance_pct float8,
    primary key (day, method, standard, analyte)
);

create trigger material_stays before update or delete or truncate on calibration.material
    for each statement execute function intake.refuse_change();
create trigger standard_stays before update or delete or truncate on calibration.standard
    for each statement execute function intake.refuse_change();

grant select on all tables in schema calibration to tenmesh_app, tenmesh_quality;
grant insert on all tables in schema calibration to tenmesh_app;
