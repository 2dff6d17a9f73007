import { type TypedTask, typedTask } from './typed-task.js'

/** What is typed to a consult besides an opinion: by its asker, by a lead, or about its tasks. */
export type ThreadCommand =
  | ({ readonly does: 'task' } & Omit<TypedTask, 'spans'>)
  | { readonly does: 'done'; readonly task: string; readonly result: string }
  | { readonly does: 'change'; readonly item: string }
  | { readonly does: 'decide'; readonly text: string }
  | { readonly does: 'outcome'; readonly text: string }
  | { readonly does: 'reveal' }
  | { readonly does: 'withdraw'; readonly because: string }
  | { readonly does: 'close'; readonly because: string }
  | { readonly does: 'reopen'; readonly because: string }
  | { readonly does: 'give'; readonly to: string }
  | { readonly does: 'record' | 'theatre' | 'consent' }
  /** `of`: which number, in words, by its place in the list, or as it stands on the card. */
  | { readonly does: 'working'; readonly of: string }
  | { readonly does: 'sources' }
  | { readonly does: 'reminders'; readonly on: boolean }

const after = (text: string, opens: RegExp): string | undefined => opens.exec(text)?.groups?.['said']?.trim()

/** Words with more to say need their colon, so that talk is not taken for them; words alone are the whole message. */
export function threadCommand(text: string, today: string): ThreadCommand | undefined {
  const said = text.trim()
  const task = after(said, /^task\s*:\s*(?<said>\S.*)$/isu)
  if (task !== undefined) {
    const { what, owners, due } = typedTask(task, today)
    return { does: 'task', what, owners, ...(due === undefined ? {} : { due }) }
  }
  const done = /^done\s+(?<task>T\d{1,4})\s*(?::\s*(?<result>.*)|[.!]?)$/isu.exec(said)
  if (done)
    return { does: 'done', task: (done.groups?.['task'] ?? '').toUpperCase(), result: done.groups?.['result']?.trim() ?? '' }
  const item = after(said, /^change\s*:\s*(?<said>\S.*)$/isu)
  if (item !== undefined) return { does: 'change', item }
  const decision = after(said, /^decide[ds]?\s*:\s*(?<said>\S.*)$/isu)
  if (decision !== undefined) return { does: 'decide', text: decision }
  const outcome = after(said, /^outcome\s*:\s*(?<said>\S.*)$/isu)
  if (outcome !== undefined) return { does: 'outcome', text: outcome }
  const nearMiss = after(said, /^near[ -]miss\s*:\s*(?<said>\S.*)$/isu)
  if (nearMiss !== undefined) return { does: 'outcome', text: `near miss: ${nearMiss}` }
  if (/^reveal[.!]?$/iu.test(said)) return { does: 'reveal' }
  for (const does of ['withdraw', 'close', 'reopen'] as const) {
    const because = new RegExp(`^${does}(?:\\s*:\\s*(?<said>.*)|[.!]?)$`, 'isu').exec(said)
    if (because) return { does, because: because.groups?.['said']?.trim() ?? '' }
  }
  const to = after(said, /^give\s*:\s*@?(?<said>\S.*)$/isu)
  if (to !== undefined) return { does: 'give', to }
  const working = /^(?:show )?working(?:\s*:(?<of>.*)|[.!?]*)$/isu.exec(said)
  if (working) return { does: 'working', of: working.groups?.['of']?.trim() ?? '' }
  if (/^sources?[.!?:]*$/iu.test(said)) return { does: 'sources' }
  const sheet = /^(?<sheet>record|theatre|consent)[.!]?$/iu.exec(said)?.groups?.['sheet']?.toLowerCase()
  if (sheet === 'record' || sheet === 'theatre' || sheet === 'consent') return { does: sheet }
  const reminders = /^reminders\s+(?<on>on|off)[.!]?$/iu.exec(said)?.groups?.['on']
  return reminders === undefined ? undefined : { does: 'reminders', on: reminders.toLowerCase() === 'on' }
}
