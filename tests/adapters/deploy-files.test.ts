import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const at = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url))
const text = (path: string) => readFileSync(at(path), 'utf8')
const program = (JSON.parse(text('package.json')) as { bin: { soundings: string } }).bin.soundings

describe('what deploy/ holds', () => {
  it('starts the program that is built, by container and by unit', () => {
    expect(text('deploy/Containerfile')).toContain(`CMD ["node", "${program}", "serve"]`)
    expect(text('deploy/soundings.service')).toContain(`ExecStart=/usr/bin/node ${program} serve`)
    expect(text('deploy/README.md')).toContain(`node ${program} serve`)
  })

  it('gives the builder of the container what it copies, and nothing that lies beside it', () => {
    const copied = [...text('deploy/Containerfile').matchAll(/^COPY (?!--from)(.+) \S+$/gm)].flatMap(([, some]) =>
      some?.split(' '),
    )
    const given = [...text('deploy/Containerfile.dockerignore').matchAll(/^!(.+)$/gm)].map(([, path]) => path ?? '')
    expect(new Set(copied)).toEqual(new Set(given))
    expect(given.filter((path) => !existsSync(at(path)))).toEqual([])
    expect(text('deploy/Containerfile.dockerignore').split('\n')).toContain('*')
  })

  it('gives a stop longer than the program takes for one', () => {
    expect(text('deploy/soundings.service')).toMatch(/^TimeoutStopSec=30$/m)
    expect(text('deploy/compose.yaml')).toMatch(/^ {4}stop_grace_period: 30s$/m)
  })

  it.each([
    ['no id', 'my-bot', 'soundings.example'],
    ['an id that would change the manifest', '11111111-2222-4333-8444-555555555555/g;s/x/y', 'soundings.example'],
    ['an address in place of a host', '11111111-2222-4333-8444-555555555555', 'https://soundings.example/'],
  ])('packs no app for Teams for %s, and says what to write', (_, id, host) => {
    const { status, stderr, stdout } = spawnSync('sh', [at('deploy/teams-package.sh'), id, host], { encoding: 'utf8' })
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain('write it')
  })
})
