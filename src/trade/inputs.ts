import { suggest } from '../fault/nearest.ts';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { longestText } from '../quantity/number.ts';
import { parseQuantity, withArticle, type Quantity } from '../quantity/quantity.ts';
import { differenceUnit, findUnit, unitNamed, type Dimension } from '../quantity/units.ts';
import { wrongInput, type Calculation, type CalculationInputs, type InputSpec } from './calculation.ts';
import { ruledFault } from './ruled.ts';

type InputValue = Quantity | string | readonly Quantity[];

export type Inputs = Readonly<Record<string, InputValue>>;

interface InputEntry {
  readonly spec: InputSpec;
  readonly key: string;
  readonly value: Quantity | string;
}

/** `value`, `value1`, `value-2`, `value1-2` for a spec of several; the plain name for the rest. */
const specFor = (calculation: Calculation, key: string): InputSpec | undefined =>
  calculation.inputs.find(
    (spec) =>
      spec.name === key ||
      (spec.many === true && key.startsWith(spec.name) && /^(?:-?\d{1,4}){1,3}$/.test(key.slice(spec.name.length))),
  );

const dimensionsOf = (spec: InputSpec): readonly Dimension[] =>
  spec.dimension === 'any' || spec.dimension === 'text'
    ? []
    : typeof spec.dimension === 'string'
      ? [spec.dimension]
      : spec.dimension;

const atInput = (fault: Fault, key: string): Fault => ({ ...fault, kind: 'usage', where: key });

const readText = (text: string, spec: InputSpec, key: string): Outcome<Quantity> => {
  if (spec.bare !== undefined) {
    const read = parseQuantity(text, { unit: unitNamed(spec.bare, dimensionsOf(spec)[0]) });
    return read.ok ? read : err(atInput(read.fault, key));
  }
  const dimensions = dimensionsOf(spec);
  const tried = (dimensions.length === 0 ? [{}] : dimensions.map((dimension) => ({ dimension }))).map((options) =>
    parseQuantity(text, options),
  );
  const read = tried.find((one) => one.ok) ?? tried[0];
  if (read === undefined) throw new RangeError(`no dimension for ${spec.name}`);
  return read.ok ? read : err(atInput(read.fault, key));
};

/** A quantity that another part of the program gives must have the dimension too; a temperature is taken for a difference where one is asked for. */
const checked = (q: Quantity, spec: InputSpec, key: string): Outcome<Quantity> => {
  const wanted = dimensionsOf(spec);
  if (wanted.length === 0 || wanted.includes(q.unit.dimension)) return ok(q);
  const meant = wanted.map((dimension) => findUnit(q.unit.name, dimension)).find((unit) => unit !== undefined);
  if (meant !== undefined) return ok({ ...q, unit: meant });
  return err(
    atInput(
      usage(
        'unit-dimension',
        `${key} is ${withArticle(q.unit.dimension)}, but ${withArticle(wanted[0] ?? 'count')} is asked for`,
        `give ${key} in a unit of ${(wanted[0] ?? 'count').replaceAll('-', ' ')}`,
      ),
      key,
    ),
  );
};

const listItems = (text: string): readonly string[] =>
  text
    .split(/;|,\s/)
    .map((part) => part.trim())
    .filter((part) => part !== '');

/** A list for a text input (the points of a chart) is joined as a person would write it. */
const severalOf = (spec: InputSpec, value: InputValue): readonly (Quantity | string)[] => {
  if (typeof value === 'string') return spec.many === true ? listItems(value) : [value];
  if (!('unit' in value)) return spec.dimension === 'text' ? [value.map((q) => q.text).join('; ')] : value;
  return [value];
};

const spread = (calculation: Calculation, inputs: Inputs): Outcome<readonly InputEntry[]> => {
  const entries: InputEntry[] = [];
  for (const [key, value] of Object.entries(inputs)) {
    const spec = specFor(calculation, key);
    if (spec === undefined) {
      const names = calculation.inputs.map((one) => one.name);
      const near = suggest(key, names);
      const todo = near === undefined ? `its inputs are ${names.join(', ')}` : `write ${near}, if that is meant`;
      return err(usage('input-unknown', `${calculation.name} has no input ${key}`, todo, key));
    }
    const several = severalOf(spec, value);
    for (const one of several) entries.push({ spec, key, value: one });
  }
  return ok(entries);
};

const textOf = ({ spec, key, value }: InputEntry): Outcome<string> => {
  // Runs of spaces become one, since a later pattern may try every way to split a run.
  const text = (typeof value === 'string' ? value : value.text).trim().replace(/\s+/g, ' ');
  if (text === '' || text.length > 5 * longestText)
    return err(wrongInput(key, `${key} is ${text === '' ? 'empty' : 'too long'}`, `give ${spec.about}`));
  if (spec.choices !== undefined && !spec.choices.includes(text))
    return err(
      wrongInput(
        key,
        `${key} is ${text.slice(0, 40)}, which is none of its values`,
        `write one of ${spec.choices.join(', ')}`,
      ),
    );
  return ok(text);
};

/** Requires all `any` inputs to have one dimension: inches among millimetres are fine, a newton is not. */
const alike = (entries: readonly (readonly [string, Quantity])[]): Fault | undefined => {
  const [first, ...rest] = entries;
  const odd = rest.find(([, q]) => q.unit.dimension !== first?.[1].unit.dimension);
  if (first === undefined || odd === undefined) return undefined;
  const [one, two] = [first[1].unit.dimension, odd[1].unit.dimension];
  return usage(
    'unit-dimension',
    `${first[0]} is ${withArticle(one)}, ${odd[0]} is ${withArticle(two)}`,
    'give values of one kind',
    odd[0],
  );
};

interface ReadInputs {
  readonly given: CalculationInputs;
  /** All quantities in the order in which they were given: results follow their units. */
  readonly quantities: readonly Quantity[];
}

const missingInput = (calculation: Calculation, names: ReadonlySet<string>): Fault | undefined => {
  const missing = calculation.inputs.find((spec) => spec.required && !names.has(spec.name));
  return missing === undefined
    ? undefined
    : usage(
        'input-missing',
        `${calculation.name} needs ${missing.name}`,
        `give ${missing.name}=: ${missing.about}`,
        missing.name,
      );
};

/** Reads every input against its spec. The fault names the first that is unknown, missing, unreadable or of the wrong kind. */
export const readInputs = (calculation: Calculation, inputs: Inputs): Outcome<ReadInputs> => {
  const entries = spread(calculation, inputs);
  if (!entries.ok) return entries;
  const texts = new Map<string, string>();
  const lists = new Map<string, { readonly key: string; readonly quantity: Quantity }[]>();
  const quantities: Quantity[] = [];
  const anys: (readonly [string, Quantity])[] = [];
  for (const entry of entries.value) {
    const { spec, key, value } = entry;
    if (spec.dimension === 'text') {
      const text = textOf(entry);
      if (!text.ok) return text;
      texts.set(spec.name, text.value);
      continue;
    }
    const read = typeof value === 'string' ? readText(value, spec, key) : checked(value, spec, key);
    if (!read.ok) return read;
    const unruled = spec.rule === true ? ruledFault(read.value, key) : undefined;
    if (unruled !== undefined) return err(unruled);
    lists.set(spec.name, [...(lists.get(spec.name) ?? []), { key: key.slice(spec.name.length), quantity: read.value }]);
    quantities.push(read.value);
    if (spec.dimension === 'any') anys.push([key, read.value]);
  }
  const fault = missingInput(calculation, new Set([...texts.keys(), ...lists.keys()])) ?? alike(anys);
  return fault === undefined ? ok({ given: givenFrom(texts, lists), quantities }) : err(fault);
};

/** What is wrong with one input by itself, where inputs are typed one by one. */
export const inputFault = (calculation: Calculation, name: string, text: string): Fault | undefined => {
  const inputs = calculation.inputs.map((spec) => ({ ...spec, required: false }));
  const read = readInputs({ ...calculation, inputs }, { [name]: text });
  return read.ok ? undefined : read.fault;
};

const sure = <T>(value: T | undefined, name: string): T => {
  if (value === undefined) throw new RangeError(`no input ${name}`);
  return value;
};

const givenFrom = (
  texts: ReadonlyMap<string, string>,
  lists: ReadonlyMap<string, readonly { readonly key: string; readonly quantity: Quantity }[]>,
): CalculationInputs => {
  const maybe = (name: string): Quantity | undefined => lists.get(name)?.[0]?.quantity;
  return {
    maybe,
    quantity: (name) => sure(maybe(name), name),
    maybeText: (name) => texts.get(name),
    text: (name) => sure(texts.get(name), name),
    list: (name) => lists.get(name) ?? [],
  };
};

/** The unit for a result: that of the first input of its dimension (a difference follows a temperature), else its own. */
export const followedUnit = (result: Quantity, quantities: readonly Quantity[]): Quantity['unit'] => {
  const { dimension } = result.unit;
  const same = quantities.find((q) => q.unit.dimension === dimension);
  if (same !== undefined) return same.unit;
  const temperature = quantities.find((q) => q.unit.dimension === 'temperature');
  return dimension === 'temperature-difference' && temperature !== undefined
    ? differenceUnit(temperature.unit)
    : result.unit;
};
