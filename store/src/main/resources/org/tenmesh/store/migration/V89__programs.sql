-- Other programs at the interface. Of a token only the digest is kept; it is withdrawn by a row of its own, never changed.
create schema programs;

create table programs.token (
    id int generated always as identity primary key,
    token_sha256 text not null unique check (token_sha256 ~ '^[0-9a-f]{64}$'),
    program text not null check (char_length(program) between 1 and 80),
    register text not null references intake.register,
    scopes text not null check (scopes ~ '^(capture|feed|register|results)( (capture|feed|register|results)){0,3}$'),
    own_only boolean not null,
    expires_at timestamptz not null,
    made_by text not null check (made_by <> ''),
    made_at timestamptz not null,
    check (expires_at > made_at)
);

create table programs.token_withdrawn (
    token int primary key references programs.token,
    reason text not null check (reason <> ''),
    actor text not null check (actor <> ''),
    at timestamptz not null
);

-- When a token was used last. It changes all the time and is evidence of nothing; the journal does not vouch for it.
create table programs.token_used (
    token int primary key references programs.token,
    at timestamptz not null
);

create trigger token_stays before update or delete or truncate on programs.token
    for each statement execute function intake.refuse_change();
create trigger token_withdrawn_stays before update or delete or truncate on programs.token_withdrawn
    for each statement execute function intake.refuse_change();

grant usage on schema programs to tenmesh_app;
grant select, insert on programs.token, programs.token_withdrawn, programs.token_used to tenmesh_app;
grant update (at) on programs.token_used to tenmesh_app;
