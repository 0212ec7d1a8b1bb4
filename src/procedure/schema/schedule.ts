import * as z from 'zod/mini';
import { err, ok, type Outcome, wrong } from '../../fault/fault.ts';
import { compareQuantities, parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { type Duration, parseDuration } from '../../quantity/time.ts';
import { shown } from '../message.ts';
import type { PotLifePoint } from '../model.ts';
import { complain, type Context, listSchema, readWith } from './leaves.ts';

/** `35 min at 20 °C`, or a time alone. */
const parseTimeAt = (typed: string): Outcome<{ readonly time: Duration; readonly at?: Quantity }> => {
  const [, timeText, atText] = /^(.*?)(?:\s+at\s+(.*))?$/s.exec(typed) ?? [];
  const time = parseDuration(timeText ?? typed);
  if (!time.ok) return time;
  if (time.value.ms === 0) return err(wrong('value-impossible', `${shown(typed)} is no time at all`, 'write how long'));
  if (atText === undefined) return ok({ time: time.value });
  const at = parseQuantity(atText, { dimension: 'temperature' });
  return at.ok ? ok({ time: time.value, at: at.value }) : at;
};

const timeAt = readWith(parseTimeAt);

/** One point, or a list of them. */
export const timesAt = z.pipe(
  z.union([timeAt, listSchema(timeAt)]),
  z.transform((points): readonly PotLifePoint[] => (Array.isArray(points) ? points : [points])),
);

export interface Point {
  readonly time: Duration;
  readonly at: Quantity;
}

const isPoint = (point: PotLifePoint): point is Point => point.at !== undefined;

/**
 * Times at temperatures, coldest first, with an issue where the time does not fall as the temperature rises.
 * @param name of what takes the time, in messages: `the stage full`
 */
export const scheduleOf = (
  name: string,
  typed: readonly PotLifePoint[],
  context: Context,
  path: PropertyKey[],
): readonly Point[] => {
  const points = typed.filter(isPoint).toSorted((a, b) => compareQuantities(a.at, b.at));
  for (const [index, point] of points.entries()) {
    const colder = points[index - 1];
    if (colder === undefined) continue;
    const tell = (what: string, todo: string): void =>
      complain(context, typed, { code: 'cure-schedule', what, todo }, path);
    if (compareQuantities(colder.at, point.at) === 0)
      tell(`${name} has two times at ${shown(point.at.text)}`, 'keep one of them');
    else if (point.time.ms >= colder.time.ms)
      tell(
        `${name} takes ${point.time.text} at ${point.at.text}, no less than at ${colder.at.text}`,
        'glue is quicker where it is warmer: check the times against the source',
      );
  }
  return points;
};

/** Requires a temperature with every time. */
export const requireTemperatures = (
  name: string,
  typed: readonly PotLifePoint[],
  context: Context,
  path: PropertyKey[],
): void => {
  if (typed.every(isPoint)) return;
  const what = `${name} has a time without a temperature`;
  complain(context, typed, { code: 'unit-missing', what, todo: 'write it as in 24 h at 20 °C' }, path);
};

/** Requires names that begin with a letter. Their order counts, and a JavaScript object would put a name like a number first. */
export const requirePartNames = (names: readonly string[], context: Context, key: string): void => {
  for (const name of names)
    if (!/^\p{L}/u.test(name)) {
      const what = `${shown(name)} cannot be a name here: it begins with a letter`;
      complain(context, name, { code: 'id-unreadable', what, todo: 'name it as the data sheet does' }, [key, name]);
    }
};
