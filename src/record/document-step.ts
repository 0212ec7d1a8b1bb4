import * as z from 'zod/mini';
import {
  calculated,
  hash,
  instant,
  may,
  entry,
  setAside,
  share,
  stamp,
  struck,
  text,
  texts,
  verdict,
  whole,
  yes,
  type Frozen,
} from './shapes.ts';

/** One taking of a reading. */
const tryShape = z.strictObject({
  number: whole,
  /** Where, and which time, for readings taken at several places or several times. */
  position: may(text),
  n: may(whole),
  /** As typed, or as last corrected. `entered`: dryfit never saw the work. */
  value: text,
  /** Nobody read it off anything: it was calculated. A calculated value is decided with its error bound. */
  calculated: may(calculated),
  /** Absent where the reading has nothing to decide. */
  verdict: may(verdict),
  /** The individual tool, and its U (k = 2) as the build had it then. */
  tool: may(text),
  uncertainty: may(texts),
  /** Why it was taken again. */
  reason: may(text),
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const readingShape = z.strictObject({
  reading: text,
  ask: may(text),
  /** The unit's name, or `count`, `text`, `choice`. */
  unit: text,
  /** As the procedure has them. */
  limits: may(text),
  /** With the values that they refer to put in. */
  'limits-now': may(text),
  /** The largest difference between the sides, and what the other sides had. */
  twin: may(text),
  'other-sides': may(z.array(z.strictObject({ side: text, job: text, values: texts }))),
  source: may(text),
  'tool-kind': may(text),
  /** How often it might be taken. */
  'tries-allowed': may(whole),
  guarded: may(yes),
  /** The limits were shown after the entry only. */
  blind: may(yes),
  choices: may(texts),
  accept: may(texts),
  entered: z.array(tryShape),
});

const resultShape = z.strictObject({
  result: text,
  calculation: text,
  /** What went in: a quantity, a text, or the id of a reading or result. */
  with: z.array(z.strictObject({ input: text, is: text })),
  limits: may(text),
  'limits-now': may(text),
  source: may(text),
  /** Absent where its inputs were never all there. */
  value: may(text),
  working: may(text),
  /** Where the formula is published, and what to mind with it. */
  formula: may(text),
  caution: may(text),
  warnings: may(texts),
  verdict: may(verdict),
  missing: may(text),
});

const fastenerShape = z.strictObject({
  fastener: whole,
  /** As the wrench showed them, both with the adapter on. */
  torque: may(text),
  drag: may(text),
  /** What the wrench had to show: limits × L/(L+E) + drag. */
  'wrench-limits': may(text),
  /** The torque at the fastener, computed back. */
  'at-fastener': may(text),
  'finger-tight': may(text),
  past: may(text),
  verdict: may(verdict),
  tool: may(text),
  /** The torque mark was entered as on. */
  mark: z.boolean(),
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const tightenShape = z.strictObject({
  fasteners: whole,
  order: z.array(whole),
  torque: may(text),
  drag: may(text),
  adapter: may(text),
  wrench: may(text),
  'finger-tight': may(text),
  past: may(text),
  'tries-allowed': may(whole),
  never: may(text),
  'tool-kind': may(text),
  mark: may(yes),
  source: may(text),
  entered: z.array(fastenerShape),
});

const batchShape = z.strictObject({
  batch: text,
  weights: z.array(
    z.strictObject({
      part: text,
      weight: text,
      /** From the base part's weight; absent for the base itself. */
      target: may(text),
      from: may(text),
      to: may(text),
    }),
  ),
  ratio: z.enum(['within', 'outside']),
  temperature: may(text),
  /** The lot of each part, or of `kit`. */
  lots: z.array(z.strictObject({ part: text, number: text })),
  with: texts,
  ...stamp,
  discarded: may(z.strictObject({ because: text, ...stamp })),
  /** The piece kept of this batch; without `broken` it is still owed. */
  sample: may(
    z.strictObject({
      sample: text,
      broken: may(z.strictObject({ result: z.enum(['held', 'failed']), remark: may(text), ...stamp })),
    }),
  ),
  struck: z.array(struck),
  /** The ratio to which it was mixed, where the page that the job follows now has another. */
  'mixed-to': may(
    z.strictObject({
      ratio: z.array(z.strictObject({ part: text, share })),
      by: z.enum(['weight', 'volume']),
      tolerance: text,
    }),
  ),
  'set-aside': setAside,
});

const mixShape = z.strictObject({
  material: text,
  /** The first part is the base. */
  ratio: z.array(z.strictObject({ part: text, share })),
  by: z.enum(['weight', 'volume']),
  tolerance: text,
  batch: may(text),
  'pot-life': texts,
  sample: z.boolean(),
  source: may(text),
  /** Of the batches in use, the pot life that ended first, at the hottest temperature known for the place. */
  'pot-life-end': may(z.strictObject({ batch: text, ends: instant, hottest: may(text) })),
  batches: z.array(batchShape),
});

const stageShape = z.strictObject({
  stage: text,
  /** The points that the maker states. */
  needs: texts,
  counted: text,
  needed: text,
  reached: z.boolean(),
});

const cureShape = z.strictObject({
  of: texts,
  until: text,
  floor: text,
  'reading-every': may(text),
  /** `stated`: the colder point's rate between two points. `arrhenius`: the author's choice of a curve between them. */
  between: z.enum(['stated', 'arrhenius']),
  source: may(text),
  begun: may(instant),
  /** The time for which the clock and the stages are given: when the step was finished, else when the record was made. */
  'as-of': may(instant),
  /** Hours by the clock, beside which `counted` of each stage stands. */
  clock: may(text),
  stages: z.array(stageShape),
  /**
   * What each stretch between two temperatures counted as, and why one counted nothing. Of a log, neighbours that count alike are one
   * stretch, told at the coldest of it.
   */
  intervals: z.array(
    z.strictObject({ from: instant, to: instant, temperature: text, counted: z.boolean(), why: may(text) }),
  ),
  /** The temperatures typed for the place. */
  readings: z.array(z.strictObject({ entry, when: instant, temperature: text, lowest: may(text), doubtful: may(yes) })),
  /** The logs imported for the place: each file by its hash among the attachments, and its rows in number. */
  logs: may(
    z.array(
      z.strictObject({ entry, file: text, sha256: hash, rows: whole, from: instant, to: instant, struck: may(text) }),
    ),
  ),
});

/** One look at a hold point or witness point, or the invitation to one. */
const lookShape = z.strictObject({
  kind: z.enum(['release', 'refuse', 'reinspect', 'invite']),
  /** Whose look it is; `by` only carried it in, where the two differ. */
  person: text,
  /** The power in which they looked, as the build had it. */
  power: may(text),
  /** How the look was taken. A re-inspection by the performer is none by a second person. */
  as: z.enum(['present', 'remote', 're-inspection by the performer', 'invitation']),
  who: may(text),
  how: may(text),
  remark: may(text),
  /** Numbers of the findings that it raised. */
  findings: z.array(whole),
  /** The entry that made a release void. */
  voided: may(entry),
  /** The signed answer: its file beside the record, and the hashes of it and of its signature. */
  answer: may(z.strictObject({ file: text, sha256: hash, 'signature-sha256': hash })),
  ...stamp,
});

const findingShape = z.strictObject({
  finding: whole,
  person: text,
  text,
  ...stamp,
  answers: z.array(z.strictObject({ remark: text, ...stamp })),
  closed: may(z.strictObject(stamp)),
});

const holdShape = z.strictObject({
  kind: z.enum(['hold point', 'witness point']),
  by: text,
  'look-for': texts,
  'remote-allowed': z.boolean(),
  /** When the performer might look again, where the procedure lets them at all. */
  'self-after': may(text),
  /** The steps inspected, and who performed them. */
  of: texts,
  performers: texts,
  looks: z.array(lookShape),
  findings: z.array(findingShape),
});

export const photoShape = z.strictObject({
  photo: text,
  show: may(text),
  from: may(text),
  sha256: hash,
  file: text,
  ...stamp,
  'set-aside': setAside,
});

/** One step, with everything that was entered on it. */
export const stepShape = z.strictObject({
  number: whole,
  step: text,
  /** The revision that has no place any more for what was entered here. */
  'not-in': may(text),
  title: text,
  do: may(text),
  say: may(text),
  warnings: may(texts),
  cautions: may(texts),
  notes: may(texts),
  critical: may(yes),
  permanent: may(yes),
  sets: may(texts),
  proves: may(texts),
  'relies-on': may(texts),
  covers: may(texts),
  uncovers: may(texts),
  gate: may(text),
  /** People needed, the performer included. */
  people: may(whole),
  place: may(text),
  wait: may(text),
  'only-if': may(text),
  'in-pot-life-of': may(texts),
  /** The stage of a cure that this step relied on. */
  'after-stage': may(z.strictObject({ cures: texts, stage: text })),
  state: z.enum(['finished', 'left for later', 'did not apply', 'open']),
  begun: may(
    z.strictObject({ ...stamp, /** Nobody entered it: the step's first entry began it. */ implied: may(yes) }),
  ),
  finished: may(z.strictObject(stamp)),
  skipped: may(z.strictObject({ because: text, before: text, tag: text, ...stamp })),
  reopened: may(z.array(z.strictObject({ because: text, ...stamp }))),
  /** Helpers named, and everybody who performed here, helpers included. */
  with: texts,
  performers: texts,
  readings: may(z.array(readingShape)),
  results: may(z.array(resultShape)),
  tighten: may(tightenShape),
  mix: may(mixShape),
  cure: may(cureShape),
  break: may(z.strictObject({ of: texts, 'not-before': may(text) })),
  hold: may(holdShape),
  closes: may(texts),
  photos: may(z.array(photoShape)),
});

export type RecordStep = Frozen<z.infer<typeof stepShape>>;
export type RecordTry = Frozen<z.infer<typeof tryShape>>;
export type RecordReading = Frozen<z.infer<typeof readingShape>>;
export type RecordResult = Frozen<z.infer<typeof resultShape>>;
export type RecordFastener = Frozen<z.infer<typeof fastenerShape>>;
export type RecordTighten = Frozen<z.infer<typeof tightenShape>>;
export type RecordBatch = Frozen<z.infer<typeof batchShape>>;
export type RecordMix = Frozen<z.infer<typeof mixShape>>;
export type RecordCure = Frozen<z.infer<typeof cureShape>>;
export type RecordLook = Frozen<z.infer<typeof lookShape>>;
export type RecordHold = Frozen<z.infer<typeof holdShape>>;
export type RecordFinding = Frozen<z.infer<typeof findingShape>>;
export type RecordPhoto = Frozen<z.infer<typeof photoShape>>;
