// Runs the built program several times in one process: commands, and then the bench. At SIGUSR2 it writes V8's code caches of what has
// run, one for each part of the program. code-cache.mjs starts it in a pseudo-terminal.
const { writeFileSync } = require('node:fs');
const { setFlagsFromString } = require('node:v8');
const vm = require('node:vm');

const [start, ending, state] = process.argv.slice(2);
const scripts = [];

/** Compiles without a cache, so that all that is in the new one has been run here. */
vm.Script = class extends vm.Script {
  constructor(text, { filename }) {
    super(text, { filename });
    scripts.push({ script: this, filename });
  }
};

// V8 drops the code of functions that have not run for a while. A cache made under another flag would be refused, so it is set back.
setFlagsFromString('--no-flush-bytecode');
process.once('SIGUSR2', () => {
  setFlagsFromString('--flush-bytecode');
  for (const { script, filename } of scripts) writeFileSync(filename.replace(/js$/, ending), script.createCachedData());
  process.exit(0);
});

const calls = [
  ['status', '--json'],
  ['do', 'keel-scarf-bond', 'remark', 'text=ready', '--json'],
  ['status', '--json'],
  ['status', '--json'],
  [],
];

/** Runs the next call. It is asked for when nothing is left to do, so the one before has finished. */
const next = () => {
  const call = calls.shift();
  if (call === undefined) return;
  process.argv = [process.execPath, start, ...call, '--state', state];
  delete require.cache[start];
  if (calls.length > 0) process.once('beforeExit', () => setImmediate(next));
  require(start);
};
next();
