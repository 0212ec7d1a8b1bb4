import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { machine, type Machine, type Ran } from '../support/command.ts';

/* `constructor` is a fair id for anything, and `__proto__`, `toString` a fair word to type: each names what it names here, and nothing that JavaScript has under it. */

const procedure = `
procedure: constructor
title: Everything is called constructor
revision: A
gather:
  tools: [{ tool: constructor }]
  materials: [{ material: constructor, lot: true }]
steps:
  - step: constructor
    title: Measure
    place: constructor
    readings:
      - { reading: constructor, unit: mm, limits: at most 0.2 mm, tool: constructor, positions: [constructor, fore], source: invented }
      - { reading: grain, choices: [constructor, straight], accept: [constructor] }
    photo: [{ photo: constructor, show: it }]
    loose: [{ item: constructor, count: 1, left: loose, because: later, before: constructor }]
    proves: [constructor]
    reaches: [constructor]
  - step: mix
    title: Mix
    mix: { material: constructor, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, pot-life: 35 min at 20 °C, sample: true, source: invented }
  - step: glue
    title: Glue
    permanent: true
    in-pot-life-of: mix
    sets: [constructor]
    relies-on: [constructor]
  - step: look
    title: Look
    hold: { by: inspector, look-for: [constructor] }
  - step: close
    title: Close
    covers: [constructor]
    closes: [constructor]
`;
const script = `
script: names
build:
  gates: [constructor]
  people:
    - { person: constructor, powers: [builder] }
    - { person: second, powers: [inspector] }
  tools: [{ tool: constructor, kind: constructor }, { tool: __proto__, kind: __proto__ }]
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: constructor, start: constructor }
  - { use: constructor, tool: constructor }
  - { read: constructor, position: constructor, value: 0.1 mm, expect: within }
  - { read: constructor, position: fore, value: 0.1 mm, expect: within }
  - { read: grain, value: constructor, expect: within }
  - { photo: constructor, file: p.jpg }
  - { loose: constructor, count: 1, left: loose, because: later, before: constructor }
  - { finish: constructor }
  - { lot: constructor, number: constructor }
  - { temperature: 20 °C, place: constructor }
  - { temperature: 20 °C, place: __proto__ }
  - { temperature: 20 °C }
  - { tool: __proto__, found: checked }
  - { mix: mix, weights: { resin: 100 g, hardener: 44 g }, sample: constructor }
  - { finish: mix }
  - { finish: glue }
  - { release: look, as: second }
  - { finish: look, as: constructor }
  - { break: constructor, result: held }
  - { close: constructor, count: 1 }
  - { finish: close }
`;

const own: Machine = machine();
const on = (...argv: readonly string[]): Promise<Ran> =>
  own.run([...argv, '--state', own.state], { now: '2026-03-02T12:00:00+01:00' });
const known = (ran: Ran): Ran => {
  expect(`${ran.out}${ran.err}`).not.toMatch(/bug:|native code|\[object|undefined|NaN/);
  return ran;
};

beforeAll(async () => {
  mkdirSync(join(own.folder, 'procedures'));
  writeFileSync(join(own.folder, 'procedures/constructor.yaml'), procedure);
  own.file('p.jpg', 'a picture');
  const ran = known(await on('rehearse', own.file('s.yaml', script), '--procedures', join(own.folder, 'procedures')));
  expect(ran.err).toBe('');
  expect(ran.code).toBe(0);
});

describe('words that every object has, typed at a command', () => {
  const words = ['__proto__', 'toString', 'hasOwnProperty', 'valueOf', 'isPrototypeOf'];
  it('are unknown: exit 2', async () => {
    for (const word of words)
      for (const argv of [
        ['do', 'constructor', 'read', word, 'value=1 mm', '--as', 'constructor'],
        ['do', 'constructor', 'finish', word, '--as', 'constructor'],
        ['do', 'constructor', 'mix', word, 'weights.resin=1 g', '--as', 'constructor'],
        ['do', 'constructor', 'mix', 'mix', `weights.${word}=1 g`, '--as', 'constructor'],
        ['do', 'constructor', 'break', word, 'result=held', '--as', 'constructor'],
        ['do', 'constructor', 'use', 'constructor', `tool=${word}x`, '--as', 'constructor'],
        ['do', 'constructor', 'discard', word, 'because=x', '--as', 'constructor'],
        ['do', 'constructor', 'close', word, 'count=1', '--as', 'constructor'],
        ['do', 'constructor', 'release', word, '--as', 'second'],
        ['do', 'constructor', 'dispose', word, 'as-what=scrap', 'reason=x', '--as', 'constructor'],
        ['do', 'constructor', 'correct', word, 'value=1 mm', 'reason=x', '--as', 'constructor'],
        ['do', 'constructor', 'move', word, '--as', 'constructor'],
        ['do', 'constructor', 'resolve', word, 'as-what=comply', '--as', 'constructor'],
        ['do', 'constructor', word],
        ['do', 'constructor', 'remark', 'x', `${word}=y`, '--as', 'constructor'],
        ['do', 'constructor', 'remark', 'x', '--as', word],
        ['do', word, 'remark', 'x', '--as', 'constructor'],
        ['do', '-', 'settle', word, 'keep=no', '--as', 'constructor'],
        ['do', '-', 'tool', `${word}x`, 'found=wrong', '--as', 'constructor'],
        ['trace', word === '__proto__' ? 'prototype' : word],
        ['record', word],
        ['calc', word],
        ['calc', 'sum', `${word}=1 mm`],
        ['check', '--about', word],
        ['hold', word],
        ['key', word],
        ['person', word],
        ['status', '--format', word],
        ['status', `--${word}`],
        [word],
      ]) {
        const ran = known(await on(...argv));
        expect(`${ran.code} ${ran.err.split('\n').length}`, `${argv.join(' ')}: ${ran.out}${ran.err}`).toBe('2 2');
      }
  });
});

describe('a build in which everything is called constructor', () => {
  it('is checked, carried out, listed, recorded and verified like any other', async () => {
    for (const argv of [
      ['check', join(own.folder, 'procedures')],
      ['status'],
      ['do', 'constructor', 'complete', '--as', 'constructor'],
      ['record', 'constructor'],
      ['verify'],
      ['trace', 'constructor'],
      ['tool'],
      ['person'],
      ['loose'],
      ['ahead', 'constructor', 'constructor', '--procedures', join(own.folder, 'procedures')],
    ]) {
      const ran = known(await on(...argv));
      expect(ran.err.replace(/^note: the signed record .*\n$/, ''), argv.join(' ')).toBe('');
      expect(ran.code, argv.join(' ')).toBe(0);
    }
    expect((await on('status')).out).toContain('complete');
  });

  it('change nothing of other objects', () => {
    expect(Object.keys(Object.prototype)).toEqual([]);
    expect(Object.keys(Object)).toEqual([]);
    expect(({} as Record<string, unknown>)['state']).toBeUndefined();
  });
});
