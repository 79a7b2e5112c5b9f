-- What a lab number stands for; before this there were soils only.
alter table intake.soil add column matter text not null default 'soil' check (matter in ('soil', 'water'));

-- Regions whose advice the laboratory switched on.
alter table intake.source add column advice text[] not null default '{}';

create table intake.package (
    day int not null references intake.day,
    ord int not null,
    package text not null,
    title text not null,
    primary key (day, package)
);

-- A method that a package asks for; no analytes = everything it reports.
create table intake.asked (
    day int not null,
    package text not null,
    ord int not null,
    method text not null,
    analytes text[] not null,
    primary key (day, package, ord)
);

-- A portion that could not be taken because too little soil came.
create table intake.shortage (
    day int not null references intake.day,
    ord int not null,
    lab_number text not null,
    method text not null,
    primary key (day, lab_number, method)
);

create trigger package_stays before update or delete or truncate on intake.package
    for each statement execute function intake.refuse_change();
create trigger asked_stays before update or delete or truncate on intake.asked
    for each statement execute function intake.refuse_change();
create trigger shortage_stays before update or delete or truncate on intake.shortage
    for each statement execute function intake.refuse_change();

grant select on intake.package, intake.asked, intake.shortage to tenmesh_app, tenmesh_quality;
grant insert on intake.package, intake.asked, intake.shortage to tenmesh_app;

-- Too little soil and a saturated detector have no number; words hold a class, or why a number is missing.
alter table judgement.result drop constraint result_kind_check;
alter table judgement.result add constraint result_kind_check
    check (kind in ('measured', 'below', 'above', 'missing', 'saturated', 'not-enough-soil', 'classed'));
alter table judgement.result rename column missing_because to words;
