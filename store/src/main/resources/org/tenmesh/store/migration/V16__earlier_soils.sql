-- A day is judged with what earlier days found in its clients' soils: a few of each day, by their lab numbers.
create index on judgement.result (day, lab_number);
