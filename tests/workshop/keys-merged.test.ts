import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inCausalOrder } from '../../src/aircraft/order.ts';
import { keyInForce, keysOf, recoveryOf } from '../../src/aircraft/keys.ts';
import { emptyFile } from '../../src/aircraft/file.ts';
import type { Library } from '../../src/aircraft/library.ts';
import { openContradictions, type BuildState } from '../../src/aircraft/state.ts';
import { err, ok, usage } from '../../src/fault/fault.ts';
import type { JsonObject } from '../../src/proof/canonical.ts';
import type { Link } from '../../src/proof/chain.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner, signLine, type CoSigner, type Signer } from '../../src/signing/signer.ts';
import { fold, type FoldOptions } from '../../src/workshop/journal/fold.ts';
import { publicKeyReader } from '../../src/workshop/journal/public-keys.ts';
import { valueOf } from '../proof/outcomes.ts';

/*
 * One person on two machines that see each other's lines now and then; keys are replaced and used up on either. The law: a line
 * that could be believed where it was written is believed everywhere, in any order. At worst it is a contradiction to be settled.
 */

const file = { ...emptyFile, people: [{ person: 'ines', powers: ['builder'] as const }] };
const none = err(usage('unknown-id', 'none', ''));
const options: FoldOptions = {
  library: { procedure: () => none, build: () => ok(file), log: () => none } satisfies Library,
  read: publicKeyReader(),
};

interface Machine {
  readonly writer: string;
  readonly links: Link[];
  /** How many lines of the other machine it has seen. */
  seen: number;
  /** The private keys on this machine, the newest last. */
  readonly keys: Signer[];
  /** Recovery keys are kept elsewhere, so either machine can use them. */
  readonly kept: Signer[];
}

const steps = ['work', 'replace', 'recovery', 'recover', 'settle yes', 'settle no', 'look'] as const;
type Step = (typeof steps)[number];

const walk = (story: readonly (readonly [number, Step])[]) => {
  const machines: readonly [Machine, Machine] = [
    { writer: 'aaaaaaaa', links: [], seen: 0, keys: [], kept: [] },
    { writer: 'bbbbbbbb', links: [], seen: 0, keys: [], kept: [] },
  ];
  let made = 0;
  let minutes = 0;
  const newKey = (): Signer => makeSigner(secretFromSeed(new Uint8Array(32).fill((made += 1))));
  const otherOf = (machine: Machine): Machine => machines[machine === machines[0] ? 1 : 0];
  const known = (machine: Machine): readonly Link[] =>
    inCausalOrder([machine.links, otherOf(machine).links.slice(0, machine.seen)]);
  const stateOf = (links: readonly Link[]): BuildState => {
    const { state, fault } = fold(links, options);
    expect(fault, fault?.what).toBeUndefined();
    return state;
  };
  const write = (
    machine: Machine,
    type: string,
    data: JsonObject,
    signer: Signer,
    others: readonly CoSigner[] = [],
  ): void => {
    const state = stateOf(known(machine));
    const [last, other] = [machine.links.at(-1), otherOf(machine)];
    const head = other.links[machine.seen - 1];
    minutes += 1;
    const sealed = valueOf(
      signLine(
        {
          v: 1,
          build: state.build,
          writer: machine.writer,
          seq: machine.links.length + 1,
          prev: last?.hash ?? '',
          seen: head === undefined ? {} : { [other.writer]: head.hash },
          at: new Date(Date.UTC(2026, 2, 2, 8, minutes)).toISOString(),
          by: 'ines',
          job: '',
          type,
          data,
        },
        signer,
        others,
      ),
    );
    machine.links.push({ line: sealed.line, hash: sealed.hash });
    stateOf(known(machine)); // the line is believed where it was written
  };
  /** What the person does on a machine, if the keys there allow it. */
  const act = (machine: Machine, step: Step): void => {
    if (step === 'look') machine.seen = otherOf(machine).links.length;
    const state = stateOf(known(machine));
    const signer = machine.keys.findLast(({ fingerprint }) => keyInForce(state, 'ines', fingerprint) !== undefined);
    const open = openContradictions(state)[0];
    const current = keysOf(state, 'ines').findLast(({ ended }) => ended === undefined);
    const person = { person: 'ines' };
    if (step === 'recover') {
      const recovery = machine.kept.find(({ fingerprint }) => recoveryOf(state, 'ines')?.fingerprint === fingerprint);
      if (recovery === undefined || current === undefined) return;
      const next = newKey();
      machine.keys.push(next);
      const data = {
        ...person,
        key: next.publicKey.text,
        replaces: current.fingerprint,
        recovery: recovery.fingerprint,
      };
      return write(machine, 'key', data, next, [{ by: 'ines', signer: recovery }]);
    }
    if (signer === undefined) return;
    const own = [{ by: 'ines', signer }];
    if (step === 'work') write(machine, 'temperature', { temperature: '19 °C' }, signer);
    if (step === 'replace') {
      const next = newKey();
      machine.keys.push(next);
      write(machine, 'key', { ...person, key: next.publicKey.text, replaces: signer.fingerprint }, next, own);
    }
    if (step === 'recovery') {
      const next = newKey();
      for (const { kept } of machines) kept.push(next);
      write(machine, 'recovery', { ...person, key: next.publicKey.text }, next, own);
    }
    if (step.startsWith('settle') && open)
      write(machine, 'settle', { entry: open.entry.id, keep: step.slice(7) }, signer);
  };

  const first = newKey();
  for (const { keys } of machines) keys.push(first);
  write(machines[0], 'key', { person: 'ines', key: first.publicKey.text }, first);
  write(machines[0], 'build', { sha256: 'f'.repeat(64) }, first);
  machines[1].seen = 2;
  for (const [index, step] of story) act(machines[index === 0 ? 0 : 1], step);
  const [a, b] = machines;
  const state = stateOf(inCausalOrder([a.links, b.links]));
  expect(stateOf(inCausalOrder([b.links, a.links]))).toEqual(state);
  return state;
};

describe('keys of one person on two machines', () => {
  it('never make an honest line look like damage, and both machines see the same', () => {
    const story = fc.array(fc.tuple(fc.integer({ min: 0, max: 1 }), fc.constantFrom(...steps)), { maxLength: 30 });
    fc.assert(
      fc.property(story, (acts) => {
        walk(acts);
      }),
      { numRuns: Number(process.env['FUZZ'] ?? 60) },
    );
  });

  it('settled one way here and the other way there keep what was signed on either', () => {
    for (const [first, second] of [
      [0, 1],
      [1, 0],
    ] as const) {
      const state = walk([
        [1, 'recovery'],
        [0, 'recovery'],
        [1, 'recover'],
        [1, 'look'],
        [0, 'look'],
        [first, first === 1 ? 'settle yes' : 'settle no'],
        [second, second === 1 ? 'settle yes' : 'settle no'],
        [1, 'work'],
        [0, 'work'],
      ]);
      expect(openContradictions(state).length).toBeGreaterThan(0);
    }
  });

  it("let work continue once both have read the other's lines and one has settled", () => {
    const state = walk([
      [0, 'replace'],
      [1, 'replace'],
      [1, 'work'],
      [0, 'look'],
      [0, 'settle no'],
      [0, 'settle no'],
      [0, 'work'],
    ]);
    expect(openContradictions(state)).toEqual([]);
    expect(keysOf(state, 'ines').filter(({ ended }) => ended === undefined)).toHaveLength(1);
  });
});
