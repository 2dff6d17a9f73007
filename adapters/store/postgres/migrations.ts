import { FINDING_STEP } from './finding-step.js'
import { PACKING_STEP } from './packing-step.js'
import { SEALS_STEP } from './seals-step.js'

/**
 * The schema, step by step, as the one for SQLite. A step that was released is never changed: a new one follows it.
 * Texts sort by their bytes (collation "C"), as they do in SQLite.
 */
export const MIGRATIONS: readonly string[] = [
  `
  create function soundings_refuse() returns trigger language plpgsql as $$
    begin raise exception '%', tg_argv[0]; end
  $$;

  create table events (
    position bigint primary key,
    ref text collate "C" not null,
    version integer not null,
    body text not null,
    previous text not null,
    hash text not null,
    unique (ref, version)
  );
  create trigger events_are_never_changed before update on events
    for each row execute function soundings_refuse('an event of the trail is never changed');
  create trigger events_are_never_removed before delete on events
    for each row execute function soundings_refuse('an event of the trail is never removed');
  create trigger events_are_never_emptied before truncate on events
    for each statement execute function soundings_refuse('an event of the trail is never removed');

  create table texts (
    commitment text collate "C" primary key,
    salt text,
    text text,
    check ((salt is null) = (text is null))
  );
  create trigger texts_are_only_erased before update on texts
    for each row when (new.text is not null or new.commitment is distinct from old.commitment)
    execute function soundings_refuse('a text of the trail is never changed, only erased');
  create trigger texts_are_never_removed before delete on texts
    for each row execute function soundings_refuse('a text of the trail is never removed, only erased');
  create trigger texts_are_never_emptied before truncate on texts
    for each statement execute function soundings_refuse('a text of the trail is never removed, only erased');

  create table plans (hash text collate "C" primary key, body bytea not null);
  -- Packed already: trying to compress it once more only takes time.
  alter table plans alter column body set storage external;
  create trigger plans_are_only_erased before update on plans
    for each row when ((new.body <> '' and old.body <> '') or new.hash is distinct from old.hash)
    execute function soundings_refuse('a plan of the trail is never changed, only erased');
  create trigger plans_are_never_removed before delete on plans
    for each row execute function soundings_refuse('a plan of the trail is never removed');
  create trigger plans_are_never_emptied before truncate on plans
    for each statement execute function soundings_refuse('a plan of the trail is never removed');

  -- A piece may be longer than an entry of a B-tree.
  create table plan_pieces (
    number integer generated always as identity primary key,
    text text not null,
    exclude using hash (text with =)
  );
  create trigger plan_pieces_are_never_changed before update on plan_pieces
    for each row execute function soundings_refuse('a piece of plans is never changed');
  create trigger plan_pieces_are_never_removed before delete on plan_pieces
    for each row execute function soundings_refuse('a piece of plans is never removed');
  create trigger plan_pieces_are_never_emptied before truncate on plan_pieces
    for each statement execute function soundings_refuse('a piece of plans is never removed');

  create table consults (
    number integer generated always as identity primary key,
    ref text collate "C" not null unique,
    platform text collate "C" not null,
    workspace text collate "C" not null,
    asked_at text collate "C" not null,
    opinions integer not null,
    status text not null
  );
  create index consults_by_time on consults (asked_at, number);
  create index consults_open on consults (platform, workspace, asked_at) where status in ('asked', 'decided', 'operated');

  -- The workspace stands here too, so that a search of common words need not look up each consult that has them.
  create table search (
    consult integer primary key,
    platform text collate "C" not null,
    workspace text collate "C" not null,
    words tsvector not null
  );
  -- Without a list of pending entries, which every search would have to go through.
  create index search_words on search using gin (words) with (fastupdate = off);

  create table drafts (
    number integer generated always as identity primary key,
    id text collate "C" not null unique,
    state text not null check (state in ('open', 'corrected', 'posted', 'cancelled')),
    person text collate "C" not null,
    place text not null,
    at text collate "C" not null,
    text text,
    plan bytea,
    blocked_by text not null,
    ref text,
    asking text
  );
  create index drafts_of_person on drafts (person, number) where state in ('open', 'corrected');

  create table people (id text collate "C" primary key, name text not null, grade text, field text);

  create table inbox (
    seq bigint generated always as identity primary key,
    key text collate "C" not null unique,
    at text collate "C" not null,
    channel text collate "C",
    payload text,
    state text not null check (state in ('waiting', 'done', 'failed')),
    attempts integer not null,
    due text collate "C",
    error_ref text,
    held_by text,
    held_until text collate "C"
  );
  create index inbox_waiting on inbox (state, seq) where state <> 'done';
  create index inbox_in_hand on inbox (channel) where held_by is not null;

  create table outbox (
    seq bigint generated always as identity primary key,
    kind text not null check (kind in ('answer', 'part', 'note')),
    ref text collate "C",
    part integer,
    platform text collate "C" not null,
    channel text collate "C" not null,
    payload text,
    mark text not null,
    state text not null check (state in ('queued', 'sending', 'sent', 'unknown', 'refused')),
    due text collate "C",
    message text collate "C",
    desired integer not null,
    posted integer not null,
    shows text,
    attempts integer not null,
    looks integer not null,
    at text collate "C" not null,
    started_at text collate "C",
    because text,
    held_by text,
    held_until text collate "C",
    unique (ref, part)
  );
  create index outbox_due on outbox (platform, kind, due) where due is not null;
  create index outbox_unsettled on outbox (state) where state <> 'sent';
  create index outbox_by_message on outbox (message) where message is not null;
  create index outbox_in_hand on outbox (channel) where held_by is not null;

  create table waking (ref text collate "C" primary key, look_at text collate "C" not null);
  create index waking_by_time on waking (look_at);

  create table person_settings (
    id text collate "C" primary key,
    zone text,
    quiet_from text,
    quiet_to text,
    reminders integer not null check (reminders in (0, 1)),
    check ((quiet_from is null) = (quiet_to is null))
  );

  create table conversations (
    tenant text collate "C" not null,
    id text collate "C" not null,
    kind text not null check (kind in ('channel', 'group', 'personal')),
    service_url text not null,
    primary key (tenant, id)
  );

  create table record_acts (
    number integer primary key,
    at text collate "C" not null,
    by text not null,
    act text not null check (act in ('text-erased', 'plan-erased', 'queue-cleared', 'hold-set', 'hold-lifted')),
    ref text collate "C" not null,
    subject text not null,
    because text not null,
    previous text not null,
    hash text not null
  );
  create index record_acts_of_consult on record_acts (ref, number);
  create trigger record_acts_are_never_changed before update or delete on record_acts
    for each row execute function soundings_refuse('an act on the records is never changed');
  create trigger record_acts_are_never_emptied before truncate on record_acts
    for each statement execute function soundings_refuse('an act on the records is never removed');

  create table accesses (
    number integer primary key,
    at text collate "C" not null,
    by_id text not null,
    by_name text not null,
    what text not null check (what in ('viewed', 'searched', 'exported')),
    ref text collate "C",
    words text,
    previous text not null,
    hash text not null
  );
  create index accesses_to_consult on accesses (ref, number) where ref is not null;
  create trigger accesses_are_never_changed before update or delete on accesses
    for each row execute function soundings_refuse('an access is never changed');
  create trigger accesses_are_never_emptied before truncate on accesses
    for each statement execute function soundings_refuse('an access is never removed');
  `,
  `
  create table facts (consult bigint primary key, "row" text not null);
  `,
  `
  create table audiences (
    platform text not null,
    workspace text not null,
    channel text not null,
    members_of text,
    at text collate "C" not null,
    primary key (platform, workspace, channel)
  );
  `,
  SEALS_STEP,
  PACKING_STEP,
  // Whoever is known by an id is kept by it alone and no more by the name as well: the facts are made anew, while the server works.
  'delete from facts;',
  FINDING_STEP,
]
