import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { realDisk } from '../../src/store/disk.ts';
import { keepSetting, readSettings, settingsPath } from '../../src/store/settings.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';

let config = '';
beforeEach(() => {
  config = join(mkdtempSync(join(tmpdir(), 'dryfit-test-')), 'dryfit');
});
afterEach(() => rmSync(join(config, '..'), { recursive: true, force: true }));
const settings = () => valueOf(readSettings(realDisk, config));

describe('settings', () => {
  it('are none where there is no file', () => expect(settings()).toEqual({}));

  it('are kept one at a time, removed, and read again', async () => {
    valueOf(await keepSetting(realDisk, config, 'person', 'first'));
    valueOf(await keepSetting(realDisk, config, 'theme', 'dark'));
    expect(settings()).toEqual({ person: 'first', theme: 'dark' });
    valueOf(await keepSetting(realDisk, config, 'person', undefined));
    expect(settings()).toEqual({ theme: 'dark' });
    expect((statSync(settingsPath(config)).mode & 0o777).toString(8)).toBe('600');
  });

  it('of another version are left in the file', async () => {
    valueOf(await keepSetting(realDisk, config, 'view', 'bench'));
    writeFileSync(settingsPath(config), '{"later":{"a":1},"view":"desk"}');
    expect(settings()).toEqual({ view: 'desk' });
    valueOf(await keepSetting(realDisk, config, 'theme', 'light'));
    expect(JSON.parse(readFileSync(settingsPath(config), 'utf8'))).toEqual({
      later: { a: 1 },
      theme: 'light',
      view: 'desk',
    });
  });

  it.each(['{', '[]', 'null', '{"theme":1}', '{"state":null}'])(
    '%s is reported, and never overwritten',
    async (text) => {
      valueOf(await keepSetting(realDisk, config, 'view', 'bench'));
      writeFileSync(settingsPath(config), text);
      expect(codeOf(readSettings(realDisk, config))).toBe('settings-malformed');
      expect(codeOf(await keepSetting(realDisk, config, 'view', 'desk'))).toBe('settings-malformed');
      expect(readFileSync(settingsPath(config), 'utf8')).toBe(text);
    },
  );

  it('give a fault where they cannot be written, and throw nothing', async () => {
    writeFileSync(config, 'a file where the folder belongs');
    expect((await keepSetting(realDisk, config, 'view', 'bench')).ok).toBe(false);
  });
});
