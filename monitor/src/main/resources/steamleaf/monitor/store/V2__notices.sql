-- What is being told and how far, one row per site; seconds of the notices' own time, which goes on over a restart.
create table notice_state (
    site text primary key,
    now_s real not null,
    wall_ms integer not null,
    watch text,            -- who has the watch
    watch_since_ms integer,
    cases text not null
);

-- Notices on their way and what became of them.
create table notice (
    id integer primary key,
    site text not null,
    made_s real not null,
    at_ms integer,         -- line time, a label
    kind text not null,
    person text not null,
    channel text not null,
    target text not null,
    alarms text not null,
    urgent integer not null,
    title text not null,
    body text not null,
    state text not null,   -- waiting, delivered, given-up, withdrawn
    attempts integer not null default 0,
    next_s real not null,
    why text               -- of the last failure
);
create index notice_waiting on notice (site, channel, next_s) where state = 'waiting';
create index notice_person on notice (site, person, channel, made_s);

create table notice_attempt (
    notice integer not null references notice (id),
    n integer not null,
    at_s real not null,
    outcome text not null,
    why text,
    primary key (notice, n)
) without rowid;

-- Phones that were registered for pushes.
create table phone (
    site text not null,
    endpoint text not null,
    person text not null,
    p256dh text not null,
    auth text not null,
    since_ms integer,
    primary key (site, endpoint)
) without rowid;
