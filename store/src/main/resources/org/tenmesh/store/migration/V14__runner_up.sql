-- The next best explanation of a cause, and how much worse it explains: log10 of the odds of the chosen one against it.
alter table judgement.cause add column runner_up text;
alter table judgement.cause add column runner_up_log10_odds float8;
alter table judgement.cause add constraint runner_up_whole check ((runner_up is null) = (runner_up_log10_odds is null));
