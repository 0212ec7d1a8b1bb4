import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { isRefusalCode, refusalCodes, type RefusalCode } from '../../fault/codes.ts';
import { suggest } from '../../fault/nearest.ts';
import type { Data, Datum } from '../../job/entry.ts';
import { verbSpec, type Verb } from '../../job/verbs.ts';
import { shown, type SourcePlace } from '../../procedure/message.ts';
import { mapEntryAt, textAt, toPlain, valueOf, type MapNode, type Tree } from '../../procedure/tree.ts';
import { readVerb, verbForm } from '../words.ts';

/** A scripted session: a file that lists who enters what and when, and what must be the result. */
export interface Script {
  readonly file: string;
  readonly title: string;
  /** The content of `build.yaml` in a new state. */
  readonly build?: Tree;
  /** A path as written, relative to the script's own folder. */
  readonly procedures?: string;
  readonly entries: readonly ScriptEntry[];
}

export const expectations = ['within', 'outside', 'undecided', 'refused'] as const;
export type Expectation = (typeof expectations)[number];

export interface ScriptEntry {
  readonly place: SourcePlace;
  /** `file:line:column` */
  readonly where: string;
  readonly at?: string;
  readonly as?: string;
  readonly when?: string;
  readonly job?: string;
  readonly expect?: Expectation;
  readonly code?: RefusalCode;
  readonly verb: Verb;
  readonly data: Data;
}

const around = ['at', 'as', 'when', 'job', 'expect', 'code'] as const;
const head = ['script', 'build', 'procedures', 'entries'] as const;

const whereOf = (file: string, { line, column }: SourcePlace): string => `${file}:${line}:${column}`;

/** A usage fault: a script that cannot be read shows nothing about the build. */
const unreadable = (file: string, place: SourcePlace, code: string, what: string, todo: string): Fault =>
  usage(code, what, todo, whereOf(file, place));

const asDatum = (tree: Tree): Datum => toPlain(tree) as Datum;

/** The keys beside the verb, such as `at` and `as`; the value of each must be plain text. */
const readAround = (
  file: string,
  map: MapNode,
): Outcome<Readonly<Partial<Record<(typeof around)[number], string>>>> => {
  const found: Partial<Record<(typeof around)[number], string>> = {};
  for (const key of around) {
    const entry = mapEntryAt(map, key);
    if (entry === undefined) continue;
    if (entry.value.kind !== 'text')
      return err(unreadable(file, entry.at, 'value-unreadable', `${key} is not text`, `write ${key}: and one word`));
    found[key] = entry.value.text;
  }
  return ok(found);
};

const readExpectation = (
  file: string,
  map: MapNode,
  { expect, code }: { readonly expect?: string; readonly code?: string },
): Outcome<{ readonly expect?: Expectation; readonly code?: RefusalCode }> => {
  const expected = expectations.find((known) => known === expect);
  const fault = (key: string, what: string, todo: string) =>
    err(unreadable(file, mapEntryAt(map, key)?.at ?? map, 'expectation-unknown', what, todo));
  if (expect !== undefined && expected === undefined)
    return fault('expect', `${shown(expect)} cannot be expected`, `write one of: ${expectations.join(', ')}`);
  if (code === undefined) return ok(expected === undefined ? {} : { expect: expected });
  if (expected !== 'refused')
    return fault('code', 'code stands without expect: refused', 'add expect: refused, or take code out');
  if (isRefusalCode(code)) return ok({ expect: expected, code });
  const guess = suggest(code, refusalCodes);
  const todo = guess === undefined ? `use one of: ${refusalCodes.join(', ')}` : `did you mean ${guess}?`;
  return fault('code', `there is no refusal ${shown(code)}`, todo);
};

/** Reads the verb, which is the first key of an entry that is not one of those beside it. Its value is the verb's object. */
const readVerbEntry = (file: string, map: MapNode): Outcome<{ readonly verb: Verb; readonly data: Data }> => {
  const isAround = (key: string): boolean => (around as readonly string[]).includes(key);
  const first = map.entries.find(({ key }) => !isAround(key));
  if (first === undefined)
    return err(
      unreadable(file, map, 'verb-missing', 'the entry has no verb', 'write what is done, as in finish: STEP'),
    );
  const verb = readVerb(first.key);
  if (!verb.ok) return err({ ...verb.fault, where: whereOf(file, first.at) });
  const { object } = verbSpec(verb.value);
  if (object === undefined && !(first.value.kind === 'text' && first.value.text === 'true'))
    return err(
      unreadable(file, first.at, 'value-unreadable', `${verb.value} takes no object`, `write ${verb.value}: true`),
    );
  const data: Record<string, Datum> = object === undefined ? {} : { [object.name]: asDatum(first.value) };
  for (const { key, at, value } of map.entries) {
    if (key === first.key || isAround(key)) continue;
    if (!verbSpec(verb.value).fields.some(({ name }) => name === key))
      return err(
        unreadable(
          file,
          at,
          'field-unknown',
          `${verb.value} has no field ${shown(key)}`,
          `it is: ${verbForm(verb.value)}`,
        ),
      );
    data[key] = asDatum(value);
  }
  return ok({ verb: verb.value, data });
};

const readEntry = (file: string, tree: Tree): Outcome<ScriptEntry> => {
  if (tree.kind !== 'map')
    return err(unreadable(file, tree, 'entry-unreadable', 'an entry is not a set of keys', 'write { finish: STEP }'));
  const texts = readAround(file, tree);
  if (!texts.ok) return texts;
  const { expect, code, ...rest } = texts.value;
  const expectation = readExpectation(file, tree, {
    ...(expect === undefined ? {} : { expect }),
    ...(code === undefined ? {} : { code }),
  });
  if (!expectation.ok) return expectation;
  const verb = readVerbEntry(file, tree);
  if (!verb.ok) return verb;
  const place = { line: tree.line, column: tree.column };
  return ok({ place, where: whereOf(file, place), ...rest, ...expectation.value, ...verb.value });
};

/** Reads a script from its tree. The first thing that cannot be read ends it, with its place. */
export const readScript = (file: string, tree: Tree): Outcome<Script> => {
  const title = textAt(tree, 'script');
  if (tree.kind !== 'map' || title === undefined)
    return err(unreadable(file, tree, 'script-unreadable', 'this is no script', 'begin it with script: and a title'));
  const stranger = tree.entries.find(({ key }) => !(head as readonly string[]).includes(key));
  if (stranger !== undefined)
    return err(
      unreadable(
        file,
        stranger.at,
        'field-unknown',
        `a script has no ${shown(stranger.key)}`,
        `it has: ${head.join(', ')}`,
      ),
    );
  const list = valueOf(tree, 'entries');
  if (list?.kind !== 'list')
    return err(
      unreadable(file, list ?? tree, 'entries-missing', 'the script has no entries', 'write entries: and a list'),
    );
  const entries: ScriptEntry[] = [];
  for (const item of list.items) {
    const entry = readEntry(file, item);
    if (!entry.ok) return entry;
    entries.push(entry.value);
  }
  const build = valueOf(tree, 'build');
  const procedures = textAt(tree, 'procedures');
  return ok({
    file,
    title,
    entries,
    ...(build === undefined ? {} : { build }),
    ...(procedures === undefined ? {} : { procedures }),
  });
};
