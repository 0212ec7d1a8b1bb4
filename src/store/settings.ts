import { join } from 'node:path';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { isJsonObject, type Json } from '../proof/canonical.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { readText } from './read-file.ts';

/** What a person may set for themselves; each is text, and what it may be is for the one who uses it to say. */
const settingNames = ['person', 'state', 'procedures', 'theme', 'view'] as const;
export type SettingName = (typeof settingNames)[number];
export type Settings = Readonly<Partial<Record<SettingName, string>>>;

const fileName = 'settings';
/** Where the settings lie, for whoever wants to edit them by hand. */
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
 * A person's settings; none where there is no file. What is not known here is left alone: another version may know it.
 * Read without the library that writes them, whose loading alone takes longer than a whole `status` may.
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

/** Keeps a setting, or forgets it where `value` is absent; the others stay. Codes `settings-malformed`, `disk-…`. */
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
