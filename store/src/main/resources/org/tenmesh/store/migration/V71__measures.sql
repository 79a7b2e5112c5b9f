-- What was found beside what is allowed of it, for each stretch of a cause. What was kept before has none, until its day is judged again.
create table judgement.measure (
    day int not null,
    cause int not null,
    stretch int not null,
    ord int not null,
    kind text not null,
    analyte text not null,
    identity text not null,
    -- 0 where it is at none, or must not be told.
    position int not null,
    found double precision not null,
    low double precision,
    high double precision,
    unit text not null,
    primary key (day, cause, stretch, ord),
    foreign key (day, cause, stretch) references judgement.stretch (day, cause, ord) on delete cascade
);
grant select on judgement.measure to tenmesh_app, tenmesh_quality;
grant insert, update, delete on judgement.measure to tenmesh_quality;
