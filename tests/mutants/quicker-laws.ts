/**
 * Each change waits for the laws. So those that try more cases than fast-check does by itself try a tenth of them, and texts are drawn from
 * the whole of Unicode by written letter, because fast-check takes more than a second to lay out all its code points. Where such a law
 * counts what it met, a twentieth is enough. A score may so be too low, never too high.
 */
export const quickerLaws = (code: string, file: string): string => {
  if (!/\.test\.tsx?$/.test(file)) return code;
  const lettered = code.replaceAll("{ unit: 'binary'", "{ unit: 'grapheme'");
  const fewer = lettered.replace(/\{ numRuns: (.+) \}/g, '{ numRuns: Math.ceil(($1) / 10) }');
  return fewer === lettered
    ? fewer
    : fewer.replace(
        /toBeGreaterThan\((\d+)\)/g,
        (_, count: string) => `toBeGreaterThan(${Math.floor(Number(count) / 20)})`,
      );
};
