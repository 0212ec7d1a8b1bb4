/**
 * Each change waits for the laws. So those that try more cases than fast-check does by itself try a tenth of them, and texts are drawn from
 * the whole of Unicode by written letter, because fast-check takes more than a second to lay out all its code points. A score may so be too
 * low, never too high.
 */
export const quickerLaws = (code: string, file: string): string =>
  /\.test\.tsx?$/.test(file)
    ? code
        .replace(/\{ numRuns: (.+) \}/g, '{ numRuns: Math.ceil(($1) / 10) }')
        .replaceAll("{ unit: 'binary'", "{ unit: 'grapheme'")
    : code;
