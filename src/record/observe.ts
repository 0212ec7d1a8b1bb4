/** One thing that verifying found. `notice`: nothing is wrong, but a reader must know of it. `fault`: something is wrong. */
export interface Observation {
  readonly level: 'ok' | 'notice' | 'fault';
  /** One line. It may hold text from the record: escape it where it is printed. */
  readonly what: string;
  /** A file, or a path inside record.json. */
  readonly where: string;
}

export const passed = (what: string, where: string): Observation => ({ level: 'ok', what, where });
export const noted = (what: string, where: string): Observation => ({ level: 'notice', what, where });
export const foundWrong = (what: string, where: string): Observation => ({ level: 'fault', what, where });
