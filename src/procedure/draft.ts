import type * as z from 'zod/mini';
import type { MessageCode } from './codes.ts';
import type { Message } from './message.ts';
import type { Procedure } from './model.ts';
import { head as headSchema } from './schema/head.ts';
import { writtenParts } from './parts/parts.ts';
import { step as stepSchema } from './schema/step.ts';
import { fitSchema } from './shape.ts';
import type { StepDraft } from './step-draft.ts';
import type { Subject } from './subject.ts';
import { itemsOf, type Path, toPlain, type Tree } from './tree.ts';
import { own } from '../fault/own.ts';

type Plain = Record<string, unknown>;
type Head = Omit<Procedure, 'steps'>;

const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** How many keys deep a fault is cut out, so that the rest of what stands under the first key can still be checked. For other keys it is 1. */
const depths: Readonly<Record<string, number>> = {
  gather: 2,
  manual: 2,
  ...Object.fromEntries(Object.values(writtenParts).map(({ key, faultDepth }) => [key, faultDepth])),
};

const cutOut = (plain: unknown, path: Path): unknown => {
  const [key, ...rest] = path;
  if (key === undefined || plain === undefined) return undefined;
  if (Array.isArray(plain)) {
    const item = cutOut(plain[Number(key)], rest);
    return item === undefined ? undefined : plain.with(Number(key), item);
  }
  if (!isPlain(plain)) return undefined;
  const { [String(key)]: value, ...others } = plain;
  // What is missing cannot be cut out, so the map that lacks it is.
  if (rest.length === 0) return String(key) in plain ? others : undefined;
  const inner = cutOut(value, rest);
  return inner === undefined ? others : { ...others, [String(key)]: inner };
};

/** The most faults that are cut out one by one; in a file with more, everything under their first keys goes. */
const mostCuts = 100;

const withoutFaults = (plain: Plain, faults: readonly Path[]): Plain => {
  const cuts = faults.map((path) => path.slice(0, faults.length > mostCuts ? 1 : (own(depths, String(path[0])) ?? 1)));
  const whole = new Set(cuts.flatMap(([key, ...rest]) => (rest.length === 0 ? [key] : [])));
  const left = Object.fromEntries(Object.entries(plain).filter(([key]) => !whole.has(key)));
  return cuts
    .filter((path) => path.length > 1)
    .reduce<Plain>((sound, path) => {
      const cut = cutOut(sound, path);
      return isPlain(cut) ? cut : sound;
    }, left);
};

/** Messages that may follow from what has been cut out; they are left out for the rest. */
const consequences: ReadonlySet<MessageCode> = new Set(['missing-key', 'key-elsewhere', 'reading-kind']);

interface Reader<T> {
  readonly schema: z.ZodMiniType<T>;
  /** What is read, as messages name it. */
  readonly name: string;
  /** Stands in for required keys that are missing or cannot be read. */
  readonly need: Plain;
}

/** Reads all of it or, where that has faults, what is left without them, which may show further faults. */
const salvage = <T>(reader: Reader<T>, tree: Tree, plain: unknown, file: string, messages: Message[]): T => {
  const { schema, name, need } = reader;
  const first = fitSchema(schema, plain, tree, file, name);
  messages.push(...first.messages);
  if (first.value !== undefined) return first.value;
  let sound: Plain = isPlain(plain) ? { ...need, ...withoutFaults(plain, first.faults) } : need;
  for (let round = 0; round < 3; round += 1) {
    const { value, messages: further, faults } = fitSchema(schema, sound, tree, file, name, true);
    if (value !== undefined) return value;
    messages.push(...further.filter(({ code }) => !consequences.has(code)));
    sound = { ...need, ...withoutFaults(sound, faults) };
  }
  return fitSchema(schema, need, tree, file, name).value!;
};

/** The head as plain data. Of the steps it has the first alone, since they are read one by one later. */
const headPlain = (tree: Tree): unknown => {
  if (tree.kind !== 'map') return toPlain(tree);
  const entries = tree.entries.map(({ key, value }) =>
    key === 'steps' && value.kind === 'list'
      ? { key, value: { ...value, items: value.items.slice(0, 1) } }
      : { key, value },
  );
  return Object.fromEntries(entries.map(({ key, value }) => [key, toPlain(value)]));
};

const readHead = (tree: Tree, file: string, messages: Message[]): Head => {
  const need = { procedure: 'unread', title: '', revision: '', steps: [''] };
  return salvage({ schema: headSchema, name: 'the file', need }, tree, headPlain(tree), file, messages);
};

const readStep = (tree: Tree, index: number, file: string, messages: Message[]): StepDraft => {
  const need = { step: `unread-${index}`, title: '' };
  return salvage({ schema: stepSchema, name: 'a step', need }, tree, toPlain(tree), file, messages);
};

/** A file's head and steps, as far as each can be read. */
export const readProcedureDraft = (tree: Tree, file: string): Subject => {
  const messages: Message[] = [];
  const head = readHead(tree, file, messages);
  const steps = itemsOf(tree, 'steps').map((step, index) => readStep(step, index, file, messages));
  return { file, tree, head, steps, messages };
};
