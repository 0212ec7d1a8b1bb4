import { spawnSync } from 'node:child_process';
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { install, root, run } from './install.mjs';

/** The files that the bundle is made of; the lock file stands for the packages. */
const sources = ['src', 'package.json', 'package-lock.json'];

const newest = (path) => {
  const found = statSync(path);
  if (!found.isDirectory()) return found.mtimeMs;
  return Math.max(found.mtimeMs, ...readdirSync(path).map((name) => newest(join(path, name))));
};

const bundle = join(root, 'dist/dryfit.js');

const isBuilt = () => {
  try {
    const built = statSync(bundle).mtimeMs;
    return sources.every((source) => newest(join(root, source)) <= built);
  } catch {
    return false;
  }
};

install();
if (!isBuilt()) {
  process.stderr.write('Building …\n');
  run(process.execPath, [join(root, 'src/scripts/build.mjs')]);
}
// Opens the bench on ./state. Without a terminal, dryfit prints the status and ends.
const { status, signal } = spawnSync(process.execPath, [bundle, ...process.argv.slice(2)], {
  cwd: root,
  stdio: 'inherit',
});
process.exit(signal ? 1 : (status ?? 1));
