import { afterAll, describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import type { Observation } from '../../src/record/observe.ts';
import { digestOf } from '../../src/record/inspected.ts';
import { recordMatches } from '../../src/record/matches.ts';
import { verifyEntries } from '../../src/record/verify-entries.ts';
import { verifyList } from '../../src/record/verify-list.ts';
import { verifyRecord, type RecordFiles } from '../../src/record/verify.ts';
import { faultsOf, files, forged, good, holdOf, ring, type Mutable } from './signed.ts';

afterAll(ring.remove);

const found = (given: RecordFiles, where: string): readonly string[] =>
  verifyRecord(given)
    .observations.filter((one) => one.where === where)
    .map(({ level, what }) => `${level} ${what}`);

const changed = (change: (document: Mutable<RecordDocument>) => void): RecordDocument => {
  const document = structuredClone(good.document) as Mutable<RecordDocument>;
  change(document);
  return document as RecordDocument;
};

describe('the page for reading', () => {
  const page = Buffer.from('<!doctype html><title>x</title>');
  const signature = ring.sign('ines', 'dryfit-record', page);

  it('given a record without it, then it is noted and nothing is wrong', () => {
    expect(found(files, 'record.html')).toEqual(['notice the page for reading is not here']);
    expect(faultsOf({ ...files, page: {} })).toEqual([]);
  });

  it('given one that its signer signed, then its signature is good', () => {
    expect(found({ ...files, page: { bytes: page, signature } }, 'record.html')).toEqual([
      `ok signature good: ines, key ${ring.fingerprints['ines']?.[0]}, over every byte of the file`,
    ]);
  });

  it.each([
    ['changed', { bytes: Buffer.concat([page, page]), signature }, 'record.html.sig: the signature is not good'],
    ['unsigned', { bytes: page }, 'record.html.sig: the signature is missing'],
    ['taken out, with its signature left', { signature }, 'record.html: the file is missing'],
    [
      'signed by another',
      { bytes: page, signature: ring.sign('tobias', 'dryfit-record', page) },
      'record.html.sig: signed by tobias, and the record names ines',
    ],
  ])('given one that is %s, then it is a fault', (_, given, expected) => {
    expect(faultsOf({ ...files, page: given })).toEqual([expect.stringContaining(expected)]);
  });
});

describe('who signed the record', () => {
  it('given a signer who is not a builder, then it is a fault', () => {
    const given = forged((document) => {
      for (const person of document.people) if (person.person === 'ines') person.powers = ['helper', 'inspector'];
    });
    expect(faultsOf(given)).toContain('signer: ines, who is named as its signer, is not a builder of this build');
  });

  it('given a signer whom the record does not list among its people, then it is a fault', () => {
    const given = forged((document) => {
      document.people = document.people.filter(({ person }) => person !== 'ines');
    });
    expect(faultsOf(given)).toContain('signer: ines, who is named as its signer, is not a builder of this build');
  });

  it('given a line of allowed_signers that cannot be used, then it is passed over by name, and the rest counts', () => {
    const given = { ...files, signers: `${files.signers}* ssh-ed25519 AAAA\n` };
    expect(faultsOf(given)).toEqual([]);
    const line = files.signers.split('\n').length;
    expect(found(given, `allowed_signers:${line}`)).toEqual([expect.stringMatching(/^notice passed over: the line/)]);
  });

  it('given an allowed_signers that is too long, then nobody is believed', () => {
    const given = faultsOf({ ...files, signers: '#'.repeat(1024 * 1024 + 1) });
    expect(given[0]).toMatch(/^allowed_signers: longer than/);
    expect(given.join('\n')).toContain('a key that is not known here');
  });

  it('given somebody who follows another, then it is noted that nothing shows they are the same', () => {
    const given = forged((document) => {
      for (const person of document.people) if (person.person === 'marit') person.follows = 'mari';
    });
    expect(found(given, 'people[marit]')).toEqual(['notice not proved: that marit is mari, whose key was lost']);
  });
});

describe('a file that is no record', () => {
  it('is named, its signature is looked at all the same, and its hash is given', () => {
    const bytes = Buffer.from('{}');
    const { document, observations, sha256 } = verifyRecord({
      ...files,
      bytes,
      signature: ring.sign('ines', 'dryfit-record', bytes),
    });
    expect(document).toBeUndefined();
    expect(sha256).toBe('44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a');
    expect(observations.map(({ level, where }) => `${level} ${where}`)).toEqual([
      'fault record.json',
      'ok record.json',
      'notice record.html',
    ]);
  });
});

describe('what a reader must know', () => {
  const openAt = (where: string, change: (document: Mutable<RecordDocument>) => void): readonly string[] =>
    found(forged(change), where);

  it.each<[string, string, (document: Mutable<RecordDocument>) => void, readonly string[]]>([
    ['a job that is complete', 'job', () => undefined, []],
    ['a job that is not complete', 'job', (d) => delete d.job.completed, ['notice the job is not complete']],
    [
      'a job that was opened again',
      'job',
      (d) => {
        if (d.job.completed) d.job.reopened = d.job.completed;
      },
      ['notice the job is not complete'],
    ],
    ['no departure', 'departures', (d) => (d.departures = []), []],
    [
      'two departures',
      'departures',
      (d) => d.departures.push(...structuredClone(d.departures)),
      ['notice 2 departures from the manual'],
    ],
    ['no rehearsal', 'scripted', () => undefined, []],
  ])('%s', (_, where, change, expected) => {
    expect(openAt(where, change)).toEqual(expected);
  });

  it('what no check here can prove is said each time', () => {
    const said = verifyRecord(files)
      .observations.filter(({ what }) => what.startsWith('not proved'))
      .map(({ level, where }) => `${level} ${where}`);
    expect(said).toEqual(['notice record.json', 'notice record.json', 'notice record.json']);
  });
});

describe('the looks at a hold', () => {
  const witnessed = (document: Mutable<RecordDocument>) => {
    const hold = document.steps.find(({ step }) => step === 'watch')?.hold;
    if (!hold) throw new Error('no witness point');
    return hold;
  };

  it('given a witness point that is finished without anybody’s look, then nothing is wrong', () => {
    const given = faultsOf(
      forged((document) => {
        witnessed(document).looks = [];
      }),
    );
    expect(given.filter((fault) => fault.includes('steps[watch]'))).toEqual([]);
  });

  it('given a hold that is not finished, then a release and answers may be missing', () => {
    const given = faultsOf(
      forged((document) => {
        const step = document.steps.find(({ step: id }) => id === 'inspect');
        if (step) step.state = 'open';
        const hold = holdOf(document);
        hold.looks = hold.looks.filter(({ kind }) => kind !== 'release');
        for (const finding of hold.findings) finding.answers = [];
      }),
    ).join('\n');
    expect(given).not.toContain('no release of it stands');
    expect(given).not.toContain('was never answered');
  });

  it('given answers of other remarks, of what was shown and not judged, then each is named at its look', () => {
    for (const [field, said] of [
      ['remark', 'the remark in the answer is another'],
      ['shown', 'what was shown is another in the answer'],
      ['not-judged', 'what could not be judged is another in the answer'],
      ['reason', 'the reason in the answer is another'],
    ] as const) {
      const given = faultsOf(
        forged((document) => {
          for (const look of holdOf(document).looks) if (look.kind === 'release') look[field] = 'something else';
        }),
      );
      expect(given).toContainEqual(
        expect.stringMatching(new RegExp(`^steps\\[inspect\\]\\.hold\\.looks\\[\\d\\]: ${said}$`)),
      );
    }
  });

  it('given a release that the record calls a refusal, then it is not believed', () => {
    const given = faultsOf(
      forged((document) => {
        for (const look of holdOf(document).looks) if (look.kind === 'release') look.kind = 'refuse';
      }),
    ).join('\n');
    expect(given).toContain('the answer says release, the record refuse');
    expect(given).toContain('no release of it stands');
  });

  it('given a refusal that the record calls a release, then it is not believed', () => {
    const given = faultsOf(
      forged((document) => {
        for (const look of holdOf(document).looks) if (look.kind === 'refuse') look.kind = 'release';
      }),
    ).join('\n');
    expect(given).toContain('the answer says refuse, the record release');
  });
});

describe('the entries that a record rests on', () => {
  const said = (change: (document: Mutable<RecordDocument>) => void): readonly string[] =>
    verifyEntries(changed(change)).map(({ level, what, where }: Observation) => `${level} ${where}: ${what}`);

  it('are counted where all is well', () => {
    expect(said(() => undefined)).toEqual([
      expect.stringMatching(/^ok journal\.entries: \d+ acts rest on \d+ entries/),
    ]);
  });

  it.each(['by', 'at', 'when'] as const)(
    'given an act whose %s is not that of its entry, then it is named',
    (field) => {
      const given = said((document) => {
        document.job.started[field] = field === 'by' ? 'tobias' : '2026-03-01T09:00:00+01:00';
      });
      expect(given).toEqual([expect.stringMatching(/^fault job\.started: differs from w:\d+ in its person or time$/)]);
    },
  );

  it('given the lines of two writers among each other, then each is in order by itself', () => {
    const given = said((document) => {
      const [first] = document.journal.entries;
      if (!first) throw new Error('no entries');
      document.journal.entries.splice(2, 0, { ...first, entry: 'v:900' });
      document.journal.entries.push({ ...first, entry: 'v:901' });
    });
    expect(given).toEqual([expect.stringMatching(/^ok/)]);
  });

  it('given an earlier line of a writer after a later one, then it is named with its place', () => {
    const given = said((document) => {
      const [first] = document.journal.entries;
      if (!first) throw new Error('no entries');
      document.journal.entries.push({ ...first, entry: 'v:7' }, { ...first, entry: 'v:6' });
    });
    expect(given).toEqual([expect.stringMatching(/^fault journal\.entries\[\d+\]: v:6 stands after v:7$/)]);
  });
});

describe('a list that was signed at a look', () => {
  const at = holdOf(structuredClone(good.document) as Mutable<RecordDocument>).looks.find(
    ({ kind }) => kind === 'release',
  );
  if (!at?.answer) throw new Error('no release');
  const file = good.answers.get(at.answer.file);
  const { inspected } = JSON.parse(new TextDecoder().decode(file?.bytes)) as { inspected: readonly string[] };
  const look = (list: readonly string[], digest = digestOf(list), document: RecordDocument = good.document) =>
    verifyList(document, 'inspect', at.entry, { inspected: list, digest }, 'here').map(
      ({ level, what, where }) => `${level} ${where}: ${what}`,
    );

  it('is as it was signed for', () => {
    expect(look(inspected)).toEqual([`ok here: what was inspected is as it was signed for, ${inspected.length} lines`]);
  });

  it('given another digest, then the list is not read at all', () => {
    expect(look(inspected, '0'.repeat(64))).toEqual([
      'fault here: the digest that was signed is not that of the list beside it',
    ]);
  });

  it('given a line that the record has not, then it is named', () => {
    expect(look([...inspected, 'w:1 nothing of the kind'])).toEqual([
      'fault here: signed for, and not so in the record: w:1 nothing of the kind',
    ]);
  });

  it('given a record that has more, then it is a fault; and a notice where several machines wrote', () => {
    const less = inspected.slice(1);
    const line = `in the record, and not on the list that was signed: ${inspected[0]}`;
    expect(look(less)).toEqual([`fault here: ${line}`]);
    const several = changed((document) => {
      const [first] = document.journal.entries;
      if (first) document.journal.entries.push({ ...first, entry: 'other:1' });
    });
    expect(look(less, digestOf(less), several)).toEqual([`notice here: ${line}`]);
  });
});

describe('a record against the journal', () => {
  const { document } = good;
  it.each<[string, (document: Mutable<RecordDocument>) => void, string]>([
    ['a person', (d) => (d.people[1] = { ...d.people[1]!, name: 'x' }), `people[${document.people[1]?.person}].name`],
    ['an entry without a name, by its number', (d) => (d.journal.entries[0]!.hash = 'x'), 'journal.entries[1].hash'],
    ['a list that is shorter', (d) => d.journal.entries.pop(), `journal.entries[${document.journal.entries.length}]`],
    ['a key that is not there', (d) => delete d.job.completed, 'job.completed'],
    ['a list in place of a text', (d) => (d.signer = [] as never), 'signer'],
    ['nothing in place of an object', (d) => (d.job = null as never), 'job'],
    ['a text in place of an object', (d) => (d.job = 'x' as never), 'job'],
  ])('%s that differs is named', (_, change, path) => {
    const other = changed(change);
    const [one, two] = [recordMatches(other, document), recordMatches(document, other)];
    expect([one?.path, two?.path]).toEqual([path, path]);
    expect([one?.record, one?.journal]).toEqual([two?.journal, two?.record]);
  });
});
