import type { CommandName } from './names.ts';
import type { CommandSpec } from './spec.ts';

type Load = () => Promise<CommandSpec>;

/** Each command is read only when it is called: `dryfit status` must not wait for the bench. */
const loaders: Readonly<Record<CommandName, Load>> = {
  start: async () => (await import('./start.ts')).start,
  do: async () => (await import('./do.ts')).doEntry,
  status: async () => (await import('./status.ts')).status,
  check: async () => (await import('./check.ts')).check,
  ahead: async () => (await import('./ahead.ts')).ahead,
  schema: async () => (await import('./schema.ts')).schema,
  compare: async () => (await import('./compare.ts')).compare,
  record: async () => (await import('./record.ts')).record,
  verify: async () => (await import('./verify.ts')).verify,
  trace: async () => (await import('./trace.ts')).trace,
  sync: async () => (await import('./sync.ts')).sync,
  hold: async () => (await import('./hold.ts')).hold,
  stock: async () => (await import('./stock.ts')).stock,
  tool: async () => (await import('./tool.ts')).tool,
  loose: async () => (await import('./loose.ts')).loose,
  person: async () => (await import('./person.ts')).person,
  key: async () => (await import('./key.ts')).key,
  calc: async () => (await import('./calc.ts')).calc,
  rehearse: async () => (await import('./rehearse.ts')).rehearse,
};

/** How a command is read, or `undefined` where there is none of that name. */
export const loaderOf = (name: string | undefined): Load | undefined =>
  name !== undefined && Object.hasOwn(loaders, name) ? loaders[name as CommandName] : undefined;

/** What runs when no command is named. */
export const loadBench: Load = async () => (await import('./bench.ts')).bench;
