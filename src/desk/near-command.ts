/** What a command without its colon looks like: what stands after its first word tells it from talk. */
const NEAR: readonly (readonly [RegExp, (rest: string) => string])[] = [
  [/^tasks?\s*[,;-]?\s+(?<rest>(?=.*(?:\s@\p{L}|\sby\s)).+)$/isu, (rest) => `task: ${rest}`],
  [/^(?:give|hand|pass)\s+(?:(?:it|this)\s+)?(?:on\s+)?(?:to\s+)?@(?<rest>\p{L}.*)$/isu, (rest) => `give: ${rest}`],
  [/^change\s+(?<rest>(?!of\b|in\b).*\d.*)$/isu, (rest) => `change: ${rest}`],
  [/^decide[ds]?\s+(?<rest>.*\b(?:operates|lens)\b.*)$/isu, (rest) => `decide: ${rest}`],
  [/^outcome\s+(?<rest>(?:operation|first|four|[4-6]|twelve|12|near)\b.*)$/isu, (rest) => `outcome: ${rest}`],
  [/^near[ -]miss\s+(?<rest>\p{L}.*)$/isu, (rest) => `near miss: ${rest}`],
  [/^withdraw\s+(?:because\s+)?(?<rest>\p{L}.*)$/isu, (rest) => `withdraw: ${rest}`],
  [/^reopen\s+(?:because\s+)?(?<rest>\p{L}.*)$/isu, (rest) => `reopen: ${rest}`],
  [/^done\s*:\s*(?<rest>T\d{1,4}\b.*)$/isu, (rest) => `done ${rest}`],
  [/^(?:task\s+)?(?<rest>T\d{1,4})\s+(?:is\s+)?done\b.*$/isu, (rest) => `done ${rest}: RESULT`],
  [/^(?:show\s+(?:the\s+)?)?working\s+(?:of|for)\s+(?<rest>\p{L}.*)$/isu, (rest) => `working: ${rest}`],
]

const LONGEST = 160

/** How a message that looks like a command is written so that it is one; undefined for plain talk. */
export function nearCommand(said: string): string | undefined {
  for (const [looks, written] of NEAR) {
    const rest = looks.exec(said.trim())?.groups?.['rest']?.trim()
    if (rest === undefined) continue
    const such = written(rest)
    return `If you meant it as a command, write: ${such.length > LONGEST ? `${such.slice(0, such.indexOf(':') + 1)} …` : such}`
  }
  return undefined
}
