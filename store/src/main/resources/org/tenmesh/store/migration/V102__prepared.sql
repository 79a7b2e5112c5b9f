-- The last note about a rack or a mill that was kept before the account of regulated soil followed each of them: what was noted until then has
-- no line where nobody entered one.
do $$
begin
    execute format('create function custody.followed_after() returns bigint language sql immutable set search_path = pg_catalog, pg_temp'
        || ' as ''select %s::bigint''', (select coalesce(max(seq), 0) from bench.act));
end
$$;
