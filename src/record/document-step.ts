import * as z from 'zod/mini';
import {
  calculated,
  hash,
  instant,
  optionalShape,
  entry,
  setAside,
  share,
  stamp,
  struck,
  textShape,
  textsShape,
  verdict,
  wholeShape,
  yes,
  type Frozen,
} from './shapes.ts';

/** One taking of a reading. */
const tryShape = z.strictObject({
  number: wholeShape,
  /** Where, and which time, for readings taken at several places or several times. */
  position: optionalShape(textShape),
  n: optionalShape(wholeShape),
  /** As typed, or as last corrected. `entered`: dryfit never saw the work. */
  value: textShape,
  /** Nobody read it off anything: it was calculated. A calculated value is decided with its error bound. */
  calculated: optionalShape(calculated),
  /** Absent where the reading has nothing to decide. */
  verdict: optionalShape(verdict),
  /** The individual tool, and its U (k = 2) as the build had it then. */
  tool: optionalShape(textShape),
  uncertainty: optionalShape(textsShape),
  /** Why it was taken again. */
  reason: optionalShape(textShape),
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const readingShape = z.strictObject({
  reading: textShape,
  ask: optionalShape(textShape),
  /** The unit's name, or `count`, `text`, `choice`. */
  unit: textShape,
  /** As the procedure has them. */
  limits: optionalShape(textShape),
  /** With the values that they refer to put in. */
  'limits-now': optionalShape(textShape),
  /** The largest difference between the sides, and what the other sides had. */
  twin: optionalShape(textShape),
  'other-sides': optionalShape(z.array(z.strictObject({ side: textShape, job: textShape, values: textsShape }))),
  source: optionalShape(textShape),
  'tool-kind': optionalShape(textShape),
  /** How often it might be taken. */
  'tries-allowed': optionalShape(wholeShape),
  guarded: optionalShape(yes),
  /** The limits were shown after the entry only. */
  blind: optionalShape(yes),
  choices: optionalShape(textsShape),
  accept: optionalShape(textsShape),
  entered: z.array(tryShape),
});

const resultShape = z.strictObject({
  result: textShape,
  calculation: textShape,
  /** What went in: a quantity, a text, or the id of a reading or result. */
  with: z.array(z.strictObject({ input: textShape, is: textShape })),
  limits: optionalShape(textShape),
  'limits-now': optionalShape(textShape),
  source: optionalShape(textShape),
  /** Absent where its inputs were never all there. */
  value: optionalShape(textShape),
  working: optionalShape(textShape),
  /** Where the formula is published, and what to mind with it. */
  formula: optionalShape(textShape),
  caution: optionalShape(textShape),
  warnings: optionalShape(textsShape),
  verdict: optionalShape(verdict),
  missing: optionalShape(textShape),
});

const fastenerShape = z.strictObject({
  fastener: wholeShape,
  /** As the wrench showed them, both with the adapter on. */
  torque: optionalShape(textShape),
  drag: optionalShape(textShape),
  /** What the wrench had to show: limits × L/(L+E) + drag. */
  'wrench-limits': optionalShape(textShape),
  /** The torque at the fastener, computed back. */
  'at-fastener': optionalShape(textShape),
  'finger-tight': optionalShape(textShape),
  past: optionalShape(textShape),
  verdict: optionalShape(verdict),
  tool: optionalShape(textShape),
  /** The torque mark was entered as on. */
  mark: z.boolean(),
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const tightenShape = z.strictObject({
  fasteners: wholeShape,
  order: z.array(wholeShape),
  torque: optionalShape(textShape),
  drag: optionalShape(textShape),
  adapter: optionalShape(textShape),
  wrench: optionalShape(textShape),
  'finger-tight': optionalShape(textShape),
  past: optionalShape(textShape),
  'tries-allowed': optionalShape(wholeShape),
  never: optionalShape(textShape),
  'tool-kind': optionalShape(textShape),
  mark: optionalShape(yes),
  source: optionalShape(textShape),
  entered: z.array(fastenerShape),
});

const batchShape = z.strictObject({
  batch: textShape,
  weights: z.array(
    z.strictObject({
      part: textShape,
      weight: textShape,
      /** From the base part's weight; absent for the base itself. */
      target: optionalShape(textShape),
      from: optionalShape(textShape),
      to: optionalShape(textShape),
    }),
  ),
  ratio: z.enum(['within', 'outside']),
  temperature: optionalShape(textShape),
  /** The lot of each part, or of `kit`. */
  lots: z.array(z.strictObject({ part: textShape, number: textShape })),
  with: textsShape,
  ...stamp,
  discarded: optionalShape(z.strictObject({ because: textShape, ...stamp })),
  /** The piece kept of this batch; without `broken` it is still owed. */
  sample: optionalShape(
    z.strictObject({
      sample: textShape,
      broken: optionalShape(
        z.strictObject({ result: z.enum(['held', 'failed']), remark: optionalShape(textShape), ...stamp }),
      ),
    }),
  ),
  struck: z.array(struck),
  /** The ratio to which it was mixed, where the page that the job follows now has another. */
  'mixed-to': optionalShape(
    z.strictObject({
      ratio: z.array(z.strictObject({ part: textShape, share })),
      by: z.enum(['weight', 'volume']),
      tolerance: textShape,
    }),
  ),
  'set-aside': setAside,
});

const mixShape = z.strictObject({
  material: textShape,
  /** The first part is the base. */
  ratio: z.array(z.strictObject({ part: textShape, share })),
  by: z.enum(['weight', 'volume']),
  tolerance: textShape,
  batch: optionalShape(textShape),
  'pot-life': textsShape,
  sample: z.boolean(),
  source: optionalShape(textShape),
  /** Of the batches in use, the pot life that ended first, at the hottest temperature known for the place. */
  'pot-life-end': optionalShape(z.strictObject({ batch: textShape, ends: instant, hottest: optionalShape(textShape) })),
  batches: z.array(batchShape),
});

const stageShape = z.strictObject({
  stage: textShape,
  /** The points that the maker states. */
  needs: textsShape,
  counted: textShape,
  needed: textShape,
  reached: z.boolean(),
});

const cureShape = z.strictObject({
  of: textsShape,
  until: textShape,
  floor: textShape,
  'reading-every': optionalShape(textShape),
  /** `stated`: the colder point's rate between two points. `arrhenius`: the author's choice of a curve between them. */
  between: z.enum(['stated', 'arrhenius']),
  source: optionalShape(textShape),
  begun: optionalShape(instant),
  /** The time for which the clock and the stages are given: when the step was finished, else when the record was made. */
  'as-of': optionalShape(instant),
  /** Hours by the clock, beside which `counted` of each stage stands. */
  clock: optionalShape(textShape),
  stages: z.array(stageShape),
  /**
   * What each stretch between two temperatures counted as, and why one counted nothing. Of a log, neighbours that count alike are one
   * stretch, told at the coldest of it.
   */
  intervals: z.array(
    z.strictObject({
      from: instant,
      to: instant,
      temperature: textShape,
      counted: z.boolean(),
      why: optionalShape(textShape),
    }),
  ),
  /** The temperatures typed for the place. */
  readings: z.array(
    z.strictObject({
      entry,
      when: instant,
      temperature: textShape,
      lowest: optionalShape(textShape),
      doubtful: optionalShape(yes),
    }),
  ),
  /** The logs imported for the place: each file by its hash among the attachments, and its rows in number. */
  logs: optionalShape(
    z.array(
      z.strictObject({
        entry,
        file: textShape,
        sha256: hash,
        rows: wholeShape,
        from: instant,
        to: instant,
        struck: optionalShape(textShape),
      }),
    ),
  ),
});

/** One look at a hold point or witness point, or the invitation to one. */
const lookShape = z.strictObject({
  kind: z.enum(['release', 'refuse', 'reinspect', 'invite']),
  /** Whose look it is; `by` only carried it in, where the two differ. */
  person: textShape,
  /** The power in which they looked, as the build had it. */
  power: optionalShape(textShape),
  /** How the look was taken. A re-inspection by the performer is none by a second person. */
  as: z.enum(['present', 'remote', 're-inspection by the performer', 'invitation']),
  who: optionalShape(textShape),
  how: optionalShape(textShape),
  remark: optionalShape(textShape),
  /** Numbers of the findings that it raised. */
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
  /** When the performer might look again, where the procedure lets them at all. */
  'self-after': optionalShape(textShape),
  /** The steps inspected, and who performed them. */
  of: textsShape,
  performers: textsShape,
  looks: z.array(lookShape),
  findings: z.array(findingShape),
});

export const photoShape = z.strictObject({
  photo: textShape,
  show: optionalShape(textShape),
  from: optionalShape(textShape),
  sha256: hash,
  file: textShape,
  ...stamp,
  'set-aside': setAside,
});

/** One step, with everything that was entered on it. */
export const stepShape = z.strictObject({
  number: wholeShape,
  step: textShape,
  /** The revision that has no place any more for what was entered here. */
  'not-in': optionalShape(textShape),
  title: textShape,
  do: optionalShape(textShape),
  say: optionalShape(textShape),
  warnings: optionalShape(textsShape),
  cautions: optionalShape(textsShape),
  notes: optionalShape(textsShape),
  critical: optionalShape(yes),
  permanent: optionalShape(yes),
  sets: optionalShape(textsShape),
  proves: optionalShape(textsShape),
  'relies-on': optionalShape(textsShape),
  covers: optionalShape(textsShape),
  uncovers: optionalShape(textsShape),
  gate: optionalShape(textShape),
  /** People needed, the performer included. */
  people: optionalShape(wholeShape),
  place: optionalShape(textShape),
  wait: optionalShape(textShape),
  'only-if': optionalShape(textShape),
  'in-pot-life-of': optionalShape(textsShape),
  /** The stage of a cure that this step relied on. */
  'after-stage': optionalShape(z.strictObject({ cures: textsShape, stage: textShape })),
  state: z.enum(['finished', 'left for later', 'did not apply', 'open']),
  begun: optionalShape(
    z.strictObject({
      ...stamp,
      /** Nobody entered it: the step's first entry began it. */ implied: optionalShape(yes),
    }),
  ),
  finished: optionalShape(z.strictObject(stamp)),
  skipped: optionalShape(z.strictObject({ because: textShape, before: textShape, tag: textShape, ...stamp })),
  reopened: optionalShape(z.array(z.strictObject({ because: textShape, ...stamp }))),
  /** Helpers named, and everybody who performed here, helpers included. */
  with: textsShape,
  performers: textsShape,
  readings: optionalShape(z.array(readingShape)),
  results: optionalShape(z.array(resultShape)),
  tighten: optionalShape(tightenShape),
  mix: optionalShape(mixShape),
  cure: optionalShape(cureShape),
  break: optionalShape(z.strictObject({ of: textsShape, 'not-before': optionalShape(textShape) })),
  hold: optionalShape(holdShape),
  closes: optionalShape(textsShape),
  photos: optionalShape(z.array(photoShape)),
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
