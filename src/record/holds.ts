import type { Surroundings, Power } from '../job/surroundings.ts';
import { inspectedSteps, performersOf, powersToLook } from '../job/hold.ts';
import type { Finding, JobState, Look } from '../job/state.ts';
import type { Hold, Step } from '../procedure/model.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { RecordFinding, RecordHold, RecordLook } from './document-step.ts';
import { present, recordStampOf } from './plain.ts';
import { own } from '../fault/own.ts';

/** One signed answer as it lies beside the record: its text exactly as it was signed, and its signature at `FILE.sig`. */
export interface HoldFile {
  readonly file: string;
  readonly text: string;
  readonly signature: string;
}

const fileOf = (step: string, number: number): string => `holds/${step.replaceAll('/', '.')}-${number}.json`;

/** Every signed answer of a job, in the order of the looks at each hold. */
export const holdFilesOf = (job: JobState): readonly HoldFile[] =>
  job.plan.steps.flatMap(({ step }) =>
    (own(job.looks, step) ?? []).flatMap(({ answer, signature }, index) =>
      answer === undefined || signature === undefined
        ? []
        : [{ file: fileOf(step, index + 1), text: answer, signature }],
    ),
  );

/** Remote and self have names of their own, and are never the look of somebody who was there. */
const asText = (look: Look): RecordLook['as'] => {
  if (look.kind === 'invite') return 'invitation';
  if (look.self) return 're-inspection by the performer';
  return look.remote ? 'remote' : 'present';
};

const powerOf = (hold: Hold, look: Look, around: Surroundings): Power | undefined => {
  const powers = own(around.people, look.person)?.powers ?? [];
  if (look.kind === 'invite') return undefined;
  return powers.find((power) => powersToLook(hold).includes(power)) ?? powers[0];
};

const lookOf = (step: string, hold: Hold, look: Look, number: number, around: Surroundings): RecordLook =>
  present({
    kind: look.kind,
    person: look.person,
    power: powerOf(hold, look, around),
    as: asText(look),
    who: look.who,
    how: look.how,
    remark: look.remark,
    findings: look.findings,
    voided: look.voided,
    answer:
      look.answer === undefined || look.signature === undefined
        ? undefined
        : {
            file: fileOf(step, number),
            sha256: sha256Hex(look.answer),
            'signature-sha256': sha256Hex(look.signature),
          },
    ...recordStampOf(look),
  });

const findingOf = (finding: Finding): RecordFinding =>
  present({
    finding: finding.number,
    person: finding.person,
    text: finding.text,
    ...recordStampOf(finding),
    answers: finding.answers.map((answer) => ({ remark: answer.remark, ...recordStampOf(answer) })),
    closed: finding.closed && recordStampOf(finding.closed),
  });

/** A hold point or witness point: what was looked at, every look, every finding and its answers. A refusal stays for ever. */
export const holdRecorded = (job: JobState, step: Step, hold: Hold, around: Surroundings): RecordHold => {
  const inspected = inspectedSteps(job.plan, step);
  return present({
    kind: hold.kind === 'hold' ? ('hold point' as const) : ('witness point' as const),
    by: hold.by,
    'look-for': hold.lookFor,
    'remote-allowed': hold.remote,
    'self-after': hold.self?.text,
    of: inspected.map((one) => one.step),
    performers: performersOf(job, inspected),
    looks: (own(job.looks, step.step) ?? []).map((look, index) => lookOf(step.step, hold, look, index + 1, around)),
    findings: job.findings.filter((finding) => finding.step === step.step).map(findingOf),
  });
};
