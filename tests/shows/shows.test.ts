import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

/* What `state/README.md` promises, shown by short scripts through the built program, as a user would. After `# shows` is what is printed. */

const scripts = readdirSync(import.meta.dirname).filter((name) => name.endsWith('.sh'));

const inFolder = (script: string): string => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-shows-'));
  try {
    const bin = join(folder, 'bin');
    mkdirSync(bin);
    const program = join(import.meta.dirname, '../../dist/dryfit.js');
    writeFileSync(join(bin, 'dryfit'), `#!/bin/sh\nexec '${process.execPath}' '${program}' "$@"\n`, { mode: 0o755 });
    const env = { PATH: `${bin}:${process.env['PATH'] ?? ''}`, HOME: folder, TZ: 'UTC', GIT_CONFIG_NOSYSTEM: '1' };
    const work = join(folder, 'work');
    mkdirSync(work);
    const ran = spawnSync('/bin/sh', ['-c', `exec 2>&1\n${script}`], { cwd: work, env, encoding: 'utf8' });
    return ran.stdout;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** Another process namespace, as a container has one, wants a machine that permits it. */
const hasNamespaces = spawnSync('unshare', ['--pid', '--fork', 'true']).status === 0;

describe('a script shows', () => {
  const onlyWithNamespaces = '4-two-containers.sh';
  it.for(scripts)('%s', (name, { skip }) => {
    if (name === onlyWithNamespaces && !hasNamespaces) skip('no second process namespace here');
    const [script = '', shows = ''] = readFileSync(join(import.meta.dirname, name), 'utf8').split('# shows\n');
    const wanted = shows
      .trimEnd()
      .split('\n')
      .map((line) => line.replace(/^# /, ''));
    let printed = inFolder(script);
    for (const line of wanted) {
      expect(printed).toContain(line);
      printed = printed.slice(printed.indexOf(line) + line.length);
    }
  });

  it('and there are some', () => {
    expect(scripts.length).toBeGreaterThan(4);
  });
});
