/** `#10-32`, `3/8-24 UNF`, `3/8 - 24`: the same threads. */
export const threadOf = (text: string): string =>
  text
    .replace(/^(?:AN|no\.?|#)\s*/i, '')
    .replace(/\s*(?:UN[FCRJ]*|NF|NC)(?:-\d[AB])?$/i, '')
    .replace(/\s*[-‐-–]\s*/, '-');
