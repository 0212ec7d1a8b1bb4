import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

const changed = (path) => {
  try {
    return statSync(join(root, path)).mtimeMs;
  } catch {
    return undefined;
  }
};

/** npm writes this file last. Where it is missing or older than the lock file, the installed packages are not those of the lock file. */
const isInstalled = () => {
  const installed = changed('node_modules/.package-lock.json');
  const wanted = changed('package-lock.json');
  return installed !== undefined && (wanted === undefined || installed >= wanted);
};

/** Runs a program, and ends with its exit code if it fails. */
export const run = (program, args) => {
  // npm passes its own path to the scripts that it starts. Otherwise the first npm on the path is used.
  const npm = process.env.npm_execpath;
  const [file, first] = program === 'npm' && npm ? [process.execPath, [npm]] : [program, []];
  const { status, error } = spawnSync(file, [...first, ...args], {
    cwd: root,
    stdio: ['inherit', process.stderr, 'inherit'],
    shell: process.platform === 'win32' && first.length === 0,
  });
  if (error)
    process.stderr.write(`${program} could not be started: ${error.message}; check that Node and npm are installed\n`);
  if (status !== 0) process.exit(status ?? 1);
};

/** Installs missing packages, in the versions of the lock file. */
export const install = () => {
  if (isInstalled()) return;
  process.stderr.write('Installing what is missing …\n');
  run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error']);
};

if (process.argv[1] === fileURLToPath(import.meta.url)) install();
