-- Every judged result names the version of the method that gave it. What was kept before says none and is judged again when asked for.
alter table judgement.result add column method_version text;
