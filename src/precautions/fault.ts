/** A defect of ours, never the reader's: it is thrown, and carries a code that the developers' guide explains. */
export const fault = (code: string, message: string): Error & { readonly code: string } =>
  Object.assign(new Error(`${code}: ${message}`), { code })
