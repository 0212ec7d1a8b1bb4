import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkFolder, type FolderOptions } from '../../src/procedure/folder.ts';
import type { Member } from '../../src/procedure/folder/looking.ts';
import { readProcedure } from '../../src/procedure/load.ts';

const member = (id: string, head: string, ...steps: readonly string[]): Member => {
  const rows = steps.map((step, index) => `  - { step: ${id}-${index}, title: T, ${step} }`);
  const text = [`procedure: ${id}`, 'title: T', 'revision: A', ...(head === '' ? [] : [head]), 'steps:', ...rows, ''];
  const { procedure, tree, messages } = readProcedure(text.join('\n'), `${id}.yaml`, { name: id });
  expect(messages.filter(({ level }) => level === 'error')).toEqual([]);
  return { file: `${id}.yaml`, procedure: procedure!, tree: tree! };
};

const told = (members: readonly Member[], options?: FolderOptions): string[] =>
  checkFolder(members, options).map(({ file, line, code }) => `${file}:${line} ${code}`);

const plain = 'do: Look.';

describe('what comes after what', () => {
  test('reports a procedure that is not there', () => {
    const [a, b] = [member('aa', 'after: [bb]', plain), member('bb', '', plain)];
    expect(told([a])).toEqual(['aa.yaml:4 unknown-procedure']);
    expect(told([a], { unreadable: ['bb'] })).toEqual([]);
    const bulletin = member('cc', 'answers: { bulletin: B-12, of: bb }', plain);
    expect(told([bulletin])).toEqual(['cc.yaml:4 unknown-procedure']);
    expect(told([bulletin, b])).toEqual([]);
    expect(told([a, b])).toEqual([]);
  });

  test('reports a loop at each procedure in it', () => {
    const a = member('aa', 'after: [bb]', plain);
    const b = member('bb', 'after: [cc]', plain);
    expect(told([a, b, member('cc', 'after: [aa]', plain)])).toEqual([
      'aa.yaml:4 after-loop',
      'bb.yaml:4 after-loop',
      'cc.yaml:4 after-loop',
    ]);
    expect(told([a, b, member('cc', '', plain)])).toEqual([]);
  });
});

describe('areas that another procedure must reach', () => {
  const close = (head: string) => member('close', head, 'covers: [bay]');
  const cable = (head: string, ...steps: string[]) => member('cable', head, ...steps);

  test('may not be covered before it', () => {
    expect(told([close(''), cable('after: [close]', 'reaches: [bay]')])).toEqual(['close.yaml:5 covered-early']);
    expect(
      told([close(''), member('between', 'after: [close]', plain), cable('after: [between]', 'reaches: [bay]')]),
    ).toEqual(['close.yaml:5 covered-early']);
  });

  test('may be covered after it', () => {
    expect(told([close('after: [cable]'), cable('', 'reaches: [bay]')])).toEqual([]);
  });

  test('may be covered before it and uncovered between', () => {
    expect(told([close(''), cable('after: [close]', 'uncovers: [bay]', 'reaches: [bay]')])).toEqual([]);
    expect(told([close(''), cable('after: [close]', 'reaches: [bay]', 'uncovers: [bay]')])).toEqual([
      'close.yaml:5 covered-early',
    ]);
  });
});

describe('areas of the sides, and what lies between', () => {
  const close = member('close', '', 'covers: [bay-left]');
  const cable = (head: string) => member('cable', head, 'reaches: [bay-<each>]');

  test('reports an area that another procedure names with <each>', () => {
    expect(told([close, cable('each: [left, right]\nafter: [close]')])).toEqual(['close.yaml:5 covered-early']);
    expect(told([close, cable('each: [fore, aft]\nafter: [close]')])).toEqual([]);
  });

  test('reports nothing where a third procedure uncovers the area between the two', () => {
    const late = member('cable', 'after: [open]', 'reaches: [bay-left]');
    expect(told([close, late, member('open', 'after: [close]', 'uncovers: [bay-left]')])).toEqual([]);
    expect(told([close, late, member('open', '', 'uncovers: [bay-left]')])).toEqual([]);
    expect(told([close, late, member('open', 'after: [close]', 'uncovers: [bay-left]', 'covers: [bay-left]')])).toEqual(
      ['close.yaml:5 covered-early', 'open.yaml:7 covered-early'],
    );
  });
});

describe('proofs across procedures', () => {
  const bond = (head: string, ...steps: string[]) => member('bond', head, 'permanent: true, sets: [line]', ...steps);
  const trial = member('trial', '', 'proves: [line]');
  const rig = member('rig', 'after: [bond]', 'relies-on: [line]');

  test('reports an unproved feature that a later procedure relies on', () => {
    expect(told([bond(''), rig])).toEqual(['bond.yaml:5 proof-missing']);
    expect(told([bond(''), rig, trial])).toEqual(['bond.yaml:5 proof-missing']);
    expect(told([bond('after: [trial]'), rig, trial])).toEqual([]);
    expect(told([bond(''), rig], { unreadable: ['other'] })).toEqual([]);
  });

  test('reports an unproved feature that the same file relies on', () => {
    const own = bond('after: [trial]', 'relies-on: [line]');
    expect(told([own, trial])).toEqual([]);
    expect(told([own, member('trial', '', plain)])).toEqual(['bond.yaml:6 proof-missing']);
  });
});

describe('features, loose items, gates', () => {
  const loose = 'loose: [{ item: plug, left: in, because: test, before: launch }]';

  test('reports a feature that nothing in the folder sets', () => {
    const rigging = member('rigging', 'after: [spar]', 'relies-on: [wash]');
    expect(told([rigging, member('spar', '', plain)])).toEqual(['rigging.yaml:6 feature-unset']);
    expect(told([rigging, member('spar', '', 'proves: [wash]', 'permanent: true, sets: [wash]')])).toEqual([]);
  });

  test('reports a feature that is set only further down', () => {
    const rigging = member(
      'rigging',
      'after: [spar]',
      'relies-on: [wash]',
      'proves: [wash]',
      'permanent: true, sets: [wash]',
    );
    expect(told([rigging, member('spar', '', plain)])).toEqual(['rigging.yaml:6 feature-unset']);
    const spar = member('spar', '', 'proves: [wash]', 'permanent: true, sets: [wash]');
    expect(told([rigging, spar])).toEqual([]);
  });

  test('reports a loose item that nothing in the folder closes', () => {
    expect(told([member('test', '', loose)])).toEqual(['test.yaml:5 loose-open']);
    expect(told([member('test', '', loose)], { unreadable: ['other'] })).toEqual([]);
    expect(told([member('test', '', loose), member('launch', 'after: [test]', 'closes: [plug]')])).toEqual([]);
  });

  test('reports a loose item that is closed only after its gate is passed', () => {
    const [test, start] = [member('test', '', loose), member('start', 'after: [test]', 'gate: launch')];
    const closing = (head: string) => member('close', head, 'closes: [plug]');
    expect(told([test, start, closing('after: [start]')])).toEqual(['test.yaml:5 loose-open']);
    expect(told([test, start, closing('after: [test]')])).toEqual([]);
    expect(told([test, member('start', 'after: [test]', 'gate: launch', 'closes: [plug]')])).toEqual([
      'test.yaml:5 loose-open',
    ]);
    expect(told([test, member('start', 'after: [test]', 'closes: [plug]', 'gate: launch')])).toEqual([]);
  });

  test('warns of a closed item that nothing leaves loose', () => {
    const messages = checkFolder([member('test', '', loose), member('launch', '', 'closes: [plug, plugg]')]);
    expect(messages).toMatchObject([{ code: 'unknown-reference', level: 'warning', line: 5, todo: 'write plug' }]);
  });

  test('reports gates passed in both orders where no build is known', () => {
    const cover = member('cover', '', 'gate: cover');
    const close = member('close', 'after: [cover]', 'gate: close');
    expect(told([cover, close])).toEqual([]);
    expect(told([cover, close, member('both', '', 'gate: close', 'gate: cover')])).toEqual([
      'both.yaml:5 gate-order',
      'cover.yaml:5 gate-order',
    ]);
  });

  test('reports a gate that the build does not have', () => {
    const closed = member('launch', '', 'closes: [plug]');
    expect(told([member('test', '', loose), closed], { gates: ['cover'] })).toEqual(['test.yaml:5 unknown-gate']);
    expect(told([member('test', '', loose), closed], { gates: ['cover', 'launch'] })).toEqual([]);
    expect(told([member('gate', '', 'gate: lanch')], { gates: ['launch'] })).toEqual(['gate.yaml:5 unknown-gate']);
  });

  test('reports gates passed in another order than the build’s', () => {
    const cover = member('cover', '', 'gate: cover');
    const close = member('close', 'after: [cover]', 'gate: close');
    expect(told([cover, close], { gates: ['close', 'cover'] })).toEqual(['cover.yaml:5 gate-order']);
    expect(told([cover, close], { gates: ['cover', 'close'] })).toEqual([]);
    expect(told([member('both', '', 'gate: b', 'gate: a')], { gates: ['a', 'b'] })).toEqual(['both.yaml:5 gate-order']);
  });
});

test('the order in which the files are read changes nothing', () => {
  const folder = [
    member('aa', 'after: [bb]', 'covers: [bay]', 'relies-on: [line]'),
    member('bb', 'after: [aa]', 'reaches: [bay]', 'gate: one'),
    member('cc', 'after: [dd, aa]', 'reaches: [bay]', 'gate: two'),
  ];
  const gates = ['two', 'one'];
  const expected = checkFolder(folder, { gates });
  expect(expected.length).toBeGreaterThan(3);
  fc.assert(
    fc.property(fc.shuffledSubarray(folder, { minLength: 3 }), (shuffled) => {
      expect(checkFolder(shuffled, { gates })).toEqual(expected);
    }),
    { numRuns: 20 },
  );
});
