import { join } from 'node:path';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { isJsonObject, type Json } from '../proof/canonical.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { readText } from './read-file.ts';

/** What a person may set for themselves. Each value is text; whoever uses it checks it. */
const settingNames = ['person', 'state', 'procedures', 'theme', 'view'] as const;
export type SettingName = (typeof settingNames)[number];
export type Settings = Readonly<Partial<Record<SettingName, string>>>;

const fileName = 'settings';
/** The settings file, for people who want to edit it by hand. */
export const settingsPath = (config: string): string => join(config, `${fileName}.json`);

const malformed = (path: string, what: string): Fault =>
  usage('settings-malformed', what, 'Put it right by hand, or delete the file: the settings then start anew', path);

const parse = (text: string): Json | undefined => {
  try {
    return JSON.parse(text) as Json;
  } catch {
    return undefined;
  }
};

/**
 * A person's settings; none where there is no file. Unknown names are ignored, because another version may know them. This does
 * not use the library that writes the settings, because loading it takes longer than a whole `status` may.
 * Codes `settings-malformed`, those of `readText`.
 */
export const readSettings = (disk: Disk, config: string): Outcome<Settings> => {
  const path = settingsPath(config);
  const text = readText(disk, path, { where: path, limit: 64 * 1024, links: 'follow' });
  if (!text.ok) return text.fault.code === 'file-missing' ? ok({}) : text;
  const json = parse(text.value);
  if (json === undefined || !isJsonObject(json)) return err(malformed(path, 'the settings are not a JSON object'));
  const known = settingNames.filter((name) => Object.hasOwn(json, name));
  const odd = known.find((name) => typeof json[name] !== 'string');
  if (odd !== undefined) return err(malformed(path, `the setting ${odd} is not text`));
  return ok(Object.fromEntries(known.map((name) => [name, json[name]])) as Settings);
};

/** Keeps a setting, or removes it where `value` is absent. Codes `settings-malformed`, `disk-…`. */
export const keepSetting = async (
  disk: Disk,
  config: string,
  name: SettingName,
  value: string | undefined,
): Promise<Outcome<void>> => {
  const before = readSettings(disk, config);
  if (!before.ok) return before;
  const { default: Conf } = await import('conf');
  return onDisk(settingsPath(config), () => {
    const conf = new Conf<Record<string, unknown>>({ cwd: config, configName: fileName, configFileMode: 0o600 });
    if (value === undefined) conf.delete(name);
    else conf.set(name, value);
  });
};
