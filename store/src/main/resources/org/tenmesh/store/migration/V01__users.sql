-- Three database users beside the owner. Passwords are set when the store is opened.
--   tenmesh_app      the program: everything but the key of the hidden controls
--   tenmesh_quality  the judge and the people of quality: may also read the sealed schema
--   tenmesh_bench    the bench: trays, lab numbers and runs; no client, no verdict, no key
do $$
declare
    who text;
begin
    foreach who in array array['tenmesh_app', 'tenmesh_quality', 'tenmesh_bench'] loop
        if not exists (select from pg_roles where rolname = who) then
            execute format('create role %I login', who);
        end if;
    end loop;
end
$$;
