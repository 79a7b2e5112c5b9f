-- What another program registered, by the key that it chose: sent again with the same key, the answer is the same.
create table programs.registration (
    program text not null,
    key text not null check (key ~ '^[!-~]{1,120}$'),
    body_sha256 text not null check (body_sha256 ~ '^[0-9a-f]{64}$'),
    submission text not null unique references intake.worksheet (submission),
    token int not null references programs.token,
    at timestamptz not null,
    primary key (program, key)
);

create trigger registration_stays before update or delete or truncate on programs.registration
    for each statement execute function intake.refuse_change();

grant select, insert on programs.registration to tenmesh_app;
