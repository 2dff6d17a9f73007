import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { register } from 'node:module'
import { fileURLToPath } from 'node:url'

/**
 * Lets plain Node run the project's TypeScript in a process of its own, for tests that need one to kill:
 * `node --import ./tests/tools/typescript-loader.mjs file.ts`. What was compiled is kept by the hash of its source: the tests
 * start dozens of such processes, and each would compile some hundred files again.
 */
const KEPT = fileURLToPath(new URL('../../node_modules/.cache/soundings-tests/', import.meta.url))

if (process.env['TYPESCRIPT_LOADER'] !== 'registered') {
  process.env['TYPESCRIPT_LOADER'] = 'registered'
  register(import.meta.url)
}

export async function resolve(specifier, context, next) {
  const fromTypeScript = context.parentURL?.endsWith('.ts') && specifier.startsWith('.') && specifier.endsWith('.js')
  return next(fromTypeScript ? specifier.replace(/\.js$/, '.ts') : specifier, context)
}

export async function load(url, context, next) {
  if (!url.endsWith('.ts')) return next(url, context)
  const source = readFileSync(fileURLToPath(url), 'utf8')
  const kept = `${KEPT}${createHash('sha256').update(compilerVersion()).update(source).digest('hex')}.mjs`
  return { format: 'module', shortCircuit: true, source: readIfThere(kept) ?? (await compiled(source, kept)) }
}

let version
function compilerVersion() {
  version ??= readFileSync(new URL('../../node_modules/typescript/package.json', import.meta.url), 'utf8')
  return version
}

function readIfThere(path) {
  try {
    return readFileSync(path, 'utf8')
  } catch {
    return undefined
  }
}

async function compiled(source, kept) {
  const { default: ts } = await import('typescript')
  const { outputText } = ts.transpileModule(source, {
    compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2023, verbatimModuleSyntax: true },
  })
  // Under a name of its own first, so that another process never reads half a file.
  const fresh = `${kept}.${randomUUID()}`
  try {
    mkdirSync(KEPT, { recursive: true })
    writeFileSync(fresh, outputText)
    renameSync(fresh, kept)
  } catch {
    // a folder that cannot be written costs time only
  }
  return outputText
}
