import type { Printer } from './print.ts';
import type { Host } from './host.ts';

export interface OptionSpec {
  readonly type: 'string' | 'boolean';
  readonly multiple?: boolean;
  /** What stands for the value in the help: `DIR`, `PERSON`. */
  readonly value?: string;
  readonly about: string;
}

/** A call of a command: what was typed, what it may touch, and where it prints. */
export interface Call {
  /** The words after the command's name. */
  readonly words: readonly string[];
  readonly text: (option: string) => string | undefined;
  readonly texts: (option: string) => readonly string[];
  readonly flag: (option: string) => boolean;
  readonly host: Host;
  readonly print: Printer;
}

/** One command: what its help says and what it does. The result is the exit code. */
export interface CommandSpec {
  readonly name: string;
  readonly about: string;
  /** Lines `dryfit …`. */
  readonly usage: readonly string[];
  readonly options: Readonly<Record<string, OptionSpec>>;
  /** Further help, one paragraph a line. */
  readonly more?: readonly string[];
  readonly run: (call: Call) => number | Promise<number>;
}

/** The options that every command takes. */
export const everywhere = {
  state: {
    type: 'string',
    value: 'DIR',
    about: 'the state folder (else DRYFIT_STATE, else the setting, else the nearest from here upwards)',
  },
  as: { type: 'string', value: 'PERSON', about: 'who enters (else the only person with a key here)' },
  json: { type: 'boolean', about: 'the answer as data' },
  plain: { type: 'boolean', about: 'line by line, without cursor movement' },
  now: { type: 'string', value: 'T', about: 'what the clock says (RFC 3339 with offset)' },
  procedures: { type: 'string', value: 'DIR', about: 'where procedures lie (else the setting, else ./procedures)' },
  format: { type: 'string', value: 'FORMAT', about: 'where a thing has several' },
  key: { type: 'string', value: 'FILE', about: 'a key file to sign with; the .pub file of a key in the ssh-agent' },
  help: { type: 'boolean', about: 'this help' },
} as const satisfies Readonly<Record<string, OptionSpec>>;
