-- A soil that came in no submission is kept as it was laid out itself, and has the dates of a soil that is kept so too: regulated soil is laid out
-- after ordinary soil, and the nearest number before its first well may be an ordinary one.
create or replace function shelf.beside(the_soil int) returns int
language sql stable set search_path = pg_catalog, pg_temp as $$
    select coalesce(
        (select soil from intake.came_in where soil = the_soil),
        (select c.soil from intake.came_in c join intake.soil o on o.id = c.soil join intake.soil its on its.id = the_soil
         where c.soil between the_soil - 1000 and the_soil and o.day = its.day
           and (its.regulated is null or o.regulated is not distinct from its.regulated)
         order by c.soil desc limit 1),
        (select c.soil from intake.came_in c join intake.soil o on o.id = c.soil join intake.soil its on its.id = the_soil
         where c.soil between the_soil and the_soil + 1000 and o.day = its.day
           and (its.regulated is null or o.regulated is not distinct from its.regulated)
         order by c.soil limit 1),
        the_soil)
$$;

-- When a file of submissions comes after its soils, what was laid out beside them changes with them.
create or replace function shelf.came_in() returns trigger
language plpgsql security definer set search_path = pg_catalog, pg_temp as $$
begin
    update shelf.standing s
    set submission = (select c.submission from intake.came_in c where c.soil = shelf.beside(s.soil)), keeping = shelf.keeping(s.soil)
    from intake.soil o
    where o.id = s.soil
      and o.day in (select i.day from fresh f join intake.soil i on i.id = f.soil)
      and (s.soil in (select soil from fresh) or not exists (select from intake.came_in c where c.soil = s.soil));
    return null;
end
$$;

update shelf.standing s
set submission = (select c.submission from intake.came_in c where c.soil = shelf.beside(s.soil)), keeping = shelf.keeping(s.soil)
where not exists (select from intake.came_in c where c.soil = s.soil);
