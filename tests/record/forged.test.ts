import { afterAll, describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import { faultsOf, forged, holdOf, ring, type Mutable } from './signed.ts';

afterAll(ring.remove);

describe('a record that was changed and signed anew by the builder', () => {
  it.each<[string, (document: Mutable<RecordDocument>) => void, RegExp]>([
    [
      'shows a remote look as present',
      (document) => {
        for (const look of holdOf(document).looks) look.as = 'present';
      },
      /answer says remote, the record present/,
    ],
    [
      'drops the refusal and its findings',
      (document) => {
        const hold = holdOf(document);
        hold.looks = hold.looks.filter(({ kind }) => kind !== 'release');
        hold.findings = [];
      },
      /no release of it stands/,
    ],
    [
      'says a release by the performer',
      (document) => {
        for (const look of holdOf(document).looks) look.person = 'ines';
      },
      /ines performed what was inspected/,
    ],
    [
      'says a release by somebody who follows the performer',
      (document) => {
        for (const one of document.people) if (one.person === 'tobias') one.follows = 'ines';
      },
      /tobias performed what was inspected/,
    ],
    [
      'says a release by somebody whom the performer follows',
      (document) => {
        for (const one of document.people) if (one.person === 'ines') one.follows = 'tobias';
      },
      /tobias performed what was inspected/,
    ],
    [
      'lets somebody without the power release',
      (document) => {
        for (const person of document.people) if (person.person === 'tobias') person.powers = ['witness'];
      },
      /tobias has no power of inspector/,
    ],
    [
      'releases from elsewhere where that is not allowed',
      (document) => {
        holdOf(document)['remote-allowed'] = false;
      },
      /allows no remote release/,
    ],
    [
      'calls own work re-inspected where nobody may',
      (document) => {
        for (const look of holdOf(document).looks) look.as = 're-inspection by the performer';
      },
      /lets nobody release own work/,
    ],
    [
      'forgets an answer to a finding',
      (document) => {
        for (const finding of holdOf(document).findings) finding.answers = [];
      },
      /finding 1 was never answered/,
    ],
    [
      'calls a value outside within',
      (document) => {
        for (const taken of document.steps[0]?.readings?.[1]?.entered ?? []) taken.verdict = 'within';
      },
      /0\.25 mm is outside at most 0\.15 mm, and the record says within/,
    ],
    [
      'calls a bad cup good',
      (document) => {
        for (const batch of document.steps.flatMap(({ mix }) => mix?.batches ?? [])) batch.ratio = 'within';
      },
      /weights of B-1 are outside the ratio/,
    ],
    [
      'has an act without an entry',
      (document) => {
        document.journal.entries = document.journal.entries.filter(({ type }) => type !== 'depart');
      },
      /departures\[1\]: rests on w:\d+, which is not among the entries/,
    ],
    [
      'moves a time',
      (document) => {
        document.job.started.at = '2026-03-01T09:00:00+01:00';
      },
      /job\.started: differs from w:5/,
    ],
    [
      'hides that a value was entered late',
      (document) => {
        const late = document.steps[0]?.readings?.[1]?.entered[0];
        if (late) delete late.when;
      },
      /readings\[2\]\.entered\[1\]: differs from w:9/,
    ],
    [
      'puts an entry twice',
      (document) => {
        const entry = document.journal.entries[3];
        if (entry) document.journal.entries.splice(3, 0, entry);
      },
      /stands after/,
    ],
    [
      'takes out a value outside, and its entry',
      (document) => {
        const gap = document.steps[0]?.readings?.[1];
        const [outside] = gap?.entered ?? [];
        if (gap) gap.entered = gap.entered.slice(1);
        document.journal.entries = document.journal.entries.filter(({ entry }) => entry !== outside?.entry);
      },
      /signed for, and not so in the record: .*of measure gap, number 1, value 0\.25 mm|of gap, number 1, value 0\.25 mm/,
    ],
    [
      'takes out a value outside, and leaves its entry',
      (document) => {
        const gap = document.steps[0]?.readings?.[1];
        if (gap) gap.entered = gap.entered.slice(1);
      },
      /signed for, and not so in the record/,
    ],
    [
      'has a better value',
      (document) => {
        for (const taken of document.steps[0]?.readings?.[1]?.entered ?? []) {
          taken.value = '0.10 mm';
          taken.verdict = 'within';
        }
      },
      /signed for, and not so in the record: .*0\.25 mm/,
    ],
    [
      'forgets that a value was struck',
      (document) => {
        for (const taken of document.steps[0]?.readings?.[0]?.entered ?? []) taken.struck = [];
      },
      /signed for, and not so in the record: .*struck, value 219 mm/,
    ],
    [
      'has another torque',
      (document) => {
        for (const act of document.steps.flatMap(({ tighten }) => tighten?.entered ?? [])) act.torque = '170 in·lb';
      },
      /signed for, and not so in the record: .*torque 165 in·lb/,
    ],
    [
      'has no cup thrown away',
      (document) => {
        for (const mix of document.steps.flatMap((step) => step.mix ?? [])) mix.batches = mix.batches.slice(1);
      },
      /signed for, and not so in the record: .*batch B-1/,
    ],
    [
      'has no sample broken',
      (document) => {
        for (const batch of document.steps.flatMap(({ mix }) => mix?.batches ?? [])) delete batch.sample?.broken;
      },
      /signed for, and not so in the record: .*result held/,
    ],
    [
      'has no departure',
      (document) => {
        const ids = document.departures.map(({ entry }) => entry);
        document.departures = [];
        document.journal.entries = document.journal.entries.filter(({ entry }) => !ids.includes(entry));
      },
      /signed for, and not so in the record: .*says AN3 bolts/,
    ],
    [
      'has no disposition',
      (document) => {
        document.dispositions = [];
      },
      /signed for, and not so in the record: .*as use-as-is/,
    ],
    [
      'takes out the refusal, its findings and their answers whole',
      (document) => {
        const hold = holdOf(document);
        const gone = new Set([
          ...hold.looks.filter(({ kind }) => kind === 'refuse').map(({ entry }) => entry),
          ...hold.findings.flatMap(({ entry, answers }) => [entry, ...answers.map((one) => one.entry)]),
        ]);
        hold.looks = hold.looks.filter(({ kind }) => kind !== 'refuse');
        for (const look of hold.looks) look.findings = [];
        hold.findings = [];
        document.journal.entries = document.journal.entries.filter(({ entry }) => !gone.has(entry));
      },
      /signed for, and not so in the record: .*kind refuse/,
    ],
    [
      'takes out one finding',
      (document) => {
        const hold = holdOf(document);
        hold.findings = hold.findings.filter(({ finding }) => finding !== 1);
      },
      /finding 1 is not in the record/,
    ],
    [
      'takes out the signed answers',
      (document) => {
        for (const look of holdOf(document).looks) delete look.answer;
      },
      /the refuse has no signed answer/,
    ],
    [
      'puts in a value that nobody inspected',
      (document) => {
        const gap = document.steps[0]?.readings?.[1];
        const [outside] = gap?.entered ?? [];
        if (gap && outside) gap.entered.push({ ...outside, value: '0.05 mm', verdict: 'within', number: 3 });
      },
      /in the record, and not on the list that was signed: .*0\.05 mm/,
    ],
    [
      'names an older head',
      (document) => {
        document.journal.seq = 20;
      },
      /later than the head/,
    ],
    [
      'gives the head another hash',
      (document) => {
        document.journal.hash = '0'.repeat(64);
      },
      /different hashes/,
    ],
  ])('%s', (_name, change, expected) => {
    expect(faultsOf(forged(change)).join('\n')).toMatch(expected);
  });
});
