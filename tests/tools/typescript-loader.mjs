import { readFile } from 'node:fs/promises'
import { register } from 'node:module'
import { fileURLToPath } from 'node:url'
import ts from 'typescript'

/**
 * Lets plain Node run the project's TypeScript in a process of its own, for tests that need one to kill:
 * `node --import ./tests/tools/typescript-loader.mjs file.ts`.
 */
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
  const source = await readFile(fileURLToPath(url), 'utf8')
  const { outputText } = ts.transpileModule(source, {
    compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2023, verbatimModuleSyntax: true },
  })
  return { format: 'module', shortCircuit: true, source: outputText }
}
