import { LogLevel } from '@slack/bolt'
import type { BaseLogger } from 'pino'

/** Bolt's own logger shape. */
export interface BoltLogger {
  debug(...message: unknown[]): void
  info(...message: unknown[]): void
  warn(...message: unknown[]): void
  error(...message: unknown[]): void
  setLevel(level: LogLevel): void
  getLevel(): LogLevel
  setName(name: string): void
}

const LONGEST = 300

/**
 * Lets Slack's libraries speak into our log. Their debug lines carry whole request bodies and are dropped at every level;
 * objects are never written out.
 */
export function boltLogger(logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>): BoltLogger {
  const line = (message: readonly unknown[]): string => message.map(spoken).filter(Boolean).join(' ').slice(0, LONGEST)
  return {
    debug: () => {},
    info: (...message) => logger.info({ chat: 'slack' }, line(message)),
    warn: (...message) => logger.warn({ chat: 'slack' }, line(message)),
    error: (...message) => logger.error({ chat: 'slack' }, line(message)),
    setLevel: () => {},
    // never debug: some of the libraries build their debug text only after asking
    getLevel: () => LogLevel.INFO,
    setName: () => {},
  }
}

function spoken(part: unknown): string {
  if (typeof part === 'string') return part
  return part instanceof Error ? faultName(part) : ''
}

/** A fault by its name and code alone: messages of other people's errors may quote what they choked on. */
export function faultName(fault: unknown): string {
  if (!(fault instanceof Error)) return 'unknown fault'
  const code = (fault as { code?: unknown }).code
  return typeof code === 'string' ? `${fault.name} (${code})` : fault.name
}
