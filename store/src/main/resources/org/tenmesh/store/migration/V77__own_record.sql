-- How often things went wrong on the days before a day, as far as new readings had confirmed it when the day was first judged. A day goes on with
-- what was fixed for it: an answer that comes later moves the rates of later days, never the odds that people decided on. A day that was
-- judged before this was kept has none, and goes on with the policy's rates.
create table causes.own_record (
    day int primary key references intake.day,
    -- {"days":2,"kinds":{"tray-turned":"1/0/2"},"last":"2026-11-25","runs":14,"soils":7200}: confirmed / refuted / without an answer
    says text not null check (says <> ''),
    at timestamptz not null
);

create trigger own_record_stays before update or delete or truncate on causes.own_record
    for each statement execute function intake.refuse_change();

grant select, insert on causes.own_record to tenmesh_app;
grant select on causes.own_record to tenmesh_quality;
