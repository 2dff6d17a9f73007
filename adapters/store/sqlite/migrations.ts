import { PACKING_STEP } from './packing-step.js'
import { SEALS_STEP } from './seals-step.js'

/**
 * The schema, step by step. A step that was released is never changed: a new one follows it.
 * `user_version` in the file says how many were applied.
 */
export const MIGRATIONS: readonly string[] = [
  `
  create table events (
    position integer primary key,
    ref text not null,
    version integer not null,
    body text not null,
    previous text not null,
    hash text not null,
    unique (ref, version)
  ) strict;
  create trigger events_are_never_changed before update on events
    begin select raise(abort, 'an event of the trail is never changed'); end;
  create trigger events_are_never_removed before delete on events
    begin select raise(abort, 'an event of the trail is never removed'); end;

  create table texts (
    commitment text primary key,
    salt text,
    text text,
    check ((salt is null) = (text is null))
  ) strict, without rowid;
  create trigger texts_are_only_erased before update on texts
    when new.text is not null or new.commitment is not old.commitment
    begin select raise(abort, 'a text of the trail is never changed, only erased'); end;
  create trigger texts_are_never_removed before delete on texts
    begin select raise(abort, 'a text of the trail is never removed, only erased'); end;

  create table plans (hash text primary key, body blob not null) strict;
  create trigger plans_are_never_changed before update on plans
    begin select raise(abort, 'a plan of the trail is never changed'); end;
  create trigger plans_are_never_removed before delete on plans
    begin select raise(abort, 'a plan of the trail is never removed'); end;

  create table plan_pieces (number integer primary key, text text not null unique) strict;
  create trigger plan_pieces_are_never_changed before update on plan_pieces
    begin select raise(abort, 'a piece of plans is never changed'); end;
  create trigger plan_pieces_are_never_removed before delete on plan_pieces
    begin select raise(abort, 'a piece of plans is never removed'); end;

  create table consults (
    number integer primary key,
    ref text not null unique,
    platform text not null,
    workspace text not null,
    asked_at text not null,
    opinions integer not null
  ) strict;
  create index consults_by_time on consults (asked_at, number);
  create virtual table search using fts5(asked, talk, content='', contentless_delete=1, tokenize='unicode61 remove_diacritics 0');

  create table drafts (
    number integer primary key,
    id text not null unique,
    state text not null check (state in ('open', 'corrected', 'posted', 'cancelled')),
    person text not null,
    place text not null,
    at text not null,
    text text,
    plan blob,
    blocked_by text not null,
    ref text
  ) strict;
  create index drafts_of_person on drafts (person, number) where state in ('open', 'corrected');

  create table people (id text primary key, name text not null, grade text, field text) strict;

  create table inbox (
    seq integer primary key autoincrement,
    key text not null unique,
    at text not null,
    payload text,
    state text not null check (state in ('waiting', 'done', 'failed')),
    attempts integer not null,
    due text,
    error_ref text
  ) strict;
  create index inbox_waiting on inbox (state, seq) where state <> 'done';

  create table outbox (
    seq integer primary key autoincrement,
    kind text not null check (kind in ('answer', 'part')),
    ref text,
    part integer,
    platform text not null,
    channel text not null,
    payload text,
    mark text not null,
    state text not null check (state in ('queued', 'sending', 'sent', 'unknown', 'refused')),
    due text,
    message text,
    desired integer not null,
    posted integer not null,
    shows text,
    attempts integer not null,
    looks integer not null,
    at text not null,
    started_at text,
    because text,
    unique (ref, part)
  ) strict;
  create index outbox_due on outbox (platform, kind, due) where due is not null;
  create index outbox_unsettled on outbox (state) where state <> 'sent';
  create index outbox_by_message on outbox (message) where message is not null;
  `,
  `
  create table conversations (
    tenant text not null,
    id text not null,
    kind text not null check (kind in ('channel', 'group', 'personal')),
    service_url text not null,
    primary key (tenant, id)
  ) strict, without rowid;
  `,
  `
  create table outbox_anew (
    seq integer primary key autoincrement,
    kind text not null check (kind in ('answer', 'part', 'note')),
    ref text,
    part integer,
    platform text not null,
    channel text not null,
    payload text,
    mark text not null,
    state text not null check (state in ('queued', 'sending', 'sent', 'unknown', 'refused')),
    due text,
    message text,
    desired integer not null,
    posted integer not null,
    shows text,
    attempts integer not null,
    looks integer not null,
    at text not null,
    started_at text,
    because text,
    unique (ref, part)
  ) strict;
  insert into outbox_anew select * from outbox;
  update sqlite_sequence set seq = (select seq from sqlite_sequence where name = 'outbox') where name = 'outbox_anew';
  drop table outbox;
  alter table outbox_anew rename to outbox;
  create index outbox_due on outbox (platform, kind, due) where due is not null;
  create index outbox_unsettled on outbox (state) where state <> 'sent';
  create index outbox_by_message on outbox (message) where message is not null;

  alter table consults add column status text not null default 'asked';
  create index consults_open on consults (platform, workspace, asked_at) where status in ('asked', 'decided', 'operated');

  alter table drafts add column asking text;

  create table waking (ref text primary key, look_at text not null) strict, without rowid;
  create index waking_by_time on waking (look_at);
  insert into waking select ref, asked_at from consults;

  create table person_settings (
    id text primary key,
    zone text,
    quiet_from text,
    quiet_to text,
    reminders integer not null check (reminders in (0, 1)),
    check ((quiet_from is null) = (quiet_to is null))
  ) strict, without rowid;
  `,
  `
  alter table inbox add column channel text;
  alter table inbox add column held_by text;
  alter table inbox add column held_until text;
  alter table outbox add column held_by text;
  alter table outbox add column held_until text;

  drop trigger plans_are_never_changed;
  create trigger plans_are_only_erased before update on plans
    when (new.body <> x'' and old.body <> x'') or new.hash is not old.hash
    begin select raise(abort, 'a plan of the trail is never changed, only erased'); end;

  create table record_acts (
    number integer primary key,
    at text not null,
    by text not null,
    act text not null check (act in ('text-erased', 'plan-erased', 'queue-cleared', 'hold-set', 'hold-lifted')),
    ref text not null,
    subject text not null,
    because text not null,
    previous text not null,
    hash text not null
  ) strict;
  create index record_acts_of_consult on record_acts (ref, number);
  create trigger record_acts_are_never_changed before update on record_acts
    begin select raise(abort, 'an act on the records is never changed'); end;
  create trigger record_acts_are_never_removed before delete on record_acts
    begin select raise(abort, 'an act on the records is never removed'); end;

  create table accesses (
    number integer primary key,
    at text not null,
    by_id text not null,
    by_name text not null,
    what text not null check (what in ('viewed', 'searched', 'exported')),
    ref text,
    words text,
    previous text not null,
    hash text not null
  ) strict;
  create index accesses_to_consult on accesses (ref, number) where ref is not null;
  create trigger accesses_are_never_changed before update on accesses
    begin select raise(abort, 'an access is never changed'); end;
  create trigger accesses_are_never_removed before delete on accesses
    begin select raise(abort, 'an access is never removed'); end;
  `,
  `
  create table facts (consult integer primary key, row text not null) strict;
  `,
  `
  create table audiences (
    platform text not null,
    workspace text not null,
    channel text not null,
    members_of text,
    at text not null,
    primary key (platform, workspace, channel)
  ) strict, without rowid;
  `,
  SEALS_STEP,
  PACKING_STEP,
  // Whoever is known by an id is kept by it alone and no more by the name as well: the facts are made anew, while the server works.
  'delete from facts;',
]
