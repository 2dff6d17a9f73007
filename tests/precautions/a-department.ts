import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'

export const UNIT = 'Lantern Quay Eye Unit'

/** A rule of an invented department, complete and without a flaw. */
export const OWN_RULE = {
  id: 'second-clinic-for-long-eyes',
  theme: 'high-myopia',
  step: 'assessment',
  indicator: 'info',
  place: 'eye',
  harm: 4,
  changeableBefore: true,
  when: { fact: 'axialLengthMm', operator: 'atLeast', value: 27.5 },
  text: 'Book the long-eye clinic before the list.',
  why: 'Our pathway for long eyes; common practice.',
  ask: 'What is the axial length (mm)?',
  evidence: 'convention',
  sources: [{ cite: 'common practice, no source', sureness: 'convention', supports: 'the pathway' }],
  examples: { fires: [{ axialLengthMm: 27.5 }], quiet: [{ axialLengthMm: 27.4 }], unknown: [{}] },
  layer: UNIT,
}

/** Changes severity, changes wording, switches off with a reason, and adds a rule. */
export const CHANGES: Readonly<Record<string, unknown>> = {
  'severity.json': { override: 'backup-lens', layer: UNIT, indicator: 'critical' },
  'wording.json': {
    override: 'hyperopic-surprise',
    layer: UNIT,
    text: 'Aim 0.5 D more myopic unless the formula allows for length.',
  },
  'off.json': { override: 'long-slot', layer: UNIT, off: { because: 'every list of ours has long slots' } },
  'high-myopia/second-clinic-for-long-eyes.json': OWN_RULE,
}

/** A department's folder on disk for one test. */
export function departmentFolder(files: Readonly<Record<string, unknown>> = CHANGES): {
  readonly path: string
  readonly remove: () => void
} {
  const path = mkdtempSync(join(tmpdir(), 'department-'))
  for (const [file, content] of Object.entries(files)) {
    mkdirSync(dirname(join(path, file)), { recursive: true })
    writeFileSync(join(path, file), JSON.stringify(content, null, 2))
  }
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}
