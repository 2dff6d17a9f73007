/** Seals of the rows that change, and the act of sealing them anew; as the step for SQLite. */
export const SEALS_STEP = `
  create table seals (
    one integer primary key check (one = 1),
    kind text not null check (kind in ('none', 'salt', 'key')),
    salt text not null,
    key_check text not null,
    state text not null,
    sum text not null,
    seal text not null
  );
  insert into seals values (1, 'none', replace(gen_random_uuid()::text, '-', ''), '', '', '0', '');

  alter table drafts add column seal bytea;
  alter table people add column seal bytea;
  alter table inbox add column seal bytea;
  alter table outbox add column seal bytea;
  alter table waking add column seal bytea;
  alter table person_settings add column seal bytea;
  alter table conversations add column seal bytea;
  alter table audiences add column seal bytea;

  alter table record_acts drop constraint record_acts_act_check;
  alter table record_acts add constraint record_acts_act_check
    check (act in ('text-erased', 'plan-erased', 'queue-cleared', 'hold-set', 'hold-lifted', 'seals-renewed'));
  `
