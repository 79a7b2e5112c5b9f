create schema sealed;
grant usage on schema sealed to tenmesh_quality;

create table sealed.control (
    day int not null references intake.day,
    lab_number text not null,
    material text not null,
    primary key (day, lab_number)
);

create table sealed.control_value (
    day int not null references intake.day,
    ord int not null,
    run text not null,
    method text not null,
    position int not null,
    identity text not null,
    hidden boolean not null,
    material text not null,
    analyte text not null,
    value float8 not null,
    z float8 not null,
    rules text[] not null,
    primary key (day, ord)
);

create trigger control_stays before update or delete or truncate on sealed.control
    for each statement execute function intake.refuse_change();

grant select on sealed.control to tenmesh_quality;
grant select, insert, delete on sealed.control_value to tenmesh_quality;

-- The program can put a key in and cannot take it out. What it answers names no lab number.
create function intake.seal(the_day int, lab_numbers text[], materials text[]) returns boolean
language sql security definer set search_path = pg_catalog, pg_temp as $$
    insert into sealed.control (day, lab_number, material)
    select the_day, k.lab_number, k.material from unnest(lab_numbers, materials) as k (lab_number, material)
    on conflict do nothing;
    select not exists (
        select from unnest(lab_numbers, materials) as k (lab_number, material)
        join sealed.control c on c.day = the_day and c.lab_number = k.lab_number
        where c.material <> k.material);
$$;
revoke all on function intake.seal from public;
grant execute on function intake.seal to tenmesh_app;
