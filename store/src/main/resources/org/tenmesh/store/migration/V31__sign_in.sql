-- Who issued a one-time link, and which sessions came of one: such a session may set a password without the old one.
alter table people.one_time_token add column issuer text not null default '';
alter table people.session add column link_issuer text not null default '';
-- When a session was last used, so that one that is idle ends.
alter table people.session add column seen_at timestamptz;
update people.session set seen_at = started_at;
alter table people.session alter column seen_at set not null;
grant update (seen_at) on people.session to tenmesh_app;
-- Where a wrong password came from: an address, or a session that signs. Failures elsewhere lock nobody out.
alter table people.failed_sign_in add column source text not null default '';
create index on people.failed_sign_in (source, at);
