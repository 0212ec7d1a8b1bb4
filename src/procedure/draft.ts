import type * as z from 'zod/mini';
import type { Message } from './message.ts';
import type { Procedure } from './model.ts';
import { head as headSchema } from './schema/head.ts';
import { step as stepSchema, type StepDraft } from './schema/step.ts';
import { fit } from './shape.ts';
import type { Subject } from './subject.ts';
import { itemsOf, type Path, toPlain, type Tree } from './tree.ts';

type Plain = Record<string, unknown>;
type Head = Omit<Procedure, 'steps'>;

const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The same without the keys at which something is wrong, so that the rest can still be looked at. */
const withoutFaults = (plain: Plain, faults: readonly Path[]): Plain => {
  const bad = new Set(faults.map(([key]) => key));
  return Object.fromEntries(Object.entries(plain).filter(([key]) => !bad.has(key)));
};

interface Reader<T> {
  readonly schema: z.ZodMiniType<T>;
  /** What is read, in messages. */
  readonly name: string;
  /** Stands in for what must be there and cannot be read. */
  readonly need: Plain;
}

/** Reads what it can: first all of it, then what is sound. */
const salvage = <T>(reader: Reader<T>, tree: Tree, plain: unknown, file: string, messages: Message[]): T => {
  const { schema, name, need } = reader;
  const first = fit(schema, plain, tree, file, name);
  messages.push(...first.messages);
  if (first.value !== undefined) return first.value;
  const sound = isPlain(plain) ? withoutFaults(plain, first.faults) : {};
  return fit(schema, { ...need, ...sound }, tree, file, name).value ?? fit(schema, need, tree, file, name).value!;
};

/** The head alone; the steps are read one by one, and only once. */
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

/** A file's head and steps as far as each can be read. */
export const readDraft = (tree: Tree, file: string): Subject => {
  const messages: Message[] = [];
  const head = readHead(tree, file, messages);
  const steps = itemsOf(tree, 'steps').map((step, index) => readStep(step, index, file, messages));
  return { file, tree, head, steps, messages };
};
