/**
 * The closed list of refusals, in the order of precedence that the rules fix. Where several fit, `out-of-order` is first, `part-missing` is
 * used only where no other fits, and otherwise the earliest in this list counts.
 */
export const refusalCodes = [
  'out-of-order',
  'part-missing',
  'reason-missing',
  'outside',
  'undecided',
  'tries-used',
  'proof-missing',
  'still-needed',
  'cure-not-reached',
  'wait',
  'too-late',
  'when-ahead',
  'covered',
  'gate-passed',
  'pot-life-over',
  'batch-size',
  'hold-closed',
  'power',
  'own-work',
  'finding-open',
  'lot-missing',
  'lot-expired',
  'serial-missing',
  'tool-out-of-date',
  'uncertainty',
  'shop-outside',
  'gate-open',
  'earlier-procedure',
  'helper-missing',
  'strict',
  'clock',
  'twin-open',
  'contradiction',
  'read-only',
  'procedure-faulty',
  'unfinished',
  'nonconformance-open',
  'job-closed',
] as const;

export type RefusalCode = (typeof refusalCodes)[number];

export const isRefusalCode = (text: string): text is RefusalCode => (refusalCodes as readonly string[]).includes(text);

const rank = (code: RefusalCode): number =>
  code === 'part-missing' ? refusalCodes.length : refusalCodes.indexOf(code);

/** Of several refusals that fit, the one that a person is shown. */
export const firstRefusal = <T extends { readonly code: RefusalCode }>(refusals: readonly T[]): T | undefined =>
  refusals.reduce<T | undefined>(
    (first, next) => (first === undefined || rank(next.code) < rank(first.code) ? next : first),
    undefined,
  );
