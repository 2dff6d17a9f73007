import { STEPS, type Step } from '../terms/steps.js'
import type { Opinion, OpinionKind } from './opinion.js'

/**
 * An opinion typed instead of tapped: `agree`, `agree but: …`, `need: …`, `not alone: …`, `stop: …`.
 * Case, kind of dash and a missing colon do not matter. Where the words could mean something else the answer is
 * undefined: a sentence kept as a comment does less harm than an opinion that nobody gave. What the form asks besides may
 * stand after a semicolon: `…; steps: nucleus, closure; would change my mind: a loose lens`.
 */
export function typedAnswer(text: string): Opinion | undefined {
  const { rest: said, parts } = apart(text.trim().replace(/[\u2018\u2019]/g, "'"))
  for (const { opens, kind, accepts } of FORMS) {
    const match = opens.exec(said)
    if (!match) continue
    const mark = match.groups?.['mark']?.trim() ?? ''
    const sentence = said.slice(match[0].length).trim()
    if (!accepts(mark, sentence)) return undefined
    return { ...opinion(kind, sentence), ...parts }
  }
  return undefined
}

/** An opinion with the steps that its sentence names. */
export function opinion(kind: OpinionKind, sentence: string): Opinion {
  const { rest, parts } = apart(sentence)
  const kept = rest.trim()
  return kept === '' ? { kind, steps: [], ...parts } : { kind, steps: stepsNamed(kept), sentence: kept, ...parts }
}

const MIND = /(?:^|[;.\n]\s*)(?:what\s+)?would change my mind\s*:\s*(?<said>[^;\n]+)/iu
const STEPS_SAID = /[;\n]\s*steps?\s*:\s*(?<said>[^;\n]+)/iu

/** What an opinion says by name besides its sentence, and what is left of it. */
function apart(text: string): { readonly rest: string; readonly parts: Partial<Pick<Opinion, 'steps' | 'wouldChangeMind'>> } {
  const mind = MIND.exec(text)?.groups?.['said']?.trim()
  const steps = stepsNamed(STEPS_SAID.exec(text)?.groups?.['said'] ?? '')
  return {
    rest: text
      .replace(MIND, '')
      .replace(steps.length === 0 ? /(?!)/u : STEPS_SAID, '')
      .trim(),
    parts: { ...(steps.length === 0 ? {} : { steps }), ...(mind === undefined ? {} : { wouldChangeMind: mind }) },
  }
}

interface Form {
  readonly opens: RegExp
  readonly kind: OpinionKind
  /** Whether what follows the opening words leaves no doubt. `mark` is the colon, dash, comma or stop after them. */
  readonly accepts: (mark: string, sentence: string) => boolean
}

// What may stand between the opening words and the sentence, or the end of the message.
const MARK = '(?<mark>\\s*[:,;.!\\u2013\\u2014-]+(?=\\s|$)|\\s*:|\\s+|$)'
const opening = (words: string): RegExp => new RegExp(`^(?:${words})${MARK}`, 'iu')

const RESERVATION = /\b(?:but|except|however|unless|if|only|although|though|not|never|no|don't|provided|as long as)\b/iu
const isQuestion = (sentence: string): boolean => sentence.endsWith('?')
const says = (sentence: string): boolean => /[\p{L}\p{N}]/u.test(sentence)

const bareOrSaid = (mark: string, sentence: string): boolean => !isQuestion(sentence) || (mark !== '' && says(sentence))

// The first form that opens the text is the one meant, so longer openings stand first.
const FORMS: readonly Form[] = [
  { opens: opening('(?:i )?agree,? with changes?'), kind: 'agree-with-changes', accepts: bareOrSaid },
  {
    opens: opening('(?:i )?agreed?[\\s,;:.\\u2013\\u2014-]*\\bbut'),
    kind: 'agree-with-changes',
    accepts: (_mark, sentence) => says(sentence),
  },
  {
    opens: opening('(?:i )?agreed?'),
    kind: 'agree',
    // "agree with the chop" may agree with a part only, and "agree, unless …" is not agreement.
    accepts: (mark, sentence) => sentence === '' || (mark !== '' && !RESERVATION.test(sentence) && !isQuestion(sentence)),
  },
  { opens: opening('need this first'), kind: 'need-this-first', accepts: bareOrSaid },
  {
    opens: opening('need'),
    kind: 'need-this-first',
    accepts: (mark, sentence) => says(sentence) && !/^not\b/iu.test(sentence) && bareOrSaid(mark, sentence),
  },
  { opens: opening('not this surgeon alone'), kind: 'not-this-surgeon-alone', accepts: bareOrSaid },
  {
    opens: opening('not alone'),
    kind: 'not-this-surgeon-alone',
    // "not alone in thinking so" is about something else.
    accepts: (mark, sentence) => bareOrSaid(mark, sentence) && (mark !== '' || !/^(?:in|here|there)\b/iu.test(sentence)),
  },
  { opens: opening('do not operate on this plan'), kind: 'do-not-operate-on-this-plan', accepts: bareOrSaid },
  {
    opens: opening('do not operate|stop'),
    kind: 'do-not-operate-on-this-plan',
    // "stop warfarin" and "do not operate on Friday" are advice, not a verdict on the plan: here a colon, dash or full stop is needed.
    accepts: (mark, sentence) => (says(sentence) ? /[:.!\u2013\u2014-]/u.test(mark) : !isQuestion(sentence)),
  },
]

// The words that name a step in a colleague's sentence: its own name and what the trade calls it in short.
const STEP_WORDS: Readonly<Record<Step, string>> = {
  assessment: 'assessment|b-?scan|oct|fundus',
  biometry: 'biometry|axial length|keratometry',
  consent: 'consent',
  anaesthesia: "ana?esthe(?:sia|tic)|sub-?tenon(?:'?s)?|peribulbar|retrobulbar",
  incision: 'incision|wound|tunnel|paracentesis',
  viscoelastic: 'viscoelastic|ovd|soft.?shell',
  capsulorhexis: '(?:capsulo)?rhexis|capsulotomy|trypan(?: blue)?',
  hydrodissection: 'hydro(?:dissection|delineation|dissect)?',
  nucleus: 'nucleus|nuclear|chop(?:ping)?|phaco(?:emulsification)?|msics|ecce|extracapsular',
  cortex: 'cortex|cortical|irrigation.?aspiration',
  lens: 'lens|iol',
  closure: 'closure|suture[sd]?|hydrate|hydration',
  aftercare: 'aftercare|follow-?up',
}
const STEP_PATTERNS = STEPS.map(
  (step) => [step, new RegExp(`(?<![\\p{L}\\p{N}])(?:${STEP_WORDS[step]})(?![\\p{L}\\p{N}])`, 'iu')] as const,
)

/** The surgical steps that a sentence names, in surgical order. */
export const stepsNamed = (sentence: string): readonly Step[] =>
  STEP_PATTERNS.flatMap(([step, pattern]) => (pattern.test(sentence) ? [step] : []))
