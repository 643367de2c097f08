-- One row for each journal of each site: what is had of it without a break, and what it never sent.
create table journal (
    j integer primary key,
    site text not null,
    name text not null,
    have_n integer not null default 0,
    unique (site, name)
);

-- Numbers that the journal no longer held when they were asked for. Kept, so that nobody believes in completeness.
create table missing (
    j integer not null references journal (j),
    n_from integer not null,
    n_to integer not null,
    primary key (j, n_from)
) without rowid;

-- Short numbers for names of units and batches in the rows of seconds.
create table name (
    id integer primary key,
    text text not null unique
);

-- Readings: one row per unit and second. Scaled integers: centidegrees, 1/10000 humidity, grams, 1/100000 moisture, 1/1000 duty.
create table oven_second (
    j integer not null,
    unit integer not null,
    n integer not null,
    at_s integer not null,
    batch integer,
    air integer, exhaust integer, exhaust_rh integer, scale integer, set_air integer,
    heater integer, damper integer, fan integer,
    moisture integer, moisture_sd integer, wettest integer, leaf integer,
    door_closed integer, airflow integer,
    rest text,
    primary key (j, unit, n)
) without rowid;

create table steamer_second (
    j integer not null,
    unit integer not null,
    n integer not null,
    at_s integer not null,
    batch integer,
    chest_a integer, chest_b integer, boiling integer, belt integer, valve integer, hood_closed integer,
    rest text,
    primary key (j, unit, n)
) without rowid;

create table line_second (
    j integer not null,
    unit integer not null,
    n integer not null,
    at_s integer not null,
    batch integer,
    room integer, room_rh integer, pressure integer, contactor integer,
    rest text,
    primary key (j, unit, n)
) without rowid;

-- From where to where in the journal a batch was in a unit: finds its seconds without an index on each row.
create table stay (
    id integer primary key,
    j integer not null,
    batch text not null,
    unit text not null,
    n_from integer not null,
    n_to integer not null
);
create index stay_batch on stay (batch, j, n_from);
create index stay_last on stay (j, unit, n_to);

-- Everything else, body as it came; kinds of a newer controller too.
create table event (
    j integer not null,
    n integer not null,
    cycle integer not null,
    at_ms integer not null,
    doubtful integer not null,
    kind text not null,
    unit text,
    batch text,
    subject text,
    body text not null,
    primary key (j, n)
) without rowid;
create index event_batch on event (batch, kind) where batch is not null;
create index event_kind on event (kind, at_ms);
create index event_subject on event (subject, kind) where subject is not null;

-- Where things stand after the last event that told of them.
create table batch (
    site text not null,
    id text not null,
    oven text not null,
    state text not null,
    recipe text,
    recipe_version integer,
    lots text,
    planned_ms integer,
    started_ms integer,
    dried integer not null default 0, -- a drying has begun, so the next cooling is the landing
    landed_ms integer,
    ended_ms integer,
    moisture real,
    moisture_sd real,
    end_mass_kg real,
    last_ms integer not null,
    primary key (site, id)
) without rowid;

create table lot (
    site text not null,
    id text not null,
    label text not null,
    field text,
    cultivar text,
    shading_days integer,
    ripeness text,
    wet_by_rain integer,
    plucked_ms integer,
    mass_kg real,
    remaining_kg real,
    heap_c real,
    taken_in_ms integer,
    packed integer not null,
    batch text,
    primary key (site, id)
) without rowid;

create table sample (
    site text not null,
    id text not null,
    unit text not null,
    batch text not null,
    taken_ms integer not null,
    taken_by text,
    estimate real,
    estimate_sd real,
    value real,
    sd real,
    method text,
    basis text,
    valued_ms integer,
    questioned integer not null default 0,
    primary key (site, id)
) without rowid;
create index sample_batch on sample (site, batch);
