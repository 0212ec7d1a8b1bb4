import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const script = fileURLToPath(new URL('../../tests/scripts/keel-scarf.yaml', import.meta.url));
const warm = fileURLToPath(new URL('warm.cjs', import.meta.url));

/** Milliseconds after which the warm-up is given up; it takes under two seconds on an idle machine. */
const limit = 60_000;

/** How the names of the new caches end, until all are there. */
const ending = 'cache.new';

/** Runs the program in a pseudo-terminal until it has drawn a frame, then asks it for its code caches. */
const warmUp = async (start, folder) => {
  const { spawn } = await import('@lydell/node-pty');
  const state = join(folder, 'state');
  const env = { ...process.env, HOME: folder, XDG_CONFIG_HOME: folder, XDG_CACHE_HOME: folder, TERM: 'xterm-256color' };
  delete env.CI;
  // A job to read, so that the code that reads it is in the cache as well.
  spawnSync(process.execPath, [start, 'rehearse', script, '--state', state], { env, cwd: folder, stdio: 'ignore' });
  const child = spawn(process.execPath, [warm, start, ending, state], {
    cols: 100,
    rows: 30,
    cwd: folder,
    env,
  });
  let said = '';
  await new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error(`nothing was drawn\n${said}`)), limit);
    child.onData((data) => {
      const drawn = !said.includes('\u001b[?2026l');
      said += data;
      // Two keys, so that the code that handles them is in the cache as well; then a moment for the last frame.
      if (drawn && said.includes('\u001b[?2026l')) {
        child.write('\u001b[B\u001b[A');
        setTimeout(() => process.kill(child.pid, 'SIGUSR2'), 200);
      }
    });
    child.onExit(() => {
      clearTimeout(timer);
      resolve();
    });
  }).finally(() => child.kill('SIGKILL'));
  return said;
};

/**
 * Writes V8's cache of the code that `status`, an entry and the bench's first frame run, one for each part of the program. It only saves
 * time. Where none can be made, the build says so, and the program works without it.
 */
export const makeCodeCaches = async (start, parts) => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-cache-'));
  const made = parts.map((part) => part.replace(/js$/, ending));
  try {
    const said = await warmUp(start, folder);
    if (!made.every((cache) => existsSync(cache))) throw new Error(said);
    for (const cache of made) renameSync(cache, cache.replace(/\.new$/, ''));
  } catch (error) {
    process.stderr.write(`No code cache; the program starts more slowly. ${error.message}\n`);
  } finally {
    for (const cache of made) rmSync(cache, { force: true });
    rmSync(folder, { recursive: true, force: true });
  }
};
