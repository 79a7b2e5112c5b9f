-- Charts ask for the control values of many days, each with its run; the run's own key finds it.
create index on reading.run (started_at);
