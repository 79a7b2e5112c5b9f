-- A decision may be taken back until something was done on it; the row of the decision stays.
alter table causes.action drop constraint action_action_check;
alter table causes.action add constraint action_action_check
    check (action in ('order-redo', 'accept', 'shut-gate', 'open-gate', 'withdraw'));
