/**
 * The day that a bound means: a day, a month or a year stands for its first day as `from` and its last as `to`.
 * @param written 2026-03-02, 2026-03 or 2026
 * @returns an ISO day, or undefined where the calendar has none such
 */
export function dayWish(written: string, bound: 'from' | 'to'): string | undefined {
  const parts = /^(\d{4})(?:-(\d{2}))?(?:-(\d{2}))?$/.exec(written)
  if (!parts) return undefined
  const [, year = '', month, day] = parts
  if (day !== undefined) return isDay(written) ? written : undefined
  const first = `${year}-${month ?? (bound === 'from' ? '01' : '12')}-01`
  if (!isDay(first)) return undefined
  return bound === 'from' ? first : lastOfMonth(first)
}

/** What is wrong with the days that a command is to begin and end with, a sentence each; `--from` and `--to` as they were typed. */
export function daysFaults({ from, to }: { readonly from?: string; readonly to?: string }): readonly string[] {
  const wrong = (name: string, day: string | undefined, example: string): readonly string[] =>
    day === undefined || (day.length === 10 && isDay(day)) ? [] : [`--${name}: "${day}" is no day; write it as ${example}`]
  const faults = [...wrong('from', from, '2026-03-02'), ...wrong('to', to, '2026-03-31')]
  if (faults.length > 0 || from === undefined || to === undefined || from <= to) return faults
  return [`--from ${from} lies after --to ${to}; change them over`]
}

const isDay = (text: string): boolean => {
  const time = Date.parse(text)
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text)
}

const lastOfMonth = (first: string): string => {
  const [year = 0, month = 1] = first.split('-').map(Number)
  return new Date(Date.UTC(year, month, 0)).toISOString().slice(0, 10)
}
