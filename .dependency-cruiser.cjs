/**
 * The rooms of src/ and what each may import, by resolved path, types included.
 * A room may import itself and the rooms that its row names; cli.ts imports commands alone.
 */
const rooms = {
  commands: [
    'workshop',
    'report',
    'bench',
    'terminal',
    'aircraft',
    'record',
    'job',
    'procedure',
    'trade',
    'store',
    'signing',
    'proof',
    'quantity',
    'fault',
  ],
  bench: [
    'workshop',
    'terminal',
    'report',
    'aircraft',
    'record',
    'job',
    'procedure',
    'trade',
    'store',
    'signing',
    'proof',
    'quantity',
    'fault',
  ],
  terminal: ['fault'],
  workshop: [
    'report',
    'aircraft',
    'record',
    'job',
    'procedure',
    'trade',
    'store',
    'signing',
    'proof',
    'quantity',
    'fault',
  ],
  store: ['job', 'proof', 'quantity', 'fault'],
  signing: ['proof', 'fault'],
  report: ['aircraft', 'record', 'job', 'procedure', 'trade', 'quantity', 'fault'],
  aircraft: ['record', 'job', 'procedure', 'trade', 'quantity', 'proof', 'fault'],
  record: ['job', 'procedure', 'proof', 'quantity', 'fault'],
  job: ['procedure', 'trade', 'quantity', 'fault'],
  procedure: ['trade', 'quantity', 'fault'],
  proof: ['fault'],
  trade: ['quantity', 'fault'],
  quantity: ['fault'],
  fault: [],
};

const pure = ['fault', 'quantity', 'trade', 'proof', 'procedure', 'job', 'record', 'aircraft', 'report'];

const imports = Object.entries(rooms).map(([room, below]) => ({
  name: `${room}-imports-downwards`,
  comment: `src/${room} may import ${below.join(', ') || 'nothing'}`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: { path: '^src/', pathNot: `^src/(${[room, ...below].join('|')})/` },
}));

module.exports = {
  forbidden: [
    ...imports,
    {
      name: 'cli-imports-commands',
      comment: 'src/cli.ts hands the world down to commands, and imports nothing else',
      severity: 'error',
      from: { path: '^src/cli\\.ts$' },
      to: { path: '^src/', pathNot: '^src/(commands|fault)/' },
    },
    {
      name: 'bench-is-loaded-lazily',
      comment: 'one command opens the bench, and reads it only then: the others must not wait for it',
      severity: 'error',
      from: { path: '^src/commands/', pathNot: '^src/commands/bench\\.ts$' },
      to: { path: '^src/bench/' },
    },
    {
      name: 'bench-is-not-loaded-at-once',
      severity: 'error',
      from: { path: '^src/commands/' },
      to: { path: '^src/bench/', dependencyTypesNot: ['dynamic-import', 'type-only'] },
    },
    {
      name: 'nothing-imports-cli',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^src/cli\\.ts$' },
    },
    {
      name: 'pure-rooms-have-no-node',
      comment: 'no disk, process or terminal in a pure room; proof/ alone hashes and verifies with node:crypto',
      severity: 'error',
      from: { path: `^src/(${pure.join('|')})/`, pathNot: '^src/proof/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'proof-has-only-crypto',
      severity: 'error',
      from: { path: '^src/proof/' },
      to: { dependencyTypes: ['core'], pathNot: '^(node:)?(crypto|buffer)$' },
    },
    {
      name: 'ink-and-react-in-bench-only',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/bench/' },
      to: { path: 'node_modules/(ink|react|ink-testing-library)/' },
    },
    {
      name: 'conf-in-store-only',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/store/' },
      to: { path: 'node_modules/conf/' },
    },
    {
      name: 'scripts-are-no-room',
      comment: 'src/scripts builds and checks the program; no room imports it, and it imports none of them',
      severity: 'error',
      from: { path: '^src/(?!scripts/)' },
      to: { path: '^src/scripts/' },
    },
    {
      name: 'scripts-import-no-room',
      severity: 'error',
      from: { path: '^src/scripts/' },
      to: { path: '^src/(?!scripts/)' },
    },
    {
      name: 'parts-are-facts',
      comment:
        'src/job/parts says what a step part is; where a job stands and what is done about it is built on that, never below it',
      severity: 'error',
      from: { path: '^src/job/parts/' },
      to: { path: '^src/job/(where|next|decide|acts|evolve|draft)(\\.ts$|/)', reachable: true },
    },
    { name: 'no-cycle', severity: 'error', from: { path: '^src/' }, to: { circular: true } },
    {
      name: 'no-tests-in-src',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^tests/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default', 'types'] },
  },
};
