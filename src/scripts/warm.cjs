// Runs the built program twice in one process, first a command and then the bench, and writes V8's code cache of what was run when it is
// told to (SIGUSR2). Started by code-cache.mjs in a pseudo-terminal.
const { readFileSync, writeFileSync } = require('node:fs');
const { dirname } = require('node:path');
const { Script } = require('node:vm');

const [start, filename, target, state] = process.argv.slice(2);
const script = new Script(readFileSync(filename, 'utf8'), { filename });

const run = (...args) => {
  process.argv = [process.execPath, start, ...args, '--state', state];
  const module = { exports: {} };
  script.runInThisContext()(module.exports, require, module, start, dirname(start));
};

process.once('SIGUSR2', () => {
  writeFileSync(target, script.createCachedData());
  process.exit(0);
});
// Once nothing is left to do for the command.
process.once('beforeExit', () => run());
run('status', '--json');
