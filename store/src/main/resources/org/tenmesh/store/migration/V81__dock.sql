-- What was done and said at the dock about a submission that came: written once, in order. Nothing here knows a lab number.
create table intake.dock_act (
    seq bigint generated always as identity primary key,
    id text not null constraint dock_act_once unique check (id ~ '^[0-9a-zA-Z-]{8,64}$'),
    worksheet int not null references intake.worksheet,
    what text not null check (what in
        ('box', 'counted', 'weighed', 'there', 'extra', 'found', 'origin', 'asked', 'answered', 'decided', 'booked', 'taken-back')),
    number int not null check (number >= 0),
    about text not null check (char_length(about) <= 500),
    says text not null check (char_length(says) <= 64),
    reason text not null check (char_length(reason) <= 500),
    actor text not null,
    at timestamptz not null
);
create index on intake.dock_act (worksheet, seq);

create trigger dock_act_stays before update or delete or truncate on intake.dock_act
    for each statement execute function intake.refuse_change();

grant select, insert on intake.dock_act to tenmesh_app;
