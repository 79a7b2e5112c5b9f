-- Soil that met regulated soil after it was booked in, as in a mill that was not cleaned.
alter table intake.dock_act drop constraint dock_act_what_check;
alter table intake.dock_act add constraint dock_act_what_check check (what in
    ('box', 'counted', 'weighed', 'there', 'extra', 'found', 'origin', 'asked', 'answered', 'decided', 'booked', 'made-regulated', 'taken-back'));
