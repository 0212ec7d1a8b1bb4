import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { recordText } from '../../src/record/record.ts';
import { verifyRecord, type RecordFiles } from '../../src/record/verify.ts';
import type { AnswerFile } from '../../src/record/verify-holds.ts';
import type { Sign } from './fixture.ts';
import { faultsOf, files, forged, good, job, ring, signature, text } from './signed.ts';

afterAll(ring.remove);

const withAnswers = (change: (answers: Map<string, AnswerFile>) => void): RecordFiles => {
  const answers = new Map(good.answers);
  change(answers);
  return { ...files, answers };
};

describe('a record that nobody touched', () => {
  it('is called Good by ssh-keygen, and has no fault here', () => {
    expect(ring.verifies('ines', 'dryfit-record', text, signature)).toBe(true);
    expect(faultsOf(files)).toEqual([]);
  });

  it('says what is proved, by whom, and what is not', () => {
    const { observations, document } = verifyRecord(files);
    const said = observations.map(({ level, what }) => `${level} ${what}`).join('\n');
    expect(said).toContain(`ok signature good: ines, key ${ring.fingerprints['ines']?.[0]}`);
    expect(said).toContain('ok refuse signed by tobias');
    expect(said).toMatch(/ok release signed by tobias with SHA256:\S+, remote/);
    expect(said).toContain('notice tobias looked from elsewhere: remote');
    expect(said).toContain('notice 1 loose item open');
    expect(said).toContain('notice 1 departure from the manual');
    expect(said).toMatch(/notice not proved: whose hand held a key/);
    expect(said).toMatch(/notice not proved: the clock/);
    expect(said).not.toContain('scripted');
    expect(document).toEqual(good.document);
  });

  it('decides every plain verdict again', () => {
    const decided = verifyRecord(files).observations.find(({ what }) => what.includes('decided again'));
    // thickness ×2, gap ×2, grain, rods, line, and two cups.
    expect(decided?.what).toContain('9 verdicts');
  });

  it('says scripted where it is, with no fault', () => {
    const scripted = forged((document) => {
      document.scripted = true;
    });
    expect(faultsOf(scripted)).toEqual([]);
    expect(verifyRecord(scripted).observations).toContainEqual(
      expect.objectContaining({ level: 'notice', what: expect.stringContaining('scripted') as string }),
    );
  });
});

describe('any byte changed', () => {
  it('is a fault here', () => {
    fc.assert(
      fc.property(fc.nat(files.bytes.length - 1), fc.integer({ min: 1, max: 255 }), (place, flip) => {
        const bytes = Uint8Array.from(files.bytes);
        bytes[place] = (bytes[place] ?? 0) ^ flip;
        expect(faultsOf({ ...files, bytes })).not.toEqual([]);
      }),
      { numRuns: 200 },
    );
  });

  it('is no longer Good for ssh-keygen', () => {
    for (const place of [0, 1, Math.floor(files.bytes.length / 2), files.bytes.length - 1]) {
      const bytes = Uint8Array.from(files.bytes);
      bytes[place] = (bytes[place] ?? 0) ^ 1;
      expect(ring.verifies('ines', 'dryfit-record', bytes, signature)).toBe(false);
    }
  });

  it.each([
    ['a byte more', Buffer.concat([files.bytes, Buffer.from('\n')])],
    ['a byte less', files.bytes.subarray(0, -1)],
    ['nothing', Buffer.alloc(0)],
  ])('is a fault with %s', (_name, bytes) => {
    expect(faultsOf({ ...files, bytes }).join('\n')).toMatch(/signature is not good/);
  });
});

describe('the signature', () => {
  const { signature: _signature, ...unsigned } = files;
  it.each<[string, RecordFiles, RegExp]>([
    ['missing', unsigned, /signature is missing/],
    ['no signature at all', { ...files, signature: 'Good\n' }, /signature is not good/],
    [
      'made for another purpose',
      { ...files, signature: ring.sign('ines', 'dryfit-hold', text) },
      /signed for dryfit-hold/,
    ],
    [
      'by somebody else who is known',
      { ...files, signature: ring.sign('tobias', 'dryfit-record', text) },
      /names ines as its signer/,
    ],
    [
      'by a key that is not known',
      { ...files, signers: ring.signers.replace(/^ines .*\n/m, '') },
      /a key that is not known here/,
    ],
    [
      'by another key of the same person than the record lists',
      forged((document) => {
        for (const person of document.people) person.keys = [];
      }),
      /not among the keys that the record lists/,
    ],
  ])('%s', (_name, given, expected) => {
    expect(faultsOf(given).join('\n')).toMatch(expected);
  });
});

describe('a signed answer', () => {
  const answered = (change: Readonly<Record<string, unknown>>, signer = 'tobias'): RecordFiles => {
    const other = job((person, answer) => ring.answer(signer === 'tobias' ? person : signer, { ...answer, ...change }));
    const bytes = Buffer.from(recordText(other.document));
    return { ...files, bytes, signature: ring.sign('ines', 'dryfit-record', bytes), answers: other.answers };
  };
  const wrongSpace: Sign = (person, answer) => {
    const made = JSON.stringify(answer);
    return { text: made, signature: ring.sign(person, 'dryfit-entry', made) };
  };
  const inOtherSpace = (): RecordFiles => {
    const other = job(wrongSpace);
    const bytes = Buffer.from(recordText(other.document));
    return { ...files, bytes, signature: ring.sign('ines', 'dryfit-record', bytes), answers: other.answers };
  };
  const first = 'holds/inspect-1.json';
  const found = good.answers.get(first);
  if (!found) throw new Error('no answer');

  it.each<[string, () => RecordFiles, RegExp]>([
    ['missing', () => withAnswers((answers) => answers.delete(first)), /inspect-1\.json is missing/],
    [
      'without its signature',
      () => withAnswers((answers) => answers.set(first, { bytes: found.bytes })),
      /inspect-1\.json\.sig is missing/,
    ],
    [
      'changed',
      () =>
        withAnswers((answers) =>
          answers.set(first, { ...found, bytes: Buffer.concat([found.bytes, Buffer.from(' ')]) }),
        ),
      /inspect-1\.json has been changed/,
    ],
    [
      'under another signature',
      () =>
        withAnswers((answers) =>
          answers.set(first, { ...found, signature: ring.sign('stranger', 'dryfit-hold', found.bytes) }),
        ),
      /inspect-1\.json\.sig has been changed/,
    ],
    ['for another job', () => answered({ job: 'other' }), /for the job other/],
    ['for another build', () => answered({ build: 'f'.repeat(64) }), /for another build/],
    ['for another step', () => answered({ step: 'watch' }), /for the step watch/],
    ['that refuses where the record releases', () => answered({ answer: 'refuse' }), /says refuse, the record release/],
    ['by another person in its text', () => answered({ person: 'marit' }), /by marit/],
    ['with another remark', () => answered({ remark: 'all well' }), /remark in the answer is another/],
    ['with other findings', () => answered({ findings: ['one', 'two'] }), /findings in the answer are others/],
    ['with the same nonce twice', () => answered({ nonce: 'n' }), /replay/],
    ['signed by the builder', () => answered({}, 'ines'), /signed by ines, not by tobias/],
    ['signed for another purpose', inOtherSpace, /signed for dryfit-entry/],
    ['that is no answer', () => answered({ build: 7 }), /is not an answer/],
  ])('%s', (_name, given, expected) => {
    expect(faultsOf(given()).join('\n')).toMatch(expected);
  });
});
