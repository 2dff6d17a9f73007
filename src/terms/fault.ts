/** A misuse of one room by another, never the reader's mistake: it is thrown, and carries its code. */
export const fault = (code: string, message: string): Error & { readonly code: string } =>
  Object.assign(new Error(`${code}: ${message}`), { code })
