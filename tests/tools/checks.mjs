import { spawn } from 'node:child_process'

/**
 * Runs the checks that need no test runner beside each other, and says which of them found something: each works on one
 * processor. `node tests/tools/checks.mjs NAME…`, by the names of scripts in package.json.
 */
const run = (name) =>
  new Promise((resolve) => {
    const started = performance.now()
    const child = spawn('npm', ['run', '--silent', name], { stdio: ['ignore', 'pipe', 'pipe'] })
    let said = ''
    for (const stream of [child.stdout, child.stderr])
      stream.on('data', (chunk) => {
        said += chunk
      })
    child.on('error', (fault) => {
      said += `${fault.message}\n`
    })
    child.on('close', (code) => {
      const seconds = ((performance.now() - started) / 1000).toFixed(1)
      process.stdout.write(`${said}${code === 0 ? 'passed' : 'FAILED'}: ${name} (${seconds} s)\n`)
      resolve({ name, passed: code === 0 })
    })
  })

const outcomes = await Promise.all(process.argv.slice(2).map(run))
const failed = outcomes.filter(({ passed }) => !passed).map(({ name }) => name)
if (failed.length > 0) {
  process.stderr.write(`checks failed: ${failed.join(', ')}\n`)
  process.exitCode = 1
}
