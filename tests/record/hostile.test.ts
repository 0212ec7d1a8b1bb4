import fc from 'fast-check';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { verifyRecord } from '../../src/record/verify.ts';
import { readRecord } from '../../src/record/read.ts';
import { recordHtml, recordPlain } from '../../src/report/record-sheet.ts';
import { fixture, machine } from '../support/command.ts';

/* A record that somebody hands over may say anything, whoever signed it: it is verified and shown, or told to be none. */

let text = '';
let signature = '';
let signers = '';
beforeAll(async () => {
  const own = machine();
  expect((await own.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', own.state])).code).toBe(0);
  const folder = join(own.state, 'records');
  const record = join(folder, readdirSync(folder)[0] ?? '', '1');
  text = readFileSync(join(record, 'record.json'), 'utf8');
  signature = readFileSync(join(record, 'record.json.sig'), 'utf8');
  signers = readFileSync(join(own.state, 'allowed_signers'), 'utf8');
});

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** Every place in the document, by its path. */
const placesIn = (value: Json, path: readonly (string | number)[] = []): readonly (readonly (string | number)[])[] => {
  if (typeof value !== 'object' || value === null) return [path];
  const inside = Array.isArray(value)
    ? value.flatMap((item, index) => placesIn(item, [...path, index]))
    : Object.entries(value).flatMap(([key, item]) => placesIn(item, [...path, key]));
  return [path, ...inside];
};

const withAt = (
  value: Json,
  [key, ...rest]: readonly (string | number)[],
  change: (old: Json) => Json | undefined,
): Json => {
  if (key === undefined) return change(value) ?? value;
  if (Array.isArray(value))
    return value.flatMap((item, index) => {
      if (index !== key) return [item];
      const next = rest.length === 0 ? change(item) : withAt(item, rest, change);
      return next === undefined ? [] : [next];
    });
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([name, item]) => {
      if (name !== key) return [[name, item]];
      const next = rest.length === 0 ? change(item) : withAt(item, rest, change);
      return next === undefined ? [] : [[name, next]];
    }),
  );
};

const odd: fc.Arbitrary<Json | undefined> = fc.constantFrom<(Json | undefined)[]>(
  undefined,
  null,
  '',
  '2026-02-30T09:00:00+01:00',
  '9999-12-31T23:59:59Z',
  '1/0 mm',
  '-40 °C',
  '1e400 mm',
  'constructor',
  '__proto__',
  0,
  -1,
  2 ** 53,
  1.5,
  true,
  [],
  {},
  [{}],
  { toString: 1 },
);

it('a record changed in one or two places is verified and printed, or refused as not a record', () => {
  const whole = JSON.parse(text) as Json;
  const places = placesIn(whole);
  let [read, refused] = [0, 0];
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(places.length - 1), odd), { minLength: 1, maxLength: 2 }), (changes) => {
      const changed = changes.reduce<Json>(
        (document, [place, value]) => withAt(document, places[place] ?? [], () => value),
        whole,
      );
      const bytes = Buffer.from(`${JSON.stringify(changed, null, 2)}\n`);
      const { observations, document } = verifyRecord({ bytes, signature, signers });
      if (bytes.toString() !== text) expect(observations.some(({ level }) => level === 'fault')).toBe(true);
      const again = readRecord(bytes);
      expect(again.ok).toBe(document !== undefined);
      if (document === undefined) refused += 1;
      else {
        read += 1;
        recordHtml(document);
        recordPlain(document);
      }
    }),
    { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 400) },
  );
  expect(read).toBeGreaterThan(10);
  expect(refused).toBeGreaterThan(10);
});
