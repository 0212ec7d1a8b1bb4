import * as z from 'zod/mini';
import { photoShape, stepShape } from './document-step.ts';
import { entry, hash, may, person, setAside, stamp, struck, text, texts, whole, yes, type Frozen } from './shapes.ts';

/**
 * The record of one job, `record.json`: all that a stranger needs to know what was done, by whom, when and with what value.
 * The one place that says what a record holds; what reads a record checks it against this, and the types are made from it.
 * Keys are those of procedure files and of the journal. Quantities are text as typed, numbers are whole.
 */

/** One version of the format. A later one is another number, and this one stays readable. */
export const recordVersion = 1;

/** What a signature here means, what it does not, and the cautions: in the file itself, for it may outlive the program. */
const statementShape = z.strictObject({ signed: texts, cautions: texts });

const buildShape = z.strictObject({
  /** SHA-256 of the build's first journal line: the name of this build everywhere. */
  build: hash,
  /** Of the text of build.yaml that was in force. */
  sha256: may(hash),
  /** Name and value, as the builder wrote them. */
  aircraft: z.array(z.strictObject({ name: text, value: text })),
});

const jobShape = z.strictObject({
  job: text,
  procedure: text,
  title: text,
  revision: text,
  manual: may(z.strictObject({ document: may(text), section: may(text), revision: may(text), date: may(text) })),
  /** Of the exact text that the job followed. */
  sha256: hash,
  side: may(text),
  purpose: may(text),
  /** No departure could overrule what this procedure refuses. */
  strict: may(yes),
  warnings: may(texts),
  started: z.strictObject(stamp),
  /** Absent in the record of a job that is not complete. */
  completed: may(z.strictObject(stamp)),
});

/** Everybody who is named in this record. */
const personShape = z.strictObject({
  person: text,
  name: may(text),
  /** Whom they say that they are, under a key that nobody could vouch for. */
  follows: may(person),
  /** As the build had them; empty for somebody who is only named. */
  powers: texts,
  /** Fingerprints of their keys, as `ssh-keygen -l` prints them. */
  keys: texts,
  /** What they did here. */
  did: z.array(
    z.enum([
      'performed',
      'helped',
      'entered',
      'inspected',
      'witnessed',
      'advised',
      'accepted a disposition',
      'looked again at own work',
    ]),
  ),
});

const toolShape = z.strictObject({
  /** The individual; absent where only the kind is known. */
  tool: may(text),
  kind: text,
  'in-date-until': may(text),
  uncertainty: may(text),
  resolution: may(text),
  calibration: may(text),
  found: may(z.array(z.strictObject({ what: z.enum(['dropped', 'wrong', 'checked']), when: text }))),
  /** Readings and fasteners that it was entered for. */
  used: texts,
});

const lotShape = z.strictObject({
  material: text,
  number: text,
  part: may(text),
  made: may(text),
  'use-by': may(text),
  /** Put off by the stock: to which day, on what evidence, kept among the attachments of the state. */
  extended: may(z.strictObject({ to: text, because: text, evidence: may(text), by: may(text), on: may(text) })),
  ...stamp,
});

const shopShape = z.strictObject({ temperature: may(text), surface: may(text), humidity: may(text), ...stamp });

/** The manual says, I did, because. */
const departureShape = z.strictObject({
  /** The refusal that it overruled, or `manual`. */
  code: text,
  step: may(text),
  says: text,
  did: text,
  because: text,
  agreed: may(text),
  ...stamp,
});

const dispositionShape = z.strictObject({
  on: text,
  step: may(text),
  as: z.enum(['rework', 'repair', 'use-as-is', 'scrap', 'ask the designer']),
  reason: text,
  'accepted-by': may(text),
  /** `signed here`: their signature is on the journal's line. */
  accepted: may(z.enum(['signed here', 'by letter, not signed here'])),
  /** SHA-256 of the letter. */
  letter: may(hash),
  covers: texts,
  ...stamp,
});

const nonconformanceShape = z.strictObject({
  on: text,
  step: text,
  what: text,
  open: z.boolean(),
  /** The entry of the disposition that settled it. */
  disposition: may(entry),
});

const looseShape = z.strictObject({
  tag: text,
  item: text,
  step: may(text),
  count: whole,
  /** How many of them were still open. */
  open: whole,
  left: text,
  because: text,
  /** The gate before which it must be closed. */
  before: text,
  skipped: may(yes),
  ...stamp,
  closings: z.array(z.strictObject({ count: whole, ...stamp })),
  'set-aside': setAside,
});

const parkShape = z.strictObject({
  because: text,
  'waits-for': text,
  /** The physical state, in the builder's sentence. */
  state: text,
  where: text,
  ...stamp,
  ended: may(z.strictObject({ arrived: may(text), ...stamp })),
});

const interruptionShape = z.strictObject({
  ...stamp,
  resumed: may(z.strictObject({ rechecked: texts, ...stamp })),
});

const remarkShape = z.strictObject({ text, step: may(text), ...stamp });

/** An opinion. It unlocked nothing. */
const adviceShape = z.strictObject({ from: text, text, step: may(text), ...stamp });

/** What must be looked at again after the build. */
const followUpShape = z.strictObject({ step: text, title: text, at: texts, every: may(text), count: may(text) });

/** The job followed another revision from there on. */
const moveShape = z.strictObject({
  from: z.strictObject({ revision: text, sha256: hash }),
  to: z.strictObject({ revision: text, sha256: hash }),
  /** Ids that a person said are the same thing. */
  renamed: may(z.array(z.strictObject({ old: text, new: text }))),
  /** Finished steps that did not stand by the new page. */
  reopened: texts,
  ...stamp,
});

/** What the builder decided about a change of the manual, or about a bulletin. */
const decisionShape = z.strictObject({
  on: text,
  as: z.enum(['comply', 'not-applicable', 'record-only']),
  reason: may(text),
  revision: text,
  /** Of the text that brought it. */
  sha256: hash,
  covers: texts,
  ...stamp,
});

const journalShape = z.strictObject({
  /** The last line that the record knew of: the journal up to it is what the record rests on. */
  writer: text,
  seq: whole,
  hash,
  /** Every entry of this job, in order. */
  entries: z.array(
    z.strictObject({
      ...stamp,
      hash,
      type: text,
      step: may(text),
      /** Who signed it too. */
      also: may(texts),
      /** The clock was in doubt then. */
      doubtful: may(yes),
    }),
  ),
});

export const recordShape = z.strictObject({
  record: z.literal('dryfit'),
  v: z.literal(recordVersion),
  /** A rehearsal out of a script: nothing here happened at a bench. */
  scripted: may(yes),
  statement: statementShape,
  build: buildShape,
  job: jobShape,
  /** SHA-256 of the record.json that this one follows. */
  previous: may(hash),
  /** Who signs this file: the person who completed the job. */
  signer: person,
  people: z.array(personShape),
  departures: z.array(departureShape),
  nonconformances: z.array(nonconformanceShape),
  dispositions: z.array(dispositionShape),
  loose: z.array(looseShape),
  moves: may(z.array(moveShape)),
  decisions: may(z.array(decisionShape)),
  steps: z.array(stepShape),
  /** Pictures that belong to no step. */
  photos: z.array(photoShape),
  lots: z.array(lotShape),
  tools: z.array(toolShape),
  shop: z.array(shopShape),
  parks: z.array(parkShape),
  interruptions: z.array(interruptionShape),
  remarks: z.array(remarkShape),
  advice: z.array(adviceShape),
  'follow-ups': z.array(followUpShape),
  journal: journalShape,
});

export type RecordDocument = Frozen<z.infer<typeof recordShape>>;
export type RecordPerson = Frozen<z.infer<typeof personShape>>;
export type RecordTool = Frozen<z.infer<typeof toolShape>>;
export type RecordDeparture = Frozen<z.infer<typeof departureShape>>;
export type RecordDisposition = Frozen<z.infer<typeof dispositionShape>>;
export type RecordMove = Frozen<z.infer<typeof moveShape>>;
export type RecordDecision = Frozen<z.infer<typeof decisionShape>>;
export type RecordNonconformance = Frozen<z.infer<typeof nonconformanceShape>>;
export type RecordLoose = Frozen<z.infer<typeof looseShape>>;
export type RecordStruck = Frozen<z.infer<typeof struck>>;

/** Who and when, as every act carries it. */
export interface RecordStamp {
  readonly entry: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
}
