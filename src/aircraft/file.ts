import { wrong, type Fault } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { allPowers, type Power } from '../job/surroundings.ts';
import { shown } from '../procedure/message.ts';
import { mapEntryAt, kindOf, type MapNode, type Tree } from '../procedure/tree.ts';
import { readYaml } from '../procedure/yaml.ts';
import { parseSpan } from '../quantity/time.ts';
import {
  checkKeys,
  textLineOf,
  listUnder,
  mapItem,
  requiredText,
  sayAt,
  textsUnder,
  textUnder,
  sayTwice,
  type FileReading,
} from './file-reading.ts';

/** `build.yaml`, read: the aircraft, its people, tools, stock and gates, and the work done before dryfit was used. */
export interface BuildFile {
  readonly aircraft: Readonly<Record<string, string>>;
  readonly gates: readonly string[];
  readonly people: readonly PersonLine[];
  readonly tools: readonly ToolLine[];
  readonly stock: readonly StockLine[];
  readonly beforeDryfit: readonly BeforeLine[];
  /** Which procedures the build carries out; absent where the file has no `plan`, and then it is all that the procedures folder holds. */
  readonly plan?: readonly PlanLine[];
  /** Named places of the workshop, such as `hangar`. */
  readonly places: readonly string[];
  /** What is counted after the build, such as `engine hours`. */
  readonly counters: readonly string[];
}

/** A procedure that this build will carry out. */
export interface PlanLine {
  readonly procedure: string;
  /** The sides to be carried out; absent: those of the procedure itself. */
  readonly each?: readonly string[];
  /** The gate before which it is complete; absent: the last gate. */
  readonly before?: string;
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

export const emptyFile: BuildFile = {
  aircraft: {},
  gates: [],
  people: [],
  tools: [],
  stock: [],
  beforeDryfit: [],
  places: [],
  counters: [],
};

const personLine = (reading: FileReading, tree: Tree): readonly PersonLine[] => {
  const map = mapItem(reading, tree, 'person');
  if (!map) return [];
  checkKeys(reading, map, ['person', 'name', 'powers']);
  const person = requiredText(reading, map, 'person', 'a person');
  if (person !== '' && !/^[a-z0-9-]+$/.test(person))
    sayAt(reading, map, 'person-id', `${shown(person)} is no person's id`, 'use a to z, 0 to 9 and -');
  const given: Power[] = [];
  for (const node of listUnder(reading, map, 'powers')) {
    const power = node.kind === 'text' ? allPowers.find((one) => one === node.text) : undefined;
    if (power) given.push(power);
    else if (node.kind !== 'hole')
      sayAt(
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

const toolLine = (reading: FileReading, tree: Tree): readonly ToolLine[] => {
  const map = mapItem(reading, tree, 'tool');
  if (!map) return [];
  const line = textLineOf(reading, map, toolKeys, ['in-date-until']);
  return [
    { ...line, tool: requiredText(reading, map, 'tool', 'a tool'), kind: requiredText(reading, map, 'kind', 'a tool') },
  ];
};

const extensionLine = (reading: FileReading, tree: Tree): readonly Extension[] => {
  const map = mapItem(reading, tree, 'to');
  if (!map) return [];
  const line = textLineOf(reading, map, extensionKeys, ['to', 'on']);
  const evidence = line['evidence'];
  if (evidence !== undefined && !/^[0-9a-f]{64}\.[a-z0-9]{1,8}$/.test(evidence))
    sayAt(reading, map, 'evidence-name', `${shown(evidence)} names no attachment`, 'use: dryfit stock extend');
  return [
    {
      ...line,
      to: requiredText(reading, map, 'to', 'an extension'),
      because: requiredText(reading, map, 'because', 'an extension'),
    },
  ];
};

const stockLine = (reading: FileReading, tree: Tree): readonly StockLine[] => {
  const map = mapItem(reading, tree, 'material');
  if (!map) return [];
  const plain: MapNode = { ...map, entries: map.entries.filter(({ key }) => key !== 'extended') };
  const line = textLineOf(reading, plain, stockKeys, ['made', 'use-by', 'opened']);
  const keeps = line['once-opened'];
  if (keeps !== undefined && !parseSpan(keeps).ok)
    sayAt(reading, map, 'span-unreadable', `once-opened ${shown(keeps)} is no time span`, 'write it as 6 months');
  if (!line['material'] && !line['part'])
    sayAt(reading, map, 'missing-key', 'neither a material nor a part is named', 'add material or part');
  return [{ ...line, extended: listUnder(reading, map, 'extended').flatMap((node) => extensionLine(reading, node)) }];
};

const beforeLine = (reading: FileReading, tree: Tree): readonly BeforeLine[] => {
  const map = mapItem(reading, tree, 'procedure');
  if (!map) return [];
  const line = textLineOf(reading, map, beforeKeys, ['date']);
  if (!line['procedure'] && !line['feature'])
    sayAt(reading, map, 'missing-key', 'neither a procedure nor a feature is named', 'add procedure or feature');
  return [
    {
      ...line,
      shown: requiredText(reading, map, 'shown', 'what was done before'),
      date: requiredText(reading, map, 'date', 'what was done before'),
    },
  ];
};

const planKeys = ['procedure', 'each', 'before'];

const planLine = (reading: FileReading, tree: Tree, gates: readonly string[]): readonly PlanLine[] => {
  const map = mapItem(reading, tree, 'procedure');
  if (!map) return [];
  checkKeys(reading, map, planKeys);
  const before = textUnder(reading, map, 'before');
  if (before && !gates.includes(before.text)) {
    const near = suggest(before.text, gates);
    const todo = near ? `write ${near} instead` : `gates: ${gates.join(', ') || 'none; list them under gates'}`;
    sayAt(reading, before, 'gate-unknown', `the build has no gate ${shown(before.text)}`, todo);
  }
  const each = textsUnder(reading, map, 'each');
  return [
    {
      procedure: requiredText(reading, map, 'procedure', 'a line of the plan'),
      ...(each.length === 0 ? {} : { each }),
      ...(before ? { before: before.text } : {}),
    },
  ];
};

const aircraftOf = (reading: FileReading, tree: Tree): Readonly<Record<string, string>> => {
  const value = mapEntryAt(tree, 'aircraft')?.value;
  if (value?.kind === 'text') return { aircraft: value.text };
  if (value?.kind !== 'map') return {};
  return textLineOf(
    reading,
    value,
    value.entries.map((entry) => entry.key),
    [],
  );
};

/** Upper bounds far above what any build has. They keep every decision fast, whatever the file holds. */
const most = {
  gates: 200,
  people: 500,
  tools: 5000,
  stock: 20_000,
  'before-dryfit': 5000,
  plan: 2000,
  places: 200,
  counters: 200,
} as const;

const listsIn = (reading: FileReading, tree: Tree): void => {
  for (const [key, limit] of Object.entries(most)) {
    const value = mapEntryAt(tree, key)?.value;
    if (value?.kind === 'list' && value.items.length > limit)
      sayAt(reading, value, 'too-many', `${key} has ${value.items.length} lines`, `keep it to ${limit}`);
  }
};

const topKeys = ['aircraft', 'gates', 'plan', 'places', 'counters', 'people', 'tools', 'stock', 'before-dryfit'];

/**
 * Reads a build from YAML with positions: `build.yaml`, or the `build:` of a script. All faults are reported together, and none is thrown.
 */
export const buildFileOf = (
  tree: Tree,
  file: string,
): { readonly build?: BuildFile; readonly faults: readonly Fault[] } => {
  const reading: FileReading = { file, faults: [] };
  if (tree.kind !== 'map') {
    sayAt(reading, tree, 'wrong-type', `the build is ${kindOf(tree)}`, `write keys: ${topKeys.join(', ')}`);
    return { faults: reading.faults };
  }
  checkKeys(reading, tree, topKeys);
  listsIn(reading, tree);
  if (reading.faults.length > 0) return { faults: reading.faults };
  const gates = textsUnder(reading, tree, 'gates');
  const build: BuildFile = {
    aircraft: aircraftOf(reading, tree),
    gates,
    places: textsUnder(reading, tree, 'places'),
    counters: textsUnder(reading, tree, 'counters'),
    people: listUnder(reading, tree, 'people').flatMap((node) => personLine(reading, node)),
    tools: listUnder(reading, tree, 'tools').flatMap((node) => toolLine(reading, node)),
    stock: listUnder(reading, tree, 'stock').flatMap((node) => stockLine(reading, node)),
    beforeDryfit: listUnder(reading, tree, 'before-dryfit').flatMap((node) => beforeLine(reading, node)),
    ...(mapEntryAt(tree, 'plan') === undefined
      ? {}
      : { plan: listUnder(reading, tree, 'plan').flatMap((node) => planLine(reading, node, gates)) }),
  };
  sayTwice(reading, tree, 'gate', build.gates);
  sayTwice(
    reading,
    tree,
    'person',
    build.people.map((line) => line.person),
  );
  sayTwice(
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
