/** What may still be open in what was verified, though nothing in it was changed or is missing. */
export type OpenKind = 'conflict' | 'missing' | 'record' | 'torn' | 'job' | 'nonconformance' | 'loose' | 'sample';

/** One thing that verifying found. `notice`: nothing is wrong, but a reader must know of it. `fault`: something is wrong. */
export interface Observation {
  readonly level: 'ok' | 'notice' | 'fault';
  /** One line. It may hold text from the record: escape it where it is printed. */
  readonly what: string;
  /** A file, or a path inside record.json. */
  readonly where: string;
  /** Of a notice: what is open, and how many of them. Nobody may then say that nothing is wrong. */
  readonly open?: { readonly kind: OpenKind; readonly count: number };
}

export const passed = (what: string, where: string): Observation => ({ level: 'ok', what, where });
export const noted = (what: string, where: string): Observation => ({ level: 'notice', what, where });
export const foundWrong = (what: string, where: string): Observation => ({ level: 'fault', what, where });

/** A notice of something that is still open. */
export const foundOpen = (kind: OpenKind, what: string, where: string, count = 1): Observation => ({
  ...noted(what, where),
  open: { kind, count },
});
