import type { CommandSpec } from './spec.ts';

export interface TableLine {
  readonly name: string;
  readonly about: string;
  /** Each command is read only when it is called: `dryfit status` must not wait for the bench. */
  readonly load: () => Promise<CommandSpec>;
}

/** Every command there is, in the order of the help. */
export const commandTable: readonly TableLine[] = [
  { name: 'start', about: 'starts a job', load: async () => (await import('./start.ts')).start },
  { name: 'do', about: 'makes one entry', load: async () => (await import('./do.ts')).doEntry },
  {
    name: 'status',
    about: 'jobs, what each waits for, loose items by gate, what runs out',
    load: async () => (await import('./status.ts')).status,
  },
  {
    name: 'check',
    about: 'reads procedures as a compiler would',
    load: async () => (await import('./check.ts')).check,
  },
  { name: 'record', about: "one job's record", load: async () => (await import('./record.ts')).record },
  {
    name: 'verify',
    about: 'proves a record or a state, or says what is wrong where',
    load: async () => (await import('./verify.ts')).verify,
  },
  {
    name: 'hold',
    about: 'an answer to a hold, to be signed elsewhere, and taken in',
    load: async () => (await import('./hold.ts')).hold,
  },
  { name: 'person', about: 'who works on the build', load: async () => (await import('./person.ts')).person },
  { name: 'key', about: 'the keys that sign', load: async () => (await import('./key.ts')).key },
  {
    name: 'calc',
    about: 'the trade calculations, each with its source, range and caution',
    load: async () => (await import('./calc.ts')).calc,
  },
  {
    name: 'rehearse',
    about: 'carries out a scripted session',
    load: async () => (await import('./rehearse.ts')).rehearse,
  },
];

/** What runs when no command is named. */
export const loadBench = async (): Promise<CommandSpec> => (await import('./bench.ts')).bench;
