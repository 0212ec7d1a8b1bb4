import { dirname, resolve } from 'node:path';
import { asUsage, err, usage, type Outcome } from '../fault/fault.ts';
import { printMessage } from '../procedure/message.ts';
import { readYamlBytes } from '../procedure/yaml.ts';
import { largestFile } from '../procedure/yaml/bytes.ts';
import { readFile } from '../store/read-file.ts';
import { withPaths } from '../workshop/attached-files.ts';
import { rehearseScript, type Rehearsed, type Stage } from '../workshop/rehearsal/rehearsal.ts';
import { readScript, type Script } from '../workshop/rehearsal/script.ts';
import { openStage } from '../workshop/rehearsal/stage.ts';
import { fromHere } from './folders.ts';
import { doneLine } from './lines.ts';
import { failed } from './fail.ts';
import { tellNotices } from './open.ts';
import { configurationOf, type Configuration } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

/** Reads the script. Its faults name the path as it was typed; further YAML errors are printed at once, one a line. */
const scriptOf = (call: Call, { place }: Configuration, typed: string): Outcome<Script> => {
  const path = fromHere(call.host.env, typed);
  const bytes = asUsage(readFile(place.disk, path, { where: typed, limit: largestFile, links: 'follow' }));
  if (!bytes.ok) return bytes;
  const { tree, messages } = readYamlBytes(bytes.value, typed);
  const [first, ...others] = messages.filter(({ level }) => level === 'error');
  if (first !== undefined) {
    for (const message of others) call.print.note(printMessage(message));
    return err(usage(first.code, first.what, first.todo, `${typed}:${first.line}:${first.column}`));
  }
  return tree === undefined
    ? err(usage('script-unreadable', 'this is no script', 'begin it with script: and a title', `${typed}:1:1`))
    : readScript(typed, tree);
};

interface Count {
  taken: number;
  refused: number;
  records: string[];
}

const tell = (call: Call, count: Count, rehearsed: Rehearsed): void => {
  const { entry } = rehearsed;
  if ('refused' in rehearsed) {
    count.refused += 1;
    const { code, what } = rehearsed.refused;
    if (call.flag('json')) call.print.jsonLine({ line: entry.place.line, refused: { code, what } });
    return;
  }
  const { done } = rehearsed;
  count.taken += 1;
  if (done.record !== undefined) count.records.push(done.record);
  if (call.flag('json')) call.print.jsonLine({ line: entry.place.line, ...done });
  else call.print.lines(doneLine(done));
};

const perform = (call: Call, script: Script, stage: Stage, folder: string): number => {
  const count: Count = { taken: 0, refused: 0, records: [] };
  const as = call.text('as');
  const done = rehearseScript(
    script,
    { ...stage, submit: (act) => stage.submit({ ...act, data: withPaths(act.verb, act.data, folder) }) },
    (rehearsed) => tell(call, count, rehearsed),
    as === undefined ? {} : { as },
  );
  if (!done.ok) return failed(call, done.fault);
  const records = count.records.map((record) => `; ${record}`).join('');
  if (!call.flag('json'))
    call.print.lines(`${script.title}: ${count.taken} taken, ${count.refused} refused as expected${records}`);
  return 0;
};

const run = (call: Call): number => {
  const [typed] = call.words;
  if (typed === undefined || call.words.length > 1)
    return failed(call, usage('file-missing', 'one script is wanted', 'write: dryfit rehearse SCRIPT --state DIR'));
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const script = scriptOf(call, configuration.value, typed);
  if (!script.ok) return failed(call, script.fault);
  const folder = dirname(fromHere(call.host.env, typed));
  const own = call.text('procedures') === undefined ? script.value.procedures : undefined;
  const { place } = configuration.value;
  const stage = openStage(
    { ...place, procedures: own === undefined ? place.procedures : resolve(folder, own) },
    script.value,
  );
  if (!stage.ok) return failed(call, stage.fault);
  try {
    tellNotices(call, stage.value.workshop);
    return perform(call, script.value, stage.value, folder);
  } finally {
    stage.value.workshop.close();
  }
};

export const rehearseCommand: CommandSpec = {
  name: 'rehearse',
  about: 'carries out a scripted session',
  usage: ['dryfit rehearse SCRIPT --state DIR'],
  options: {},
  more: [
    'Writes only to a new state, or to one that a rehearsal began; everything in it says that it is scripted.',
    'Stops at the first difference from what the script expects: exit 1, with file:line:column.',
  ],
  run,
};
