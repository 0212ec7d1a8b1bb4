import * as z from 'zod/mini';
import { stepShape } from './document-step.ts';
import { recordPartShape } from './taken.ts';
import { looseShape } from './parts/loose.ts';
import { photoShape } from './parts/photo.ts';
import {
  entry,
  hash,
  instant,
  keptPhoto,
  optionalShape,
  personShape,
  stamp,
  textShape,
  textsShape,
  wholeShape,
  yes,
  struck,
  type Frozen,
} from './shapes.ts';

/**
 * The record of one job, `record.json`: all that a stranger needs to know what was done, by whom, when and with what value.
 * These shapes say what a record may hold; every record that is read is checked against them, and the types are made from them.
 * Keys are those of procedure files and of the journal. Quantities are text as typed; numbers are whole and have no unit: they count.
 */

/** The version of the format. A later one gets another number, and records of this one stay readable. */
export const recordVersion = 1;

/** What a signature means, what it does not, and the cautions. They are in the file itself, which may outlive the program. */
const statementShape = z.strictObject({ signed: textsShape, cautions: textsShape });

const buildShape = z.strictObject({
  /** SHA-256 of the build's first journal line: the name of this build everywhere. */
  build: hash,
  /** Of the text of build.yaml that was in force. */
  sha256: optionalShape(hash),
  /** Name and value, as the builder wrote them. */
  aircraft: z.array(z.strictObject({ name: textShape, value: textShape })),
});

const jobShape = z.strictObject({
  job: textShape,
  procedure: textShape,
  title: textShape,
  revision: textShape,
  manual: optionalShape(
    z.strictObject({
      document: optionalShape(textShape),
      section: optionalShape(textShape),
      revision: optionalShape(textShape),
      date: optionalShape(textShape),
    }),
  ),
  /** Of the exact text that the job followed. */
  sha256: hash,
  side: optionalShape(textShape),
  purpose: optionalShape(textShape),
  /** No departure could overrule what this procedure refuses. */
  strict: optionalShape(yes),
  warnings: optionalShape(textsShape),
  started: z.strictObject(stamp),
  /** Absent in the record of a job that is not complete. */
  completed: optionalShape(z.strictObject(stamp)),
  /** The entry that opened the job again after completion; absent once it was completed anew. */
  reopened: optionalShape(z.strictObject(stamp)),
  /** Present where the job was ended by withdrawing it. */
  withdrawn: optionalShape(z.strictObject({ because: textShape, ...stamp })),
});

/** Everybody who is named in this record. */
const recordPerson = z.strictObject({
  person: textShape,
  name: optionalShape(textShape),
  /** The person who they say they are, where their key was lost and nobody could vouch for the new one. */
  follows: optionalShape(personShape),
  /** As the build had them; empty for somebody who is only named. */
  powers: textsShape,
  /** Fingerprints of their keys, as `ssh-keygen -l` prints them. */
  keys: textsShape,
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
      'accepted a disposition by letter',
      'agreed to a departure',
      'is said to have agreed to a departure',
      'was invited to witness',
      'looked again at own work',
    ]),
  ),
});

const toolShape = z.strictObject({
  /** The individual; absent where only the kind is known. */
  tool: optionalShape(textShape),
  kind: textShape,
  'in-date-until': optionalShape(textShape),
  uncertainty: optionalShape(textShape),
  resolution: optionalShape(textShape),
  calibration: optionalShape(textShape),
  found: optionalShape(z.array(z.strictObject({ what: z.enum(['dropped', 'wrong', 'checked']), when: textShape }))),
  /** Readings and fasteners that it was entered for. */
  used: textsShape,
});

const lotShape = z.strictObject({
  material: textShape,
  number: textShape,
  part: optionalShape(textShape),
  made: optionalShape(textShape),
  'use-by': optionalShape(textShape),
  /** The days of the stock, where those of the label are earlier. The earlier use-by counted. */
  'stock-made': optionalShape(textShape),
  'stock-use-by': optionalShape(textShape),
  /** Its use-by was extended: to which day, and on what evidence, which is kept among the attachments of the state. */
  extended: optionalShape(
    z.strictObject({
      to: textShape,
      because: textShape,
      evidence: optionalShape(textShape),
      by: optionalShape(textShape),
      on: optionalShape(textShape),
    }),
  ),
  ...stamp,
});

const shopShape = z.strictObject({
  temperature: optionalShape(textShape),
  surface: optionalShape(textShape),
  humidity: optionalShape(textShape),
  /** What corrections struck; absent where nothing was. */
  struck: optionalShape(z.array(struck)),
  ...stamp,
});

/** The manual says, I did, because. */
const departureShape = z.strictObject({
  /** The refusal that it overruled, or `manual`. */
  code: textShape,
  step: optionalShape(textShape),
  says: textShape,
  did: textShape,
  because: textShape,
  /** Who agreed: a person's id, or the name as typed for somebody whom the build does not know. */
  agreed: optionalShape(textShape),
  /** `signed here`: their signature is on the journal's line. */
  agreement: optionalShape(z.enum(['signed here', 'by word, not signed'])),
  /** Its effect on weight and balance, on access and on later steps, as far as the builder gave it. */
  weight: optionalShape(textShape),
  access: optionalShape(textShape),
  steps: optionalShape(textShape),
  /** Of `gate-open`: what was open at the gate when it was entered, and is excepted there. */
  excepts: optionalShape(textsShape),
  ...stamp,
});

const dispositionShape = z.strictObject({
  on: textShape,
  step: optionalShape(textShape),
  as: z.enum(['rework', 'repair', 'use-as-is', 'scrap', 'ask the designer']),
  reason: textShape,
  /** The one fastener, or the one value of a reading, that it is about; all are absent where it is about the whole. */
  fastener: optionalShape(wholeShape),
  position: optionalShape(textShape),
  n: optionalShape(wholeShape),
  'accepted-by': optionalShape(textShape),
  /** `signed here`: their signature is on the journal's line. */
  accepted: optionalShape(z.enum(['signed here', 'by letter, not signed here'])),
  /** Who wrote the letter. */
  author: optionalShape(textShape),
  /** SHA-256 of the letter. */
  letter: optionalShape(hash),
  covers: textsShape,
  ...stamp,
});

/** What a correction struck of any entry, and what replaces it. */
const correctionShape = z.strictObject({
  /** The type of the entry that was corrected. */
  type: textShape,
  /** The place or the tool, for an entry that belongs to no job. */
  about: optionalShape(textShape),
  was: textShape,
  is: textShape,
  ...stamp,
  reason: textShape,
  'struck-by': textShape,
  'struck-at': instant,
  'struck-entry': entry,
});

const nonconformanceShape = z.strictObject({
  on: textShape,
  step: textShape,
  what: textShape,
  /** A rule refused it, and it was done all the same. */
  refused: optionalShape(yes),
  open: z.boolean(),
  /** The entry of the disposition that settled it. */
  disposition: optionalShape(entry),
});

const parkShape = z.strictObject({
  because: textShape,
  'waits-for': textShape,
  /** The physical state, in the builder's sentence. */
  state: textShape,
  where: textShape,
  photo: optionalShape(keptPhoto),
  ...stamp,
  ended: optionalShape(z.strictObject({ arrived: optionalShape(textShape), ...stamp })),
});

const interruptionShape = z.strictObject({
  ...stamp,
  resumed: optionalShape(z.strictObject({ rechecked: textsShape, ...stamp })),
});

/** The job was taken up again although no interruption and no parking was open. */
const takenUpShape = z.strictObject({
  rechecked: optionalShape(textsShape),
  arrived: optionalShape(textShape),
  ...stamp,
});

const remarkShape = z.strictObject({ text: textShape, step: optionalShape(textShape), ...stamp });

/** An opinion. It unlocked nothing. */
const adviceShape = z.strictObject({ from: textShape, text: textShape, step: optionalShape(textShape), ...stamp });

/** What is due again after the build. */
const followUpShape = z.strictObject({
  step: textShape,
  title: textShape,
  at: textsShape,
  every: optionalShape(textShape),
  count: optionalShape(textShape),
});

/** The job followed another revision from there on. */
const moveShape = z.strictObject({
  from: z.strictObject({ revision: textShape, sha256: hash }),
  to: z.strictObject({ revision: textShape, sha256: hash }),
  /** Ids that a person said are the same thing. */
  renamed: optionalShape(z.array(z.strictObject({ old: textShape, new: textShape }))),
  /** Finished steps that the new revision opened again. */
  reopened: textsShape,
  ...stamp,
});

/** What the builder decided about a change of the manual, or about a bulletin. */
const decisionShape = z.strictObject({
  on: textShape,
  as: z.enum(['comply', 'not-applicable', 'record-only']),
  reason: optionalShape(textShape),
  revision: textShape,
  /** Of the text that brought it. */
  sha256: hash,
  covers: textsShape,
  ...stamp,
});

const journalShape = z.strictObject({
  /** The last line of the journal when the record was made: the record is made from the journal up to here. */
  writer: textShape,
  seq: wholeShape,
  hash,
  /** Every entry of this job, in order. */
  entries: z.array(
    z.strictObject({
      ...stamp,
      hash,
      type: textShape,
      step: optionalShape(textShape),
      /** Who signed it too. */
      also: optionalShape(textsShape),
      /** The clock was in doubt then. */
      doubtful: optionalShape(yes),
    }),
  ),
});

export const recordShape = z.strictObject({
  record: z.literal('dryfit'),
  v: z.literal(recordVersion),
  /** A rehearsal out of a script: nothing here happened at a bench. */
  scripted: optionalShape(yes),
  statement: statementShape,
  build: buildShape,
  job: jobShape,
  /** SHA-256 of the record.json that this one follows. */
  previous: optionalShape(hash),
  /** The builder who signs this file: whoever completed the job, or wrote the entry that changed its story. */
  signer: personShape,
  people: z.array(recordPerson),
  departures: z.array(departureShape),
  nonconformances: z.array(nonconformanceShape),
  dispositions: z.array(dispositionShape),
  /** Everything that corrections struck, in the order of the corrections; absent where nothing was. */
  corrections: optionalShape(z.array(correctionShape)),
  loose: z.array(looseShape),
  moves: optionalShape(z.array(moveShape)),
  decisions: optionalShape(z.array(decisionShape)),
  steps: z.array(stepShape),
  /** Photos that belong to no step. */
  photos: z.array(photoShape),
  lots: z.array(lotShape),
  /** Parts with serial numbers that no step of the procedure fits; the others are at their steps. */
  parts: optionalShape(z.array(recordPartShape)),
  tools: z.array(toolShape),
  shop: z.array(shopShape),
  parks: z.array(parkShape),
  interruptions: z.array(interruptionShape),
  'taken-up': optionalShape(z.array(takenUpShape)),
  remarks: z.array(remarkShape),
  advice: z.array(adviceShape),
  'follow-ups': z.array(followUpShape),
  journal: journalShape,
});

export type RecordDocument = Frozen<z.infer<typeof recordShape>>;
export type RecordPerson = Frozen<z.infer<typeof recordPerson>>;
export type RecordTool = Frozen<z.infer<typeof toolShape>>;
export type RecordDeparture = Frozen<z.infer<typeof departureShape>>;
export type RecordDisposition = Frozen<z.infer<typeof dispositionShape>>;
export type RecordMove = Frozen<z.infer<typeof moveShape>>;
export type RecordDecision = Frozen<z.infer<typeof decisionShape>>;
export type RecordCorrection = Frozen<z.infer<typeof correctionShape>>;
export type RecordNonconformance = Frozen<z.infer<typeof nonconformanceShape>>;
