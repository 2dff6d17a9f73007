/**
 * What there is much of is kept in bytes: sealed events and texts packed, hashes as they are and not in hexadecimal. Rows from
 * before are marked as plain and stay as they were (see text-packing); facts are made anew when the trail is opened.
 */
export const PACKING_STEP = `
  create table events_anew (
    position integer primary key,
    ref text not null,
    version integer not null,
    body blob not null,
    previous blob not null,
    hash blob not null,
    unique (ref, version)
  ) strict;
  insert into events_anew select position, ref, version, cast(char(1) || body as blob), unhex(previous), unhex(hash) from events;
  drop table events;
  alter table events_anew rename to events;
  create trigger events_are_never_changed before update on events
    begin select raise(abort, 'an event of the trail is never changed'); end;
  create trigger events_are_never_removed before delete on events
    begin select raise(abort, 'an event of the trail is never removed'); end;

  create table texts_anew (
    commitment blob primary key,
    salt text,
    text blob,
    check ((salt is null) = (text is null))
  ) strict, without rowid;
  insert into texts_anew select unhex(commitment), salt, cast(char(1) || text as blob) from texts;
  drop table texts;
  alter table texts_anew rename to texts;
  create trigger texts_are_only_erased before update on texts
    when new.text is not null or new.commitment is not old.commitment
    begin select raise(abort, 'a text of the trail is never changed, only erased'); end;
  create trigger texts_are_never_removed before delete on texts
    begin select raise(abort, 'a text of the trail is never removed, only erased'); end;

  create table plans_anew (hash blob primary key, body blob not null) strict;
  insert into plans_anew select unhex(hash), body from plans;
  drop table plans;
  alter table plans_anew rename to plans;
  create trigger plans_are_only_erased before update on plans
    when (new.body <> x'' and old.body <> x'') or new.hash is not old.hash
    begin select raise(abort, 'a plan of the trail is never changed, only erased'); end;
  create trigger plans_are_never_removed before delete on plans
    begin select raise(abort, 'a plan of the trail is never removed'); end;

  create table plan_orders (number integer primary key, follows integer, pieces blob not null) strict;
  create trigger plan_orders_are_never_changed before update on plan_orders
    begin select raise(abort, 'an order of pieces is never changed'); end;
  create trigger plan_orders_are_never_removed before delete on plan_orders
    begin select raise(abort, 'an order of pieces is never removed'); end;

  drop table facts;
  create table facts (consult integer primary key, row blob not null) strict;
  `
