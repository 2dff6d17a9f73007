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

const isDay = (text: string): boolean => {
  const time = Date.parse(text)
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text)
}

const lastOfMonth = (first: string): string => {
  const [year = 0, month = 1] = first.split('-').map(Number)
  return new Date(Date.UTC(year, month, 0)).toISOString().slice(0, 10)
}
