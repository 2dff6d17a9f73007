/** Seals of the rows that change, and the act of sealing them anew. */
export const SEALS_STEP = `
  create table seals (
    one integer primary key check (one = 1),
    kind text not null check (kind in ('none', 'salt', 'key')),
    salt text not null,
    key_check text not null,
    state text not null,
    sum text not null,
    seal text not null
  ) strict;
  insert into seals values (1, 'none', lower(hex(randomblob(16))), '', '', '0', '');

  alter table drafts add column seal blob;
  alter table people add column seal blob;
  alter table inbox add column seal blob;
  alter table outbox add column seal blob;
  alter table waking add column seal blob;
  alter table person_settings add column seal blob;
  alter table conversations add column seal blob;
  alter table audiences add column seal blob;

  create table record_acts_anew (
    number integer primary key,
    at text not null,
    by text not null,
    act text not null
      check (act in ('text-erased', 'plan-erased', 'queue-cleared', 'hold-set', 'hold-lifted', 'seals-renewed')),
    ref text not null,
    subject text not null,
    because text not null,
    previous text not null,
    hash text not null
  ) strict;
  insert into record_acts_anew select * from record_acts;
  drop table record_acts;
  alter table record_acts_anew rename to record_acts;
  create index record_acts_of_consult on record_acts (ref, number);
  create trigger record_acts_are_never_changed before update on record_acts
    begin select raise(abort, 'an act on the records is never changed'); end;
  create trigger record_acts_are_never_removed before delete on record_acts
    begin select raise(abort, 'an act on the records is never removed'); end;
  `
