import { suggest } from '../fault/nearest.ts';
import { listed, shown } from './message.ts';
import type { Reading } from './model.ts';
import { type Subject, report } from './subject.ts';
import { isId, kebab } from './schema/leaves.ts';
import { itemsOf, nodeAt, type Path, type Tree, valueOf } from './tree.ts';

/** What an id names, in which step, and where among everything that the file names. */
export interface Named {
  readonly id: string;
  /** Index of the step, from 0. */
  readonly step: number;
  /** Its place in its namespace, from 0, in the order of the file; a step's readings come before its results. */
  readonly rank: number;
  readonly kind: 'step' | 'reading' | 'result' | 'loose item' | 'photo' | 'chart';
  /** The reading itself, where it is one and is sound. */
  readonly reading?: Reading;
}

/** One namespace of a file. */
export interface Namespace {
  readonly named: ReadonlyMap<string, Named>;
  /** Faulty ids as they should have been written. Whoever names a thing by one of these makes no second fault. */
  readonly meant: ReadonlySet<string>;
  /** Whether an id in it cannot be read. Then an id that is not found may be that one, and there is no message. */
  readonly unsure: boolean;
}

export interface Names {
  readonly steps: Namespace;
  /** Readings and results. */
  readonly values: Namespace;
  readonly loose: Namespace;
  readonly photos: Namespace;
  readonly charts: Namespace;
}

interface Found {
  readonly node: Tree;
  readonly path: Path;
  readonly step: number;
  readonly kind: Named['kind'];
  readonly key: string;
}

const listIn = (tree: Tree, path: Path, step: number, list: string, key: string, kind: Named['kind']): Found[] =>
  itemsOf(tree, list).map((node, index) => ({ node, path: [...path, list, index], step, kind, key }));

/** Every place of a namespace, in order. */
const placesOf = (subject: Subject, from: readonly (readonly [string, string, Named['kind']])[]): Found[] =>
  itemsOf(subject.tree, 'steps').flatMap((node, step) =>
    from.flatMap(([list, key, kind]) => listIn(node, ['steps', step], step, list, key, kind)),
  );

const gather = (subject: Subject, places: readonly Found[], readings: ReadonlyMap<string, Reading>): Namespace => {
  const named = new Map<string, Named>();
  const meant = new Set<string>();
  let unsure = false;
  for (const [rank, { node, path, step, kind, key }] of places.entries()) {
    const at = valueOf(node, key);
    if (at?.kind !== 'text') {
      unsure = true;
      continue;
    }
    if (!isId(at.text)) meant.add(kebab(at.text));
    const id = at.text;
    const first = named.get(id);
    const reading = readings.get(id);
    if (first === undefined) {
      named.set(id, { id, step, rank, kind, ...(reading === undefined ? {} : { reading }) });
    } else {
      const line = nodeAt(subject.tree, [...places[first.rank]!.path, places[first.rank]!.key])!.line;
      const what = `${shown(id)} is already the id of a ${first.kind} on line ${line}`;
      report(subject, [...path, key], 'duplicate-id', what, 'give one of them another id');
    }
  }
  return { named, meant, unsure };
};

/** Whether a list cannot be read, so that ids may be hidden in it. */
const hidden = (subject: Subject, lists: readonly string[]): boolean =>
  itemsOf(subject.tree, 'steps').some(
    (step) =>
      step.kind !== 'map' ||
      lists.some((list) => {
        const value = valueOf(step, list);
        return value !== undefined && value.kind !== 'list';
      }),
  );

const sure = (namespace: Namespace, isHidden: boolean): Namespace =>
  isHidden ? { ...namespace, unsure: true } : namespace;

/** Everything a file names, taken from its tree, so that a fault beside an id does not hide the id. Reports ids that are there twice. */
export const gatherNames = (subject: Subject): Names => {
  const readings = new Map(subject.steps.flatMap((step) => step.readings.map((reading) => [reading.reading, reading])));
  const none: ReadonlyMap<string, Reading> = new Map();
  const steps = itemsOf(subject.tree, 'steps').map((node, step): Found => ({
    node,
    path: ['steps', step],
    step,
    kind: 'step',
    key: 'step',
  }));
  const charts = listIn(subject.tree, [], 0, 'charts', 'chart', 'chart');
  const values = placesOf(subject, [
    ['readings', 'reading', 'reading'],
    ['results', 'result', 'result'],
  ]);
  return {
    steps: gather(subject, steps, none),
    values: sure(gather(subject, values, readings), hidden(subject, ['readings', 'results'])),
    loose: sure(
      gather(subject, placesOf(subject, [['loose', 'item', 'loose item']]), none),
      hidden(subject, ['loose']),
    ),
    photos: gather(subject, placesOf(subject, [['photo', 'photo', 'photo']]), none),
    charts: gather(subject, charts, none),
  };
};

/** Whether the nearest id is looked for. That compares with every id, so it stops where a hostile file would make it slow. */
const isCheap = ({ messages }: Subject, named: ReadonlyMap<string, Named>, id: string): boolean =>
  id.length <= 64 && messages.length * named.size < 200_000;

/**
 * What an id names, if that is there and may be used here (`isAbove`); otherwise reports that it is unknown or further down.
 * @param what the kind of thing wanted, in messages
 */
export const lookUp = (
  subject: Subject,
  { named, meant, unsure }: Namespace,
  id: string,
  path: Path,
  what: string,
  isAbove: (found: Named) => boolean,
): Named | undefined => {
  const found = named.get(id);
  if (found !== undefined && isAbove(found)) return found;
  if (found !== undefined) {
    report(
      subject,
      path,
      'later-reference',
      `the ${found.kind} ${shown(id)} stands further down`,
      `move it above, or name a ${what} that stands above`,
    );
  } else if (!unsure && !meant.has(id)) {
    const near = isCheap(subject, named, id) ? suggest(id, named.keys()) : undefined;
    const todo = near !== undefined ? `write ${near}` : known(named, what);
    report(subject, path, 'unknown-reference', `there is no ${what} ${shown(id)} in this procedure`, todo);
  }
  return undefined;
};

/** What to do about an unknown id: name one of the first few that there are. */
const known = (named: ReadonlyMap<string, Named>, what: string): string => {
  const ids: string[] = [];
  for (const id of named.keys()) if (ids.push(id) === 8) break;
  if (ids.length === 0) return `add the ${what}, or take the reference out`;
  return `name one of ${listed(ids)}${named.size > ids.length ? ' …' : ''}`;
};
