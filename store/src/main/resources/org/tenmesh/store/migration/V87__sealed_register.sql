-- A key that stands in another register than its day is not the key of that day: it is left out of what is digested, so that the digest differs.
create or replace function intake.sealed_digest(the_day int) returns text
language sql security definer set search_path = pg_catalog, pg_temp as $$
    insert into sealed.salt (day, salt) values (the_day, gen_random_uuid()::text || gen_random_uuid()::text)
    on conflict do nothing;
    select encode(sha256(convert_to(
               coalesce((select s.salt from sealed.salt s where s.day = the_day), '') || e'\n'
               || coalesce((select string_agg(c.lab_number || e'\t' || c.material, e'\n'
                                              order by c.lab_number collate "C")
                            from sealed.control c
                            join intake.day d on d.id = c.day and d.register = c.register
                            where c.day = the_day), ''),
               'UTF8')), 'hex');
$$;
revoke all on function intake.sealed_digest from public;
grant execute on function intake.sealed_digest to tenmesh_app;
