import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readProcedure } from '../../src/procedure/load.ts';

const folder = new URL('../../procedures/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));

/** A procedure as it was written when the head said `needs` and a result said `with`. */
const asBefore = (text: string): string => text.replace(/^gather:/m, 'needs:').replaceAll(/\bfrom: \{/g, 'with: {');

describe.each(files)('%s, written with the former keys', (name) => {
  const text = readFileSync(new URL(name, folder), 'utf8');
  const before = asBefore(text);

  test('is read as the same procedure where former keys are allowed', () => {
    const { procedure, messages } = readProcedure(before, name, { checks: false, formerKeys: true });
    expect(messages).toEqual([]);
    expect(procedure).toEqual(readProcedure(text, name).procedure);
  });

  test('has one message for each, which names the present key', () => {
    const places = [...before.matchAll(/^needs:|\bwith: \{/gm)];
    expect(places.length).toBeGreaterThan(0);
    const { procedure, messages } = readProcedure(before, name);
    expect(procedure).toBeUndefined();
    expect(messages.map(({ code, what, todo }) => [code, what, todo])).toEqual(
      places.map(([key]) =>
        key === 'needs:'
          ? ['unknown-key', 'the key "needs" is not known here', 'write gather instead, or take it out']
          : ['unknown-key', 'the key "with" is not known here', 'write from instead, or take it out'],
      ),
    );
  });
});

test('where both names are there, the former one is an unknown key, allowed or not', () => {
  const text = 'procedure: a\ntitle: A\nrevision: A\nneeds: {}\ngather: {}\nsteps: [{ step: b, title: B }]\n';
  for (const formerKeys of [true, false])
    expect(readProcedure(text, 'a.yaml', { formerKeys }).messages.map(({ code }) => code)).toEqual(['unknown-key']);
});

test('a former key in another place has the message of any unknown key', () => {
  const photo =
    'procedure: a\ntitle: A\nrevision: A\nsteps: [{ step: b, title: B, photo: [{ photo: c, show: C, with: D }] }]\n';
  expect(readProcedure(photo, 'a.yaml').messages.map(({ todo }) => todo)).toEqual([
    'use one of the keys known here: photo, show or from',
  ]);
});
