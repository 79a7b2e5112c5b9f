-- Which kind of answer a released result is (a number, a limit, a class, a word in place of a number, held). Releases of version 0.1 have
-- none: theirs is read from their text, which stays as it was signed.
alter table release.result add column kind text check (kind in
    ('number', 'number-at-end', 'below', 'above', 'saturated', 'not-enough-soil', 'classed', 'held'));
