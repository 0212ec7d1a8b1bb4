import { err, ok, usage, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { parseInstant } from '../quantity/time.ts';
import {
  writerOfEntry,
  type AskedOf,
  type Command,
  type Data,
  type Datum,
  type Entry,
  type JobCommand,
  type RawEntry,
  type ReadCommand,
} from './entry.ts';
import { fieldKinds } from './field-kinds.ts';
import { fieldsOf, isLineType, type LineType } from './line-types.ts';
import type { Field } from './verb-spec.ts';
import { isJobVerb, isVerb, type Verb } from './verbs.ts';

/*
 * Gives data its types. Each command and each journal line is read once, by the same tables. After that, its data has the shapes of its
 * verb.
 */

const unreadable = (type: LineType, field: Field, todo: string): Fault =>
  usage('value-unreadable', `${type}: ${field.name} cannot be read`, todo);

/** Reads one field of a verb or line. */
export const readField = (type: LineType, field: Field, value: Datum): Outcome<unknown> => {
  const { read, todo } = fieldKinds[field.kind];
  const held = read(value);
  if (held === undefined) return err(unreadable(type, field, todo));
  if (field.choices && !(typeof held === 'string' && field.choices.includes(held)))
    return err(unreadable(type, field, `give one of: ${field.choices.join(', ')}`));
  return ok(held);
};

const missing = (type: LineType, field: Field): Fault =>
  usage('field-missing', `${type}: ${field.name} is missing`, `give ${field.name}: ${field.about}`);

const unknownField = (type: LineType, key: string, given: readonly Field[]): Fault => {
  const names = given.map(({ name }) => name);
  const near = suggest(key, names);
  const todo = near ? `did you mean '${near}'?` : `it takes: ${names.join(', ')}`;
  return usage('field-unknown', `${type} has no field '${key}'`, todo);
};

/**
 * One text of what a person typed, before the command is read: the path of a file, or the id of a procedure. The workshop needs it early.
 */
export const typedText = (data: Data, name: string): string | undefined => {
  const value = data[name];
  return typeof value === 'string' ? value : undefined;
};

/** Reads the fields in their order, up to the first fault. */
const readFields = (
  type: LineType,
  fields: readonly Field[],
  raw: Data,
): Outcome<Readonly<Record<string, unknown>>> => {
  const held: Record<string, unknown> = {};
  for (const field of fields) {
    const value = raw[field.name];
    if (value === undefined || value === null) {
      if (field.required) return err(missing(type, field));
      continue;
    }
    const read = readField(type, field, value);
    if (!read.ok) return read;
    held[field.name] = read.value;
  }
  return ok(held);
};

const strayIn = (type: LineType, raw: Data): Fault | undefined => {
  const { given, names } = fieldsOf(type);
  const stray = Object.keys(raw).find((key) => !names.has(key));
  return stray === undefined ? undefined : unknownField(type, stray, given);
};

/**
 * Reads what a person gave with a verb and what the workshop added. What the engine adds is dropped, because deciding works it out anew.
 * Faults (usage, exit 2): `field-missing`, `field-unknown`, `value-unreadable`.
 */
export const readAsked = <V extends Verb>(verb: V, raw: Data): Outcome<AskedOf<V>> => {
  const stray = strayIn(verb, raw);
  if (stray) return err(stray);
  const read = readFields(verb, fieldsOf(verb).asked, raw);
  return read.ok ? ok(read.value as AskedOf<V>) : read;
};

/** What can be read already of an act that somebody is still typing; whatever else is in `raw` is left out. */
export const readSoFar = <V extends Verb>(verb: V, raw: Data): Partial<AskedOf<V>> =>
  Object.fromEntries(
    fieldsOf(verb).asked.flatMap((field) => {
      const value = raw[field.name];
      const read = value === undefined || value === null ? undefined : readField(verb, field, value);
      return read?.ok === true ? [[field.name, read.value]] : [];
    }),
  ) as Partial<AskedOf<V>>;

/** Reads a command. The faults are those of `readAsked`. */
export const readCommand = (command: Command): Outcome<ReadCommand> => {
  const data = readAsked(command.verb, command.data);
  return data.ok ? ok({ ...command, data: data.value } as ReadCommand) : data;
};

/** True for a command about one job. */
export const isJobCommand = (command: ReadCommand): command is JobCommand => isJobVerb(command.verb);

const malformed = (entry: RawEntry, what: string): Fault =>
  wrong(
    'entry-malformed',
    `entry ${entry.id} (${entry.type} by ${entry.by}) is none that dryfit writes: ${what}`,
    'ask whoever wrote it; without that journal file the build is as it was before',
  );

const unknownType = (entry: RawEntry): Fault =>
  wrong(
    'entry-unknown',
    `entry ${entry.id} is of a type that this dryfit does not know: ${entry.type}`,
    'use the dryfit that wrote it, or a later one',
  );

/** Finds a null or an empty text, which no dryfit writes into a line. */
const emptyIn = (type: LineType, data: Data): string | undefined => {
  const { brought, derived } = fieldsOf(type);
  const odd = [...brought, ...derived].find(({ name }) => data[name] === null || data[name] === '');
  return odd === undefined ? undefined : `${odd.name} holds nothing`;
};

/**
 * Reads a line of the journal. The writer of another machine can sign anything, so a line may hold anything. Faults (wrong):
 * `entry-unknown` for a type that this version does not know; `entry-malformed` for an unreadable instant, and for a field that the type
 * does not have or that has another shape.
 */
export const readEntry = (entry: RawEntry): Outcome<Entry> => {
  const { type, data } = entry;
  if (!isLineType(type)) return err(unknownType(entry));
  for (const instant of [entry.at, entry.when])
    if (instant !== undefined && !parseInstant(instant).ok)
      return err(malformed(entry, `there is no instant ${instant}`));
  const empty = emptyIn(type, data);
  if (empty !== undefined) return err(malformed(entry, empty));
  const { all } = fieldsOf(type);
  const stray = strayIn(type, data);
  const read = stray ? err(stray) : readFields(type, all, data);
  if (!read.ok) return err(malformed(entry, `${read.fault.what}; ${read.fault.todo}`));
  return ok({ ...entry, data: read.value } as Entry);
};

/** The command that an entry was, without what the engine added, so that it can be decided again. */
export const commandOfEntry = (entry: Entry): ReadCommand | undefined => {
  const { type, job, by, at, when, data } = entry;
  if (!isVerb(type)) return undefined;
  const { asked } = fieldsOf(type);
  const given = Object.fromEntries(Object.entries(data).filter(([key]) => asked.some(({ name }) => name === key)));
  return {
    verb: type,
    job,
    by,
    at,
    data: given,
    writer: writerOfEntry(entry),
    ...(when === undefined ? {} : { when }),
  } as ReadCommand;
};
