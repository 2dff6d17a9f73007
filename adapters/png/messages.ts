/** What goes to the drawing thread. */
export interface ToDraw {
  readonly id: number
  readonly svg: string
  readonly widthPx: number
}

/** What comes back. */
export type Drawn = { readonly id: number; readonly png: Uint8Array } | { readonly id: number; readonly problem: string }
