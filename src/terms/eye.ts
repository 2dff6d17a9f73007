export const EYES = ['right', 'left'] as const
export type Eye = (typeof EYES)[number]

/** The words and the code that a reader knows this eye by. Both are always shown together. */
export const EYE_NAMES: Readonly<Record<Eye, { readonly words: string; readonly code: string }>> = {
  right: { words: 'Right eye', code: 'OD' },
  left: { words: 'Left eye', code: 'OS' },
}

/** "Left eye (OS)". */
export const eyeInFull = (eye: Eye): string => `${EYE_NAMES[eye].words} (${EYE_NAMES[eye].code})`

export const otherEye = (eye: Eye): Eye => (eye === 'right' ? 'left' : 'right')
