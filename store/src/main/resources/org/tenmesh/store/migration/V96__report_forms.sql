-- Paper and layout of clients' reports as each import said it: by client, the empty name for everybody else. Earlier imports said nothing of it.
alter table intake.source add column report_forms jsonb not null default '{}';
