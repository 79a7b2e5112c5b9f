-- The shelf: what people did there, written once, in order. Where everything is now follows from it; the tables place, box and standing keep
-- that, so that ten years of acts need not be read to find one soil. Only the triggers below write there; the verification computes them again.
create schema shelf;
grant usage on schema shelf to tenmesh_app, tenmesh_quality;

create sequence shelf.batch;
create table shelf.act (
    seq bigint generated always as identity primary key,
    batch bigint not null,
    what text not null check (what in ('place-made', 'box-made', 'box-put', 'soil-put', 'lent', 'returned', 'held', 'hold-lifted',
        'list-made', 'listed', 'scanned', 'signed', 'discarded', 'handed-over')),
    soil int references intake.soil,
    about text not null check (char_length(about) between 1 and 64),
    to_what text not null check (char_length(to_what) <= 200),
    until_on date,
    regulated boolean not null,
    reason text not null check (char_length(reason) <= 200),
    person text not null check (person <> ''),
    at timestamptz not null,
    check ((what in ('soil-put', 'lent', 'returned', 'held', 'hold-lifted', 'listed', 'discarded', 'handed-over')) = (soil is not null))
);
create index act_of_soil on shelf.act (soil, seq) where soil is not null;
create index act_of_batch on shelf.act (batch, seq);
create index act_that_holds on shelf.act (soil) where what in ('held', 'hold-lifted');
create index act_of_list on shelf.act (to_what, seq) where what in ('listed', 'scanned');
create index act_of_lists on shelf.act (about) where what in ('list-made', 'signed');
-- Nothing leaves twice, whatever a program says.
create unique index act_leaves_once on shelf.act (soil) where what in ('discarded', 'handed-over');
create unique index act_signed_once on shelf.act (about) where what = 'signed';

create table shelf.place (
    place text primary key,
    regulated boolean not null
);
create table shelf.box (
    box text primary key,
    regulated boolean not null,
    place text references shelf.place
);
create index box_at on shelf.box (place);

-- Soils that have not left. The submission is the one whose releases count: its own, and for one that came in none that of the soil laid out
-- beside it.
create table shelf.standing (
    soil int primary key,
    box text not null references shelf.box,
    keeping text not null check (keeping in ('ordinary', 'regulated', 'unsettled')),
    submission int,
    lent_to text not null,
    lent_until date,
    check ((lent_to = '') = (lent_until is null))
);
create index standing_in_box on shelf.standing (box);
create index standing_of_submission on shelf.standing (submission);
create index standing_lent on shelf.standing (lent_until) where lent_until is not null;

-- The soil whose dates and kind count for this one: itself when it came in a submission, else the nearest laid out beside it.
create function shelf.beside(the_soil int) returns int
language sql stable set search_path = pg_catalog, pg_temp as $$
    select coalesce(
        (select soil from intake.came_in where soil = the_soil),
        (select c.soil from intake.came_in c join intake.soil o on o.id = c.soil
         where c.soil between the_soil - 1000 and the_soil and o.day = (select day from intake.soil where id = the_soil)
         order by c.soil desc limit 1),
        (select c.soil from intake.came_in c join intake.soil o on o.id = c.soil
         where c.soil between the_soil and the_soil + 1000 and o.day = (select day from intake.soil where id = the_soil)
         order by c.soil limit 1),
        the_soil)
$$;
create function shelf.keeping(the_soil int) returns text
language sql stable set search_path = pg_catalog, pg_temp as $$
    select case regulated when true then 'regulated' when false then 'ordinary' else 'unsettled' end
    from intake.soil where id = shelf.beside(the_soil)
$$;

create function shelf.acted() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    case new.what
        when 'place-made' then insert into shelf.place values (new.about, new.regulated);
        when 'box-made' then insert into shelf.box values (new.about, new.regulated, null);
        when 'box-put' then update shelf.box set place = new.to_what where box = new.about;
        when 'soil-put' then
            insert into shelf.standing
            values (new.soil, new.to_what, shelf.keeping(new.soil),
                (select submission from intake.came_in where soil = shelf.beside(new.soil)), '', null)
            on conflict (soil) do update set box = excluded.box;
        when 'lent' then update shelf.standing set lent_to = new.to_what, lent_until = new.until_on where soil = new.soil;
        when 'returned' then update shelf.standing set lent_to = '', lent_until = null where soil = new.soil;
        when 'discarded', 'handed-over' then delete from shelf.standing where soil = new.soil;
        else null;
    end case;
    return null;
end
$$;
create trigger acted after insert on shelf.act for each row execute function shelf.acted();

-- A file of submissions may come after its soils.
create function shelf.came_in() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    update shelf.standing s set submission = f.submission, keeping = shelf.keeping(s.soil) from fresh f where f.soil = s.soil;
    return null;
end
$$;
create trigger shelved_came_in after insert on intake.came_in
    referencing new table as fresh for each statement execute function shelf.came_in();
revoke all on function shelf.acted, shelf.came_in from public;

create trigger act_stays before update or delete or truncate on shelf.act
    for each statement execute function intake.refuse_change();

grant select, insert on shelf.act to tenmesh_app;
grant select on shelf.place, shelf.box, shelf.standing to tenmesh_app;
grant select on all tables in schema shelf to tenmesh_quality;
grant usage on sequence shelf.batch to tenmesh_app;
grant execute on function shelf.beside, shelf.keeping to tenmesh_app;

-- What the bench may read: where a lab number stands, nothing of whose it is.
create view bench.shelf as
    select o.lab_number, o.register, s.box, b.place, b.regulated, s.lent_to
    from shelf.standing s join intake.soil o on o.id = s.soil join shelf.box b on b.box = s.box;
grant select on bench.shelf to tenmesh_bench;
