import type { CommandName } from './names.ts';
import type { CommandSpec } from './spec.ts';
import { statusCommand } from './status.ts';

type Load = () => Promise<CommandSpec>;

/** Each command is loaded only when it is called, but for `status`, which is called most and answers from the cache. */
const loaders: Readonly<Record<CommandName, Load>> = {
  start: async () => (await import('./start.ts')).startCommand,
  do: async () => (await import('./do.ts')).doCommand,
  status: () => Promise.resolve(statusCommand),
  check: async () => (await import('./check.ts')).checkCommand,
  ahead: async () => (await import('./ahead.ts')).aheadCommand,
  schema: async () => (await import('./schema.ts')).schemaCommand,
  compare: async () => (await import('./compare.ts')).compareCommand,
  record: async () => (await import('./record.ts')).recordCommand,
  verify: async () => (await import('./verify.ts')).verifyCommand,
  trace: async () => (await import('./trace.ts')).traceCommand,
  sync: async () => (await import('./sync.ts')).syncCommand,
  hold: async () => (await import('./hold.ts')).holdCommand,
  stock: async () => (await import('./stock.ts')).stockCommand,
  tool: async () => (await import('./tool.ts')).toolCommand,
  loose: async () => (await import('./loose.ts')).looseCommand,
  gate: async () => (await import('./gate.ts')).gateCommand,
  person: async () => (await import('./person.ts')).personCommand,
  key: async () => (await import('./key.ts')).keyCommand,
  calc: async () => (await import('./calc.ts')).calcCommand,
  rehearse: async () => (await import('./rehearse.ts')).rehearseCommand,
};

/** Loads a command; `undefined` where there is none of that name. */
export const loaderOf = (name: string | undefined): Load | undefined =>
  name !== undefined && Object.hasOwn(loaders, name) ? loaders[name as CommandName] : undefined;

/** What runs when no command is named. */
export const loadBench: Load = async () => (await import('./bench.ts')).benchCommand;
