/** One thing that verifying found. `notice` is for what a reader must know though nothing is wrong; `fault` for what is. */
export interface Observation {
  readonly level: 'ok' | 'notice' | 'fault';
  /** One line. May hold text out of the record: escape it where it is printed. */
  readonly what: string;
  /** A file, or a path inside record.json. */
  readonly where: string;
}

export const passed = (what: string, where: string): Observation => ({ level: 'ok', what, where });
export const noted = (what: string, where: string): Observation => ({ level: 'notice', what, where });
export const foundWrong = (what: string, where: string): Observation => ({ level: 'fault', what, where });
