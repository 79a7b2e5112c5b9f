-- What the laboratory asks for where somebody lets results stand although a check failed, as each import said it; earlier imports said
-- nothing of it, so the defaults hold. A released result says which check had failed.
alter table intake.source
    add column second_signature_for_accepted boolean not null default false,
    add column accepted_on_report boolean not null default true;
alter table release.result add column despite text not null default '';
