/**
 * What there is much of is kept in bytes: sealed events and texts packed, hashes as they are and not in hexadecimal. Rows from
 * before are marked as plain and stay as they were (see text-packing); facts are made anew when the trail is opened.
 */
export const PACKING_STEP = `
  -- No change of a row, so that no guard stands in the way; the tables are written anew.
  alter table events
    alter column body type bytea using '\\x01'::bytea || convert_to(body, 'UTF8'),
    alter column previous type bytea using decode(previous, 'hex'),
    alter column hash type bytea using decode(hash, 'hex');
  -- Packed already: trying to compress it once more only takes time.
  alter table events alter column body set storage external;

  drop trigger texts_are_only_erased on texts;
  alter table texts drop constraint texts_pkey;
  alter table texts
    alter column commitment type bytea using decode(commitment, 'hex'),
    alter column text type bytea using '\\x03'::bytea || convert_to(text, 'UTF8');
  alter table texts alter column commitment set not null, alter column text set storage external;
  -- Looked for by their whole value alone; an index of their hashes is a third as large.
  alter table texts add constraint texts_are_one exclude using hash (commitment with =);
  create trigger texts_are_only_erased before update on texts
    for each row when (new.text is not null or new.commitment is distinct from old.commitment)
    execute function soundings_refuse('a text of the trail is never changed, only erased');

  drop trigger plans_are_only_erased on plans;
  alter table plans alter column hash type bytea using decode(hash, 'hex');
  -- Beside its hash, up to a page: a table of its own for what is longer than 2 KB costs more than it saves.
  alter table plans set (toast_tuple_target = 8160);
  create trigger plans_are_only_erased before update on plans
    for each row when ((new.body <> '' and old.body <> '') or new.hash is distinct from old.hash)
    execute function soundings_refuse('a plan of the trail is never changed, only erased');

  create table plan_orders (
    number integer generated always as identity primary key,
    follows integer,
    pieces bytea not null
  );
  create trigger plan_orders_are_never_changed before update or delete on plan_orders
    for each row execute function soundings_refuse('an order of pieces is never changed');
  create trigger plan_orders_are_never_emptied before truncate on plan_orders
    for each statement execute function soundings_refuse('an order of pieces is never removed');

  drop table facts;
  create table facts (consult integer primary key, "row" bytea not null);
  `
