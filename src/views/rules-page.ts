import { WORDS } from '../cards/words-en.js'
import { INDICATORS, type Indicator, type Step } from '../terms/steps.js'
import { escapeHtml } from './page.js'
import { PAGE_STYLE } from './page-style.js'

interface RuleOnPage {
  readonly id: string
  readonly theme: string
  readonly indicator: Indicator
  readonly place: 'eye' | 'checklist'
  readonly text: string
  readonly why: string
  readonly ask?: string | undefined
  readonly evidence: string
  readonly layer: string
  readonly when: string
  readonly sources: readonly string[]
}

interface TensionOnPage {
  readonly id: string
  readonly question: string
  readonly layer: string
  readonly sides: readonly { readonly pull: string; readonly when: string; readonly sources: readonly string[] }[]
}

/** Everything that a department approves, in words. */
export interface RulesPage {
  /** Content hash of the rule set. */
  readonly version: string
  /** ISO date of the page. */
  readonly made: string
  readonly steps: readonly {
    readonly step: Step
    readonly rules: readonly RuleOnPage[]
    readonly tensions: readonly TensionOnPage[]
  }[]
  readonly switchedOff: readonly { readonly id: string; readonly layer: string; readonly because: string }[]
  readonly signOffs: readonly { readonly who: string; readonly role: string; readonly when: string; readonly hash: string }[]
}

/** The rules on one page without any other file: read on a screen, printed for a meeting, signed at its end. */
export function rulesPage(page: RulesPage): string {
  const { version, made, steps } = page
  const rules = steps.flatMap((each) => each.rules)
  const tensions = steps.flatMap((each) => each.tensions)
  const departments = new Set(
    [...rules, ...tensions, ...page.switchedOff].map(({ layer }) => layer).filter((layer) => layer !== 'shipped'),
  )
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Precautions for approval, rule set ${version.slice(0, 12)}</title>
<style>${PAGE_STYLE}${RULES_STYLE}</style>
</head>
<body>
<main>
<header>
<h1>Precautions for approval</h1>
<p>${rules.length} precautions and ${tensions.length} tensions, by surgical step. Page made on ${escapeHtml(made)}.</p>
<p>Rule set <code>${escapeHtml(version)}</code></p>
<p>${departments.size === 0 ? 'All are as shipped.' : `As shipped, with changes by ${[...departments].map(escapeHtml).join(', ')}.`}</p>
<p class="quiet">${escapeHtml(WORDS.defers)} A precaution speaks when its condition holds; a fact that is missing leaves it open and is asked for, never taken for normal.</p>
<nav aria-label="Steps"><ul>${steps.map(({ step }) => `<li><a href="#${step}">${WORDS.steps[step]}</a></li>`).join('')}</ul></nav>
</header>
${steps.map(stepHtml).join('\n')}
${switchedOffHtml(page.switchedOff)}
${signOffHtml(page)}
</main>
</body>
</html>
`
}

const stepHtml = ({ step, rules, tensions }: RulesPage['steps'][number]): string =>
  `<section id="${step}">
<h2>${capitalised(WORDS.steps[step])}</h2>
${[...rules].sort(eyeFirst).map(ruleHtml).join('\n')}
${tensions.map(tensionHtml).join('\n')}
</section>`

/** What concerns this eye before the checklist, gravest first. */
const eyeFirst = (one: RuleOnPage, other: RuleOnPage): number =>
  Number(one.place === 'checklist') - Number(other.place === 'checklist') ||
  INDICATORS.indexOf(one.indicator) - INDICATORS.indexOf(other.indicator)

function ruleHtml(rule: RuleOnPage): string {
  const when = rule.place === 'checklist' ? 'every operation (checklist)' : rule.when
  return `<article class="rule" id="rule-${escapeHtml(rule.id)}">
<h3 class="caution ${rule.indicator}"><span class="mark">${WORDS.caution[rule.indicator]}</span> ${escapeHtml(rule.text)}</h3>
<dl>
${entry('When', when)}${entry('Why', rule.why)}${rule.ask === undefined ? '' : entry('If not known, ask', rule.ask)}${listEntry('Sources', rule.sources)}${entry('Evidence', rule.evidence.replaceAll('-', ' '))}${layerEntry(rule.layer)}${entry('Name', `${rule.theme}/${rule.id}`)}</dl>
</article>`
}

function tensionHtml({ id, question, layer, sides }: TensionOnPage): string {
  const pulls = sides
    .map(
      ({ pull, when, sources }) => `<dl>\n${entry('One side', pull)}${entry('When', when)}${listEntry('Sources', sources)}</dl>`,
    )
    .join('\n')
  return `<article class="rule tension" id="tension-${escapeHtml(id)}">
<h3><span class="mark">Tension, put to colleagues</span> ${escapeHtml(question)}</h3>
${pulls}
<dl>
${layerEntry(layer)}${entry('Name', `tensions/${id}`)}</dl>
</article>`
}

const entry = (name: string, text: string): string => `<dt>${escapeHtml(name)}</dt><dd>${escapeHtml(text)}</dd>\n`
const listEntry = (name: string, items: readonly string[]): string =>
  `<dt>${escapeHtml(name)}</dt>${items.map((item) => `<dd>${escapeHtml(item)}</dd>`).join('')}\n`
const layerEntry = (layer: string): string =>
  layer === 'shipped' ? entry('From', 'shipped') : `<dt>From</dt><dd><strong>${escapeHtml(layer)}</strong></dd>\n`
const capitalised = (word: string): string => word.slice(0, 1).toUpperCase() + word.slice(1)

const switchedOffHtml = (off: RulesPage['switchedOff']): string =>
  off.length === 0
    ? ''
    : `<section id="switched-off">
<h2>Switched off</h2>
<ul>${off.map(({ id, layer, because }) => `<li><code>${escapeHtml(id)}</code>, by ${escapeHtml(layer)}, because ${escapeHtml(because)}</li>`).join('')}</ul>
</section>`

function signOffHtml({ version, signOffs }: RulesPage): string {
  const here = signOffs.filter(({ hash }) => hash === version)
  const rows = here.map(({ who, role, when }) => row(who, role, when, 'on record'))
  const blank = Array.from({ length: Math.max(1, 3 - here.length) }, () => row('', '', '', ''))
  const earlier = signOffs.length - here.length
  return `<section id="sign-off">
<h2>Approval</h2>
<p>${here.length === 0 ? 'Nobody has approved this rule set yet.' : 'Approved as below.'} The signature holds for exactly the rules on this page:</p>
<p><code>${escapeHtml(version)}</code></p>
<table>
<thead><tr><th scope="col">Name</th><th scope="col">Role</th><th scope="col">Date</th><th scope="col">Signature</th></tr></thead>
<tbody>
${[...rows, ...blank].join('\n')}
</tbody>
</table>
<p class="quiet">${earlier === 0 ? '' : `${earlier} ${earlier === 1 ? 'approval' : 'approvals'} of other rule sets on record. `}To record an approval: <code>soundings rules sign --by NAME --role ROLE</code>. Plans then state it until any rule changes.</p>
</section>`
}

const row = (...cells: readonly string[]): string => `<tr>${cells.map((cell) => `<td>${escapeHtml(cell)}</td>`).join('')}</tr>`

const RULES_STYLE = `
h1 { font-size: 1.5rem; margin: 0.5rem 0; }
code { overflow-wrap: anywhere; }
.quiet { color: var(--soft); font-size: 0.875rem; }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: 0.25rem 1rem; }
nav a { color: var(--deep); display: inline-block; padding: 0.5rem 0; }
section > h2 { border-bottom: 3px double var(--deep); padding-bottom: 0.25rem; }
.rule { background: var(--sheet); border: 1px solid var(--hair); border-radius: 4px; padding: 0.6rem 0.75rem; margin: 0 0 0.75rem; break-inside: avoid; }
.rule h3 { font-size: 1rem; margin: 0 0 0.4rem; }
.rule dl { margin: 0; display: grid; grid-template-columns: 8.5rem 1fr; gap: 0.15rem 0.75rem; font-size: 0.875rem; }
.rule dl + dl { margin-top: 0.5rem; }
.rule dt { color: var(--soft); grid-column: 1; }
.rule dd { margin: 0; grid-column: 2; overflow-wrap: anywhere; }
#sign-off { break-inside: avoid; }
#sign-off td { height: 2.5rem; border: 1px solid var(--hair); padding: 0.3rem; }
@media (max-width: 30rem) { .rule dl { grid-template-columns: 1fr; } .rule dt, .rule dd { grid-column: 1; } }
@media print {
  :root { color-scheme: light; --paper: #ffffff; --sheet: #ffffff; --ink: #000000; --soft: #333333; --hair: #999999; --deep: #000000; --critical: #000000; --warning: #000000; --info: #000000; }
  @page { margin: 15mm; }
  main { max-width: none; padding: 0; }
  nav { display: none; }
  body { font-size: 10pt; }
  section > h2 { break-after: avoid; }
}
`
