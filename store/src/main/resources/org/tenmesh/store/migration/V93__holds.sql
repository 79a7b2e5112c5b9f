-- What people hold after looking back, with the readings that it lists, and that they lifted it: written once.
create table equipment.hold (
    number bigint primary key,
    about text not null check (about <> ''),
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null
);

create table equipment.hold_span (
    hold bigint not null references equipment.hold,
    ord int not null,
    day int not null references intake.day,
    run text not null check (run <> ''),
    first_position int not null check (first_position > 0),
    last_position int not null check (last_position >= first_position),
    primary key (hold, ord)
);

create table equipment.hold_lifted (
    hold bigint primary key references equipment.hold,
    reason text not null check (reason <> ''),
    actor text not null,
    at timestamptz not null
);

do $$
declare
    one text;
begin
    foreach one in array array['hold', 'hold_span', 'hold_lifted'] loop
        execute format('create trigger %I_stays before update or delete or truncate on equipment.%I
            for each statement execute function intake.refuse_change()', one, one);
        execute format('grant select, insert on equipment.%I to tenmesh_app', one);
        execute format('grant select on equipment.%I to tenmesh_quality', one);
    end loop;
end $$;
