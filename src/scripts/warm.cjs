// Runs the built program twice in one process, first a command and then the bench. At SIGUSR2 it writes V8's code cache of what has run.
// code-cache.mjs starts it in a pseudo-terminal.
const { readFileSync, writeFileSync } = require('node:fs');
const { dirname } = require('node:path');
const { Script } = require('node:vm');

const [start, filename, target, state] = process.argv.slice(2);
const script = new Script(readFileSync(filename, 'latin1'), { filename });

const run = (...args) => {
  process.argv = [process.execPath, start, ...args, '--state', state];
  const module = { exports: {} };
  script.runInThisContext()(module.exports, require, module, start, dirname(start));
};

process.once('SIGUSR2', () => {
  writeFileSync(target, script.createCachedData());
  process.exit(0);
});
// The command has finished when nothing is left to do.
process.once('beforeExit', () => run());
run('status', '--json');
