import type Fraction from 'fraction.js';
import type { Fault, Outcome } from '../fault/fault.ts';
import { fromFloat } from '../quantity/rational.ts';
import { makeQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import type { Dimension, Unit } from '../quantity/units.ts';
import type { Plot } from './plot.ts';

/** What one input takes. */
export interface InputSpec {
  readonly name: string;
  /** `any`: a quantity of any dimension, the same for all inputs that say `any`; `text`: not a quantity. */
  readonly dimension: Dimension | readonly Dimension[] | 'any' | 'text';
  readonly required: boolean;
  readonly about: string;
  /** A bare number is taken in this unit: only where no other could be meant. */
  readonly bare?: string;
  /** Whether the value is read off a rule, so that a fraction of an inch must be one that rules are divided in. */
  readonly rule?: boolean;
  /** For text: the only values it takes. */
  readonly choices?: readonly string[];
  /** Several of them: `value1= value2= …`, or one list `value="…; …"`. */
  readonly many?: boolean;
  /** Whether the text is a list, separated by semicolons. */
  readonly list?: boolean;
  /** A name for alternatives: of the inputs with the same name here, exactly one is given. */
  readonly oneOf?: string;
  /** Another input that says the same. Where inputs are asked for one after the other, only that one is asked for. */
  readonly insteadOf?: string;
}

/** The inputs of one call, read and checked against their specs. */
export interface CalculationInputs {
  /** A required quantity. */
  readonly quantity: (name: string) => Quantity;
  readonly maybe: (name: string) => Quantity | undefined;
  readonly text: (name: string) => string;
  readonly maybeText: (name: string) => string | undefined;
  /** The values of an input that takes several, each with what follows the name in its key: `1`, `2-1`. */
  readonly list: (name: string) => readonly { readonly key: string; readonly quantity: Quantity }[];
}

export interface NamedResult {
  readonly name: string;
  readonly quantity: Quantity;
  /** True where nothing was rounded on the way: only rational arithmetic on the inputs as typed. */
  readonly exact: boolean;
}

export interface CalculationAnswer {
  /** The main result first. */
  readonly results: readonly NamedResult[];
  /** The arithmetic in one line. */
  readonly working: string;
  readonly warnings?: readonly string[];
  /** Quantities inside text inputs, whose units results follow too. */
  readonly typed?: readonly Quantity[];
  readonly plot?: Plot;
}

/** A named formula of the trade, with where it comes from and how far it reaches. */
export interface Calculation {
  readonly name: string;
  readonly title: string;
  readonly inputs: readonly InputSpec[];
  readonly source: string;
  readonly range: string;
  readonly caution: string;
  /** The dimensions of its results: `any`, that of its inputs; absent, those that its example gives. */
  readonly gives?: 'any' | readonly Dimension[];
  /** Inputs of a worked example, as typed. */
  readonly example: Readonly<Record<string, string>>;
  readonly compute: (given: CalculationInputs) => Outcome<CalculationAnswer>;
}

/** An input outside the range in which the formula holds. */
export const outOfRange = (what: string, todo: string): Fault => ({
  kind: 'refused',
  code: 'out-of-range',
  what,
  todo,
});

/** An input that is a quantity, but makes no sense here. */
export const wrongInput = (name: string, what: string, todo: string): Fault => ({
  kind: 'usage',
  code: 'input-wrong',
  what,
  todo,
  where: name,
});

export const exactly = (name: string, amount: Fraction, unit: Unit): NamedResult => ({
  name,
  quantity: makeQuantity(amount, unit),
  exact: true,
});

/** A result of irrational functions: a double, to 15 digits. */
export const computed = (name: string, amount: number, unit: Unit): NamedResult => ({
  name,
  quantity: makeQuantity(fromFloat(amount), unit),
  exact: false,
});

/** The nearest double of the value in the base unit of its dimension (m, °, N·m, kg, Pa, K, s). */
export const base = (q: Quantity): number => toBase(q).valueOf();

export const isPositive = (q: Quantity): boolean => q.amount.compare(0) > 0;

/** The first of these quantities that is not above zero, as a fault. */
export const firstNotPositive = (named: Readonly<Record<string, Quantity>>): Fault | undefined => {
  const found = Object.entries(named).find(([, q]) => !isPositive(q));
  return found === undefined
    ? undefined
    : outOfRange(`${found[0]} is ${found[1].text}, not above zero`, `give ${found[0]} above zero`);
};
