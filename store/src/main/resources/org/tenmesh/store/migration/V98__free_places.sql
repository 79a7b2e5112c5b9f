-- Places of a list that its source was asked about and does not name: only a place that some list knows may be found not to be regulated.
alter table custody.area add column free boolean not null default false;
alter table custody.area alter column free drop default;
