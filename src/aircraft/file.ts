import { wrong, type Fault } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { allPowers, type Power } from '../job/surroundings.ts';
import { shown } from '../procedure/message.ts';
import { mapEntryAt, kindOf, type MapNode, type TextNode, type Tree } from '../procedure/tree.ts';
import { readYaml } from '../procedure/yaml.ts';
import { parseDay, parseSpan } from '../quantity/time.ts';

/** `build.yaml`, read: the aircraft, its people, tools, stock and gates, and the work done before dryfit was used. */
export interface BuildFile {
  readonly aircraft: Readonly<Record<string, string>>;
  readonly gates: readonly string[];
  readonly people: readonly PersonLine[];
  readonly tools: readonly ToolLine[];
  readonly stock: readonly StockLine[];
  readonly beforeDryfit: readonly BeforeLine[];
}

export interface PersonLine {
  readonly person: string;
  readonly name?: string;
  readonly powers: readonly Power[];
}

export interface ToolLine {
  readonly tool: string;
  readonly kind: string;
  readonly title?: string;
  readonly uncertainty?: string;
  readonly resolution?: string;
  readonly calibration?: string;
  readonly 'in-date-until'?: string;
}

export interface StockLine {
  readonly material?: string;
  readonly part?: string;
  readonly number?: string;
  readonly made?: string;
  readonly 'use-by'?: string;
  readonly opened?: string;
  /** How long the material keeps once opened, as written: `6 months`. */
  readonly 'once-opened'?: string;
  readonly quantity?: string;
  readonly where?: string;
  readonly serial?: string;
  /** Why the material is in quarantine. Nobody may use it meanwhile. */
  readonly quarantine?: string;
  /** Why the quarantine was ended. */
  readonly 'quarantine-ended'?: string;
  /** Extensions of the use-by date, oldest first; the last one counts. */
  readonly extended: readonly Extension[];
}

/** A use-by date that was extended on evidence: to which day, by whom, and the evidence. */
export interface Extension {
  readonly to: string;
  readonly because: string;
  /** Evidence file among the attachments, as `SHA256.EXT`. */
  readonly evidence?: string;
  readonly by?: string;
  readonly on?: string;
}

export interface BeforeLine {
  readonly procedure?: string;
  readonly feature?: string;
  readonly each?: string;
  readonly shown: string;
  readonly date: string;
}

export const emptyFile: BuildFile = { aircraft: {}, gates: [], people: [], tools: [], stock: [], beforeDryfit: [] };

interface Reading {
  readonly file: string;
  readonly faults: Fault[];
}

/** At most this many faults are reported for one file. Whoever fixes those sees the rest on the next run. */
const mostFaults = 100;

/** Records one fault and its place, unless there are too many already. @param at `line` and `column` count from 1. */
const say = (
  reading: Reading,
  at: Tree | { line: number; column: number },
  code: string,
  what: string,
  todo: string,
): void => {
  if (reading.faults.length < mostFaults)
    reading.faults.push(wrong(code, what, todo, `${reading.file}:${at.line}:${at.column}`));
};

const listUnder = (reading: Reading, tree: Tree, key: string): readonly Tree[] => {
  const value = mapEntryAt(tree, key)?.value;
  if (value === undefined || value.kind === 'hole') return [];
  if (value.kind === 'list') return value.items;
  say(reading, value, 'wrong-type', `${key} holds ${kindOf(value)}`, 'write a list');
  return [];
};

const checkKeys = (reading: Reading, map: MapNode, known: readonly string[]): void => {
  for (const { key, at } of map.entries) {
    if (known.includes(key)) continue;
    const near = suggest(key, known);
    say(
      reading,
      at,
      'unknown-key',
      `the key ${shown(key)} is not known here`,
      near ? `write ${near} instead` : `known: ${known.join(', ')}`,
    );
  }
};

const mapItem = (reading: Reading, tree: Tree, what: string): MapNode | undefined => {
  if (tree.kind === 'map') return tree;
  if (tree.kind !== 'hole')
    say(reading, tree, 'wrong-type', `${what} is ${kindOf(tree)}`, `write keys, such as { ${what}: … }`);
  return undefined;
};

const textUnder = (reading: Reading, map: Tree, key: string): TextNode | undefined => {
  const value = mapEntryAt(map, key)?.value;
  if (value === undefined || value.kind === 'hole') return undefined;
  if (value.kind === 'text') return value;
  say(reading, value, 'wrong-type', `${key} holds ${kindOf(value)}`, 'write text');
  return undefined;
};

const must = (reading: Reading, map: MapNode, key: string, of: string): string => {
  const node = textUnder(reading, map, key);
  if (!node && !mapEntryAt(map, key)) say(reading, map, 'missing-key', `${of} has no ${key}`, `add ${key}`);
  return node?.text ?? '';
};

const checkDay = (reading: Reading, map: MapNode, key: string): void => {
  const node = textUnder(reading, map, key);
  if (node && !parseDay(node.text).ok)
    say(reading, node, 'day-unreadable', `${key} ${shown(node.text)} is not a day`, 'write it as 2027-01-31');
};

/** The texts of one list item under the known keys. Every unknown key, and every value that is not a text, is reported as a fault. */
const lineOf = (
  reading: Reading,
  map: MapNode,
  known: readonly string[],
  days: readonly string[],
): Record<string, string> => {
  checkKeys(reading, map, known);
  for (const day of days) checkDay(reading, map, day);
  return Object.fromEntries(
    known.flatMap((key) => {
      const text = textUnder(reading, map, key)?.text;
      return text === undefined ? [] : [[key, text]];
    }),
  );
};

const personLine = (reading: Reading, tree: Tree): readonly PersonLine[] => {
  const map = mapItem(reading, tree, 'person');
  if (!map) return [];
  checkKeys(reading, map, ['person', 'name', 'powers']);
  const person = must(reading, map, 'person', 'a person');
  if (person !== '' && !/^[a-z0-9-]+$/.test(person))
    say(reading, map, 'person-id', `${shown(person)} is no person's id`, 'use a to z, 0 to 9 and -');
  const given: Power[] = [];
  for (const node of listUnder(reading, map, 'powers')) {
    const power = node.kind === 'text' ? allPowers.find((one) => one === node.text) : undefined;
    if (power) given.push(power);
    else if (node.kind !== 'hole')
      say(
        reading,
        node,
        'power-unknown',
        `${node.kind === 'text' ? shown(node.text) : kindOf(node)} is no power`,
        `powers: ${allPowers.join(', ')}`,
      );
  }
  const name = textUnder(reading, map, 'name')?.text;
  return [{ person, powers: given, ...(name === undefined ? {} : { name }) }];
};

const toolKeys = ['tool', 'kind', 'title', 'uncertainty', 'resolution', 'calibration', 'in-date-until'];
const stockKeys = [
  'material',
  'part',
  'number',
  'made',
  'use-by',
  'opened',
  'once-opened',
  'quantity',
  'where',
  'serial',
  'quarantine',
  'quarantine-ended',
];
const extensionKeys = ['to', 'because', 'evidence', 'by', 'on'];
const beforeKeys = ['procedure', 'feature', 'each', 'shown', 'date'];

const toolLine = (reading: Reading, tree: Tree): readonly ToolLine[] => {
  const map = mapItem(reading, tree, 'tool');
  if (!map) return [];
  const line = lineOf(reading, map, toolKeys, ['in-date-until']);
  return [{ ...line, tool: must(reading, map, 'tool', 'a tool'), kind: must(reading, map, 'kind', 'a tool') }];
};

const extensionLine = (reading: Reading, tree: Tree): readonly Extension[] => {
  const map = mapItem(reading, tree, 'to');
  if (!map) return [];
  const line = lineOf(reading, map, extensionKeys, ['to', 'on']);
  const evidence = line['evidence'];
  if (evidence !== undefined && !/^[0-9a-f]{64}\.[a-z0-9]{1,8}$/.test(evidence))
    say(reading, map, 'evidence-name', `${shown(evidence)} names no attachment`, 'use: dryfit stock extend');
  return [
    {
      ...line,
      to: must(reading, map, 'to', 'an extension'),
      because: must(reading, map, 'because', 'an extension'),
    },
  ];
};

const stockLine = (reading: Reading, tree: Tree): readonly StockLine[] => {
  const map = mapItem(reading, tree, 'material');
  if (!map) return [];
  const plain: MapNode = { ...map, entries: map.entries.filter(({ key }) => key !== 'extended') };
  const line = lineOf(reading, plain, stockKeys, ['made', 'use-by', 'opened']);
  const keeps = line['once-opened'];
  if (keeps !== undefined && !parseSpan(keeps).ok)
    say(reading, map, 'span-unreadable', `once-opened ${shown(keeps)} is no time span`, 'write it as 6 months');
  if (!line['material'] && !line['part'])
    say(reading, map, 'missing-key', 'neither a material nor a part is named', 'add material or part');
  return [{ ...line, extended: listUnder(reading, map, 'extended').flatMap((node) => extensionLine(reading, node)) }];
};

const beforeLine = (reading: Reading, tree: Tree): readonly BeforeLine[] => {
  const map = mapItem(reading, tree, 'procedure');
  if (!map) return [];
  const line = lineOf(reading, map, beforeKeys, ['date']);
  if (!line['procedure'] && !line['feature'])
    say(reading, map, 'missing-key', 'neither a procedure nor a feature is named', 'add procedure or feature');
  return [
    {
      ...line,
      shown: must(reading, map, 'shown', 'what was done before'),
      date: must(reading, map, 'date', 'what was done before'),
    },
  ];
};

const aircraftOf = (reading: Reading, tree: Tree): Readonly<Record<string, string>> => {
  const value = mapEntryAt(tree, 'aircraft')?.value;
  if (value?.kind === 'text') return { aircraft: value.text };
  if (value?.kind !== 'map') return {};
  return lineOf(
    reading,
    value,
    value.entries.map((entry) => entry.key),
    [],
  );
};

const twice = (reading: Reading, tree: Tree, what: string, ids: readonly string[]): void => {
  const seen = new Set<string>();
  const again = ids.find((id) => id !== '' && (seen.has(id) || !seen.add(id)));
  if (again !== undefined) say(reading, tree, 'duplicate-id', `the ${what} ${shown(again)} stands twice`, 'keep one');
};

/** Upper bounds far above what any build has. They keep every decision fast, whatever the file holds. */
const most = { gates: 200, people: 500, tools: 5000, stock: 20_000, 'before-dryfit': 5000 } as const;

const listsIn = (reading: Reading, tree: Tree): void => {
  for (const [key, limit] of Object.entries(most)) {
    const value = mapEntryAt(tree, key)?.value;
    if (value?.kind === 'list' && value.items.length > limit)
      say(reading, value, 'too-many', `${key} has ${value.items.length} lines`, `keep it to ${limit}`);
  }
};

const topKeys = ['aircraft', 'gates', 'people', 'tools', 'stock', 'before-dryfit'];

/**
 * Reads a build from YAML with positions: `build.yaml`, or the `build:` of a script. All faults are reported together, and none is thrown.
 */
export const buildFileOf = (
  tree: Tree,
  file: string,
): { readonly build?: BuildFile; readonly faults: readonly Fault[] } => {
  const reading: Reading = { file, faults: [] };
  if (tree.kind !== 'map') {
    say(reading, tree, 'wrong-type', `the build is ${kindOf(tree)}`, `write keys: ${topKeys.join(', ')}`);
    return { faults: reading.faults };
  }
  checkKeys(reading, tree, topKeys);
  listsIn(reading, tree);
  if (reading.faults.length > 0) return { faults: reading.faults };
  const build: BuildFile = {
    aircraft: aircraftOf(reading, tree),
    gates: listUnder(reading, tree, 'gates').flatMap((node) => (node.kind === 'text' ? [node.text] : [])),
    people: listUnder(reading, tree, 'people').flatMap((node) => personLine(reading, node)),
    tools: listUnder(reading, tree, 'tools').flatMap((node) => toolLine(reading, node)),
    stock: listUnder(reading, tree, 'stock').flatMap((node) => stockLine(reading, node)),
    beforeDryfit: listUnder(reading, tree, 'before-dryfit').flatMap((node) => beforeLine(reading, node)),
  };
  twice(reading, tree, 'gate', build.gates);
  twice(
    reading,
    tree,
    'person',
    build.people.map((line) => line.person),
  );
  twice(
    reading,
    tree,
    'tool',
    build.tools.map((line) => line.tool),
  );
  return reading.faults.length === 0 ? { build, faults: [] } : { faults: reading.faults };
};

/** Reads `build.yaml` from its text. An empty file gives a build about which nothing is said yet. */
export const readBuildFile = (
  text: string,
  file: string,
): { readonly build?: BuildFile; readonly faults: readonly Fault[] } => {
  const read = readYaml(text, file);
  const faults = read.messages
    .filter((message) => message.level === 'error')
    .map((message) => wrong(message.code, message.what, message.todo, `${file}:${message.line}:${message.column}`));
  if (read.messages.some((message) => message.code === 'empty-file')) return { build: emptyFile, faults: [] };
  if (!read.tree || faults.length > 0) return { faults };
  return buildFileOf(read.tree, file);
};
