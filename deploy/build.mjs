import { readFileSync } from 'node:fs'
import { build } from 'rolldown'

/**
 * Puts the program together as it is run: node deploy/build.mjs [FOLDER]; `dist/program` unless told. The command line and the
 * thread that draws pictures stand in one folder, with what only some starts need in files of its own beside them. Nothing
 * is shortened or renamed, so that a fault in a log can be read; `node --enable-source-maps` names the line of the source.
 */
const { dependencies } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))

/**
 * Made of so many small files that loading them one by one was half of a start. Packages with native code, and those that
 * are loaded only where a chat or another database is set up, stay where npm put them.
 */
const TAKEN_IN = new Set(['@fastify/formbody', 'commander', 'd3-scale', 'fastify', 'json-rules-engine', 'kysely', 'luxon', 'zod'])

await build({
  cwd: new URL('..', import.meta.url).pathname,
  input: { cli: 'adapters/cli.ts', 'draw-worker': 'adapters/png/draw-worker.ts' },
  platform: 'node',
  external: Object.keys(dependencies).filter((name) => !TAKEN_IN.has(name)),
  output: { dir: process.argv[2] ?? 'dist/program', cleanDir: true, format: 'esm', sourcemap: true, keepNames: true },
})
