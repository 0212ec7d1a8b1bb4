import * as z from 'zod/mini';
import { own } from '../../fault/own.ts';
import { inspectedSteps, looksAt, performersOf, powersToLook } from '../../job/hold.ts';
import { idOrName } from '../../job/people.ts';
import { isSkipped, stepApplies } from '../../job/step-state.ts';
import type { Finding, Look } from '../../job/judged.ts';
import type { JobState } from '../../job/state.ts';
import type { Power, Surroundings } from '../../job/surroundings.ts';
import type { Hold, Step } from '../../procedure/model.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { holdFileName } from '../hold-files.ts';
import { presentOf, recordStampOf, unlessEmpty } from '../plain.ts';
import { entry, hash, optionalShape, stamp, textShape, textsShape, wholeShape, type Frozen } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

/** One look at a hold point or witness point, or the invitation to one. */
const lookShape = z.strictObject({
  kind: z.enum(['release', 'refuse', 'reinspect', 'invite']),
  /** Who looked. Where `by` is somebody else, they only entered it. */
  person: textShape,
  /** The power in which they looked, as the build had it. */
  power: optionalShape(textShape),
  /** How the person looked. A re-inspection by the performer is not an independent inspection. */
  as: z.enum(['present', 'remote', 're-inspection by the performer', 'invitation']),
  who: optionalShape(textShape),
  how: optionalShape(textShape),
  remark: optionalShape(textShape),
  /** Of a look from elsewhere: what was shown, and what could not be judged. */
  shown: optionalShape(textShape),
  'not-judged': optionalShape(textShape),
  /** Why the performer looked again at their own work. */
  reason: optionalShape(textShape),
  /** The numbers of the findings that it raised, or that a release closed. */
  findings: z.array(wholeShape),
  /** The entry that made a release void. */
  voided: optionalShape(entry),
  /** The signed answer: its file beside the record, and the hashes of it and of its signature. */
  answer: optionalShape(z.strictObject({ file: textShape, sha256: hash, 'signature-sha256': hash })),
  ...stamp,
});

const findingShape = z.strictObject({
  finding: wholeShape,
  person: textShape,
  text: textShape,
  ...stamp,
  answers: z.array(z.strictObject({ remark: textShape, ...stamp })),
  closed: optionalShape(z.strictObject(stamp)),
});

const holdShape = z.strictObject({
  kind: z.enum(['hold point', 'witness point']),
  by: textShape,
  'look-for': textsShape,
  'remote-allowed': z.boolean(),
  /** After how long the performer might look again, where the procedure lets them at all. */
  'self-after': optionalShape(textShape),
  /** The steps inspected, and who performed them. */
  of: textsShape,
  performers: textsShape,
  /** Of those steps, the ones that were left for later or entered as not done. Finishing one voids every release over it. */
  'not-done': optionalShape(textsShape),
  looks: z.array(lookShape),
  findings: z.array(findingShape),
});

export type RecordLook = Frozen<z.infer<typeof lookShape>>;
export type RecordFinding = Frozen<z.infer<typeof findingShape>>;
export type RecordHold = Frozen<z.infer<typeof holdShape>>;

/** A remote look and one at own work have names of their own: neither is shown as an independent look on the spot. */
const asText = (look: Look): RecordLook['as'] => {
  if (look.kind === 'invite') return 'invitation';
  if (look.self) return 're-inspection by the performer';
  return look.remote ? 'remote' : 'present';
};

const powerOf = (hold: Hold, look: Look, around: Surroundings): Power | undefined => {
  if (look.kind === 'invite') return undefined;
  const powers = own(around.people, look.person)?.powers ?? [];
  return powers.find((power) => powersToLook(hold).includes(power)) ?? powers[0];
};

/** `number` counts the looks at the hold from 1. */
const answerOf = ({ answer, signature }: Look, step: string, number: number): RecordLook['answer'] =>
  answer === undefined || signature === undefined
    ? undefined
    : {
        file: holdFileName(step, number),
        sha256: sha256Hex(answer),
        'signature-sha256': sha256Hex(signature),
      };

const lookOf = (look: Look, number: number, step: string, hold: Hold, around: Surroundings): RecordLook =>
  presentOf<RecordLook>({
    kind: look.kind,
    person: look.person,
    power: powerOf(hold, look, around),
    as: asText(look),
    who: look.who === undefined ? undefined : idOrName(Object.values(around.people), look.who),
    how: look.how,
    remark: look.remark,
    shown: look.shown,
    'not-judged': look.notJudged,
    reason: look.reason,
    findings: look.findings,
    voided: look.voided,
    answer: answerOf(look, step, number),
    ...recordStampOf(look),
  });

const findingOf = (finding: Finding): RecordFinding =>
  presentOf<RecordFinding>({
    finding: finding.number,
    person: finding.person,
    text: finding.text,
    ...recordStampOf(finding),
    answers: finding.answers.map((answer) => ({ remark: answer.remark, ...recordStampOf(answer) })),
    closed: finding.closed && recordStampOf(finding.closed),
  });

const holdOf = (job: JobState, step: Step, hold: Hold, around: Surroundings): RecordHold => {
  const inspected = inspectedSteps(job.plan, step);
  return presentOf<RecordHold>({
    kind: hold.kind === 'hold' ? ('hold point' as const) : ('witness point' as const),
    by: hold.by,
    'look-for': hold.lookFor,
    'remote-allowed': hold.remote,
    'self-after': hold.self?.text,
    of: inspected.map((one) => one.step),
    performers: performersOf(Object.values(around.people), job, step),
    'not-done': unlessEmpty(
      inspected.filter((one) => stepApplies(job, one) && isSkipped(job, one)).map((one) => one.step),
    ),
    looks: looksAt(job, step.step).map((look, index) => lookOf(look, index + 1, step.step, hold, around)),
    findings: job.findings.filter((finding) => finding.step === step.step).map(findingOf),
  });
};

/** A hold point or witness point: what was inspected, every look, every finding and its answers. A refusal is never left out. */
export const recordedHold: RecordedPart<'hold', typeof holdShape> = {
  slot: 'hold',
  shape: holdShape,
  write: (job, step, around) => step.hold && holdOf(job, step, step.hold, around),
};
