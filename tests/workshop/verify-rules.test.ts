import { describe, expect, it } from 'vitest';
import { jobsOf } from '../../src/aircraft/state.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner } from '../../src/signing/signer.ts';
import type { Data } from '../../src/job/entry.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import { verifyState } from '../../src/workshop/verify/verify-state.ts';
import { answerText } from '../../src/workshop/answers.ts';
import { introduce, listPerson } from '../../src/workshop/keys/people.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { newDisk } from '../faults/cuts.ts';
import { goOn, machineOn, newStory, withProcedures, type Machine } from '../faults/scene.ts';

/*
 * Lines that somebody with a key of the build writes past the rules: signed, in their place in the chain, and not what dryfit would write.
 * Reading a state believes them, because no rule is asked then; `verify` asks.
 */

/** The key of the scene's inspector. */
const inspector = makeSigner(secretFromSeed(new Uint8Array(32).fill(7)));

/** The scene's build, and what its builder then writes into the journal by hand. */
const written = (work: (machine: Machine, write: (type: string, data: Data, by?: string) => void) => void): void => {
  withProcedures((procedures) => {
    const machine = machineOn(newDisk(), procedures);
    goOn(machine, newStory());
    const write = (type: string, data: Data, by = 'ines'): void => {
      machine.clock.minute += 1;
      const opened = openWorkshop(machine.place, 'write');
      if (!opened.ok) throw new Error(opened.fault.what);
      const { value: workshop } = opened;
      const own = keyring(machine.place, workshop.state, () => 'ines')({})('ines');
      if (!own.ok) throw new Error(own.fault.what);
      const signer = by === 'tobias' ? inspector : own.value;
      const job = workshop.state().jobOrder[0] ?? '';
      const at = new Date(machine.place.wall() + 3_600_000).toISOString().replace('.000Z', '+01:00');
      const entered = workshop.enter({ type, by, job, at, data }, { signer, others: [] });
      workshop.close();
      if (!entered.ok) throw new Error(entered.fault.what);
    };
    work(machine, write);
  });
};

const faultsOf = (machine: Machine): readonly string[] =>
  verifyState(machine.place)
    .observations.filter(({ level }) => level === 'fault')
    .map(({ what }) => what);

/** What `verify` says as well where lines were written without the program, which would have written the record that they owe. */
const unrecorded = 'a record of this completed job is missing after it, though its machine went on to write';

describe('verify decides every line again', () => {
  it('given the scene as its people left it, then nothing is wrong', () => {
    written((machine) => expect(faultsOf(machine)).toEqual([]));
  });

  it('given a tag that was written with another number than the rules give, then it says so', () => {
    written((machine, write) => {
      write('loose', { item: 'guard', count: 1, left: 'off', because: 'the cable', before: 'hull-close', tag: 'T-7' });
      expect(faultsOf(machine)).toContain('the rules give another entry here');
    });
  });

  it('given a departure to which a designer agreed who did not sign it, then it names whoever had to sign it too', () => {
    written((machine, write) => {
      const designer = makeSigner(secretFromSeed(new Uint8Array(32).fill(9)));
      const opened = openWorkshop(machine.place, 'write');
      if (!opened.ok) throw new Error(opened.fault.what);
      const { value: workshop } = opened;
      const signers = keyring(machine.place, workshop.state, () => 'ines')({});
      const own = signers('ines');
      if (!own.ok) throw new Error(own.fault.what);
      const listed = listPerson(workshop, { person: 'quillon', powers: ['designer'] }, 'ines', signers);
      const secret = secretFromSeed(new Uint8Array(32).fill(9));
      const brought = {
        signer: designer,
        key: { kind: 'open', secret, file: { path: '/elsewhere', text: '' } },
      } as const;
      const known = introduce(
        workshop,
        { person: 'quillon', accepts: ['designer'], brought },
        { by: 'ines', signer: own.value },
      );
      workshop.close();
      expect([listed.ok, known.ok]).toEqual([true, true]);
      write('depart', { code: 'manual', says: 'bolts', did: 'rivets', because: 'none came', agreed: 'quillon' });
      expect(faultsOf(machine)).toContain('quillon had to sign it too');
    });
  });

  it('given a refusal without the signed answer of whoever looked, then it says so', () => {
    written((machine, write) => {
      write('undo', { step: 'look', because: 'look again' });
      write('refuse', { step: 'look', findings: ['not even'], numbers: [1] }, 'tobias');
      expect(faultsOf(machine)).toContain('refuse has no signed answer');
    });
  });

  it('given a signed refusal that the builder carries in as a release, then the line is not written', () => {
    written((machine, write) => {
      write('undo', { step: 'look', because: 'look again' });
      const opened = openWorkshop(machine.place, 'read');
      if (!opened.ok) throw new Error(opened.fault.what);
      const state = opened.value.state();
      opened.value.close();
      const job = jobsOf(state)[0];
      if (!job) throw new Error('no job');
      const data = { findings: ['not even'] };
      const wish = { job, step: 'look', answer: 'refuse', person: 'tobias', data, nonce: 'once' } as const;
      const text = answerText(state, wish);
      const signature = inspector.signArmored('dryfit-hold', text.ok ? text.value : '');
      if (!text.ok || !signature.ok) throw new Error('no answer');
      const answer = { answer: text.value, 'answer-sig': signature.value, person: 'tobias' };
      write('refuse', { step: 'look', ...data, ...answer, numbers: [1] });
      expect(faultsOf(machine)).toEqual([unrecorded]);
      expect(() => write('release', { step: 'look', ...answer })).toThrow(
        'ines wrote a release in the name of tobias, who did not sign that',
      );
    });
  });
});
