/** Every command, in the order of the help. `table.ts` loads them. */
export const commands = [
  { name: 'start', about: 'starts a job' },
  { name: 'do', about: 'makes one entry' },
  { name: 'status', about: 'jobs, what each waits for, loose items by gate, what runs out' },
  { name: 'check', about: 'reads procedures as a compiler would' },
  { name: 'ahead', about: 'what a step makes permanent and covers, and who still needs it' },
  { name: 'schema', about: 'the JSON Schema of procedure files, for editors' },
  { name: 'compare', about: 'what a new revision changes, and what that means for this build' },
  { name: 'record', about: "one job's record" },
  { name: 'verify', about: 'proves a record or a state, or says what is wrong where' },
  { name: 'trace', about: 'every joint and value that rests on a lot, a batch or a tool' },
  { name: 'sync', about: 'shares the state through your own git: commit, pull, push' },
  { name: 'hold', about: 'an answer to a hold, to be signed elsewhere, and taken in' },
  { name: 'stock', about: 'lots and parts: taken in, opened, set aside, extended' },
  { name: 'tool', about: 'the individual tools, and what was found of them' },
  { name: 'loose', about: 'what is left loose on purpose, by gate' },
  { name: 'gate', about: 'the gate sheet: what is open before a gate, and what is excepted' },
  { name: 'person', about: 'who works on the build' },
  { name: 'key', about: 'the keys that sign' },
  { name: 'calc', about: 'the trade calculations, each with its source, range and caution' },
  { name: 'rehearse', about: 'carries out a scripted session' },
] as const;

export type CommandName = (typeof commands)[number]['name'];
