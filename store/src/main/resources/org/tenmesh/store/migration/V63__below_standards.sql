-- A released number may lie below the lowest standard of its calibration, and says so.
alter table release.result drop constraint result_kind_check;
alter table release.result add constraint result_kind_check check (kind in
    ('number', 'number-at-end', 'number-below-standards', 'below', 'above', 'saturated', 'not-enough-soil', 'classed', 'held'));
