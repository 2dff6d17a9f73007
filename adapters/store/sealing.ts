import {
  CompiledQuery,
  createQueryId,
  type DatabaseConnection,
  DeleteQueryNode,
  type Dialect,
  type Driver,
  InsertQueryNode,
  type OperationNode,
  type QueryResult,
  SelectionNode,
  SelectQueryNode,
  TableNode,
  UpdateQueryNode,
} from 'kysely'
import { CHAINED, type ChainedTable, SEALED, type SealedTable, SUMMED, type SummedTable } from '../../src/trail/seals.js'
import { afterDelete, afterInsert, afterUpdate, type Changes, changesUnder, settle } from './seal-changes.js'
import { type Keys, loadKeys, type Row, type Run, type Sealing, type SealingDialect } from './seal-keeping.js'

type Watched = SealedTable | SummedTable | ChainedTable

const isWatched = (name: string): name is Watched => name in SEALED || name in SUMMED || name in CHAINED

/** A write to a watched table. */
interface Write {
  readonly table: Watched
  readonly node: InsertQueryNode | UpdateQueryNode | DeleteQueryNode
}

function writeOf(query: OperationNode): Write | undefined {
  const target = InsertQueryNode.is(query)
    ? query.into
    : UpdateQueryNode.is(query)
      ? query.table
      : DeleteQueryNode.is(query)
        ? query.from.froms[0]
        : undefined
  if (!target || !TableNode.is(target)) return undefined
  const table = target.table.identifier.name
  return isWatched(table) ? { table, node: query as Write['node'] } : undefined
}

const WRITTEN_PAST_THE_SEALS = new RegExp(
  `\\b(?:insert\\s+into|update|delete\\s+from)\\s+"?(?:${Object.keys({ ...SEALED, ...SUMMED, ...CHAINED }).join('|')})\\b`,
  'i',
)

/**
 * Keeps the seals in step with what is written: every statement that changes a watched table passes here, whoever wrote it,
 * and its rows are sealed in the same transaction. A statement outside of a transaction gets one of its own; either way there is
 * one commit.
 */
export function sealing(dialect: Dialect, how: SealingDialect, under: Sealing): Dialect {
  return {
    createAdapter: () => dialect.createAdapter(),
    createIntrospector: (db) => dialect.createIntrospector(db),
    createQueryCompiler: () => dialect.createQueryCompiler(),
    createDriver: () => sealingDriver(dialect, how, under),
  }
}

interface SealedConnection extends DatabaseConnection {
  readonly inner: DatabaseConnection
  /** Present while a transaction is under way. */
  changes: Changes | undefined
}

const runOf =
  (inner: DatabaseConnection): Run =>
  async (sql, parameters = []) =>
    (await inner.executeQuery<Row>(CompiledQuery.raw(sql, [...parameters]))).rows

function sealingDriver(dialect: Dialect, how: SealingDialect, under: Sealing): Driver {
  const driver = dialect.createDriver()
  /** Read once: whoever seals a trail anew stops its servers first, and is noticed at the next change if not. */
  let keys: Keys | undefined
  const wrapped = new WeakMap<DatabaseConnection, SealedConnection>()

  async function begin(connection: SealedConnection, settings: Parameters<Driver['beginTransaction']>[1]): Promise<void> {
    await driver.beginTransaction(connection.inner, settings)
    try {
      keys ??= await loadKeys(runOf(connection.inner), how, under)
    } catch (fault) {
      await driver.rollbackTransaction(connection.inner)
      throw fault
    }
    connection.changes = changesUnder(keys)
  }

  async function commit(connection: SealedConnection): Promise<void> {
    if (connection.changes) await settle(runOf(connection.inner), how, connection.changes)
    await driver.commitTransaction(connection.inner)
    connection.changes = undefined
  }

  async function rollback(connection: SealedConnection): Promise<void> {
    connection.changes = undefined
    // What was made of the seals in this transaction is undone with it.
    keys = undefined
    await driver.rollbackTransaction(connection.inner)
  }

  function rowsBefore(run: Run, { table, where }: UpdateQueryNode): Promise<readonly Row[]> {
    const all = SelectQueryNode.cloneWithSelections(SelectQueryNode.createFrom(table ? [table] : []), [
      SelectionNode.createSelectAll(),
    ])
    const { sql, parameters } = dialect.createQueryCompiler().compileQuery(where ? { ...all, where } : all, createQueryId())
    return run(`${sql} ${how.lockRow}`, parameters)
  }

  async function write<Result>(
    inner: DatabaseConnection,
    changes: Changes,
    { table, node }: Write,
    query: CompiledQuery,
  ): Promise<QueryResult<Result>> {
    const before = UpdateQueryNode.is(node) && table in SEALED ? await rowsBefore(runOf(inner), node) : []
    const own = node.returning !== undefined
    // All columns come back to us; whoever asked for some of them finds them among these.
    const sql = own ? query.sql.replace(/ returning [^)]*$/, ' returning *') : `${query.sql} returning *`
    const { rows } = await inner.executeQuery<Row>({ ...query, sql })
    if (InsertQueryNode.is(node)) afterInsert(changes, table, rows)
    else if (table in SEALED) {
      if (UpdateQueryNode.is(node)) afterUpdate(changes, table as SealedTable, rows, before)
      else afterDelete(changes, table as SealedTable, rows)
    }
    return { numAffectedRows: BigInt(rows.length), rows: own ? (rows as Result[]) : [] }
  }

  const wrap = (inner: DatabaseConnection): SealedConnection => {
    const known = wrapped.get(inner)
    if (known) return known
    const connection: SealedConnection = {
      inner,
      changes: undefined,
      async executeQuery<Result>(query: CompiledQuery): Promise<QueryResult<Result>> {
        const found = writeOf(query.query)
        if (!found) {
          if (query.query.kind === 'RawNode' && WRITTEN_PAST_THE_SEALS.test(query.sql))
            throw new Error('A sealed table is written through the query builder only')
          return inner.executeQuery<Result>(query)
        }
        if (connection.changes) return write<Result>(inner, connection.changes, found, query)
        await begin(connection, {})
        try {
          const result = await write<Result>(inner, changesOf(connection), found, query)
          await commit(connection)
          return result
        } catch (fault) {
          await rollback(connection).catch(() => {})
          throw fault
        }
      },
      streamQuery: (query, size) => inner.streamQuery(query, size),
    }
    wrapped.set(inner, connection)
    return connection
  }

  const ours = (connection: DatabaseConnection): SealedConnection => connection as SealedConnection
  return {
    init: () => driver.init(),
    acquireConnection: async () => wrap(await driver.acquireConnection()),
    beginTransaction: (connection, settings) => begin(ours(connection), settings),
    commitTransaction: (connection) => commit(ours(connection)),
    rollbackTransaction: (connection) => rollback(ours(connection)),
    releaseConnection: (connection) => driver.releaseConnection(ours(connection).inner),
    destroy: () => driver.destroy(),
  }
}

function changesOf({ changes }: SealedConnection): Changes {
  if (!changes) throw new Error('No transaction is under way')
  return changes
}
