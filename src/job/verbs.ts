import { may, must, type Field, type VerbSpec } from './verb-spec.ts';

const withNames = may('with', 'list', 'who lends a hand');
const because = must('because', 'text', 'the reason');
const step = must('step', 'text', 'the step');

/**
 * The verbs of the engine, as one table: what stands bare after the verb, and which fields come with it.
 * The bench, the command line and scripts all send these; the journal keeps them under the same names.
 */
export const verbs = {
  start: {
    object: must('procedure', 'text', 'the procedure'),
    fields: [may('each', 'text', 'the side')],
    brought: [
      must('revision', 'text', 'the revision that is followed'),
      must('sha256', 'text', 'SHA-256 of the exact text'),
    ],
    scope: 'build',
    builder: true,
    about: 'starts a job',
  },
  begin: {
    object: step,
    fields: [withNames],
    scope: 'job',
    builder: true,
    performs: true,
    joins: true,
    resumes: true,
    untilComplete: true,
    about: 'begins a step',
  },
  finish: {
    object: step,
    fields: [withNames, may('reason', 'text', 'why')],
    scope: 'job',
    builder: true,
    performs: true,
    joins: true,
    resumes: true,
    untilComplete: true,
    about: 'finishes a step whose parts are all done',
  },
  complete: {
    fields: [],
    scope: 'job',
    builder: true,
    untilComplete: true,
    about: 'ends the job and writes its record',
  },
  interrupt: { fields: [], scope: 'job', builder: false, about: 'breaks off' },
  resume: {
    fields: [may('rechecked', 'list', 'the steps looked at again')],
    scope: 'job',
    builder: false,
    about: 'comes back',
  },
  read: {
    object: must('reading', 'text', 'the reading'),
    fields: [
      must('value', 'quantity', 'what was read'),
      may('position', 'text', 'where'),
      may('n', 'whole', 'which time'),
      may('tool', 'text', 'the individual tool'),
      may('reason', 'text', 'why it is taken again'),
      may('calculated', 'calculation', 'the calculation that gives the value, and what went in'),
    ],
    derived: [may('uncertainty', 'map', 'what the build said of the tool')],
    scope: 'job',
    builder: true,
    performs: true,
    joins: true,
    resumes: true,
    untilComplete: true,
    about: 'enters a value',
  },
  correct: {
    object: must('entry', 'text', 'WRITER:SEQ, or a reading for its latest value, or the file of an import'),
    fields: [
      may('position', 'text', 'where'),
      may('n', 'whole', 'which time'),
      must('value', 'value', 'what should have been entered; none for an import'),
      must('reason', 'text', 'why'),
    ],
    derived: [may('in-ratio', 'yes', 'whether the corrected batch is inside its ratio')],
    scope: 'job',
    builder: false,
    performs: true,
    about: 'strikes a typed value and enters the right one; the old one stays readable',
  },
  tighten: {
    object: step,
    fields: [
      must('fastener', 'whole', 'which one'),
      may('torque', 'quantity', 'as the wrench showed it'),
      may('finger-tight', 'quantity', 'turns by hand'),
      may('past', 'quantity', 'turns past finger-tight'),
      may('drag', 'quantity', 'running torque, as the wrench showed it'),
      may('tool', 'text', 'the individual tool'),
      may('mark', 'yes', 'the torque mark is on'),
    ],
    scope: 'job',
    builder: true,
    performs: true,
    joins: true,
    resumes: true,
    untilComplete: true,
    about: 'enters one fastener',
  },
  mix: {
    object: step,
    fields: [
      must('weights', 'map', 'each part as weighed'),
      may('sample', 'text', "the sample's number"),
      may('temperature', 'quantity', 'where it is mixed'),
      withNames,
      may('discarded', 'yes', 'the cup is not used'),
    ],
    derived: [
      must('batch', 'text', "the batch's number"),
      must('lots', 'map', 'the lot of each part'),
      must('in-ratio', 'yes', 'inside the tolerance of its ratio'),
    ],
    scope: 'job',
    builder: true,
    performs: true,
    resumes: true,
    untilComplete: true,
    about: 'enters a batch; the pot life runs from here',
  },
  discard: {
    object: must('batch', 'text', 'the batch'),
    fields: [because],
    scope: 'job',
    builder: false,
    about: 'throws a batch away',
  },
  break: {
    object: must('sample', 'text', 'the sample, or its batch'),
    fields: [must('result', 'text', 'what it showed', ['held', 'failed']), may('remark', 'text', 'what was seen')],
    scope: 'job',
    builder: false,
    performs: true,
    resumes: true,
    about: "enters a sample's result",
  },
  lot: {
    object: must('material', 'text', 'the material'),
    fields: [
      must('number', 'text', "the maker's number"),
      may('part', 'text', 'which part of the ratio; the whole kit where left out'),
      may('made', 'day', 'when it was made'),
      may('use-by', 'day', 'good to the end of that day'),
    ],
    scope: 'job',
    builder: false,
    about: 'names the lot that is used from here on',
  },
  use: {
    object: must('kind', 'text', 'the kind of tool'),
    fields: [must('tool', 'text', 'the individual')],
    scope: 'job',
    builder: false,
    about: 'names the individual tool that is used from here on',
  },
  tool: {
    object: must('tool', 'text', 'the individual'),
    fields: [must('found', 'text', 'its state', ['dropped', 'wrong', 'checked'])],
    scope: 'build',
    builder: false,
    about: 'enters what became of a tool',
  },
  shop: {
    fields: [
      may('temperature', 'quantity', 'air'),
      may('surface', 'quantity', 'the work itself'),
      may('humidity', 'quantity', 'relative'),
    ],
    scope: 'job',
    builder: false,
    about: 'enters the conditions of the shop',
  },
  temperature: {
    object: must('temperature', 'quantity', 'as read'),
    fields: [
      may('lowest', 'quantity', 'the lowest since the reading before'),
      may('place', 'text', 'where; else the one unnamed place'),
    ],
    scope: 'build',
    builder: false,
    about: 'enters a temperature of a place',
  },
  temperatures: {
    object: must('file', 'file', "a logger's CSV"),
    fields: [
      may('place', 'text', 'where; else the one unnamed place'),
      may('column', 'text', "the temperature's column, by name or number"),
      may('unit', 'text', 'of the temperatures, where the file does not say', ['C', 'F', 'K']),
      may('dates', 'text', 'how 02/03/2026 is meant', ['day-first', 'month-first']),
      may('offset', 'text', "how the logger's clock stood, as in +01:00"),
    ],
    brought: [must('file-sha256', 'text', 'SHA-256 of the file')],
    derived: [
      must('rows', 'whole', 'how many rows were read'),
      must('first', 'instant', 'of the first row'),
      must('last', 'instant', 'of the last row'),
      must('read', 'map', 'how the file was read'),
    ],
    scope: 'build',
    builder: false,
    about: "imports a logger's temperatures of a place, all of them or none",
  },
  photo: {
    object: must('photo', 'text', 'which picture'),
    fields: [must('file', 'file', 'the picture')],
    brought: [must('file-sha256', 'text', 'SHA-256 of the file')],
    scope: 'job',
    builder: false,
    performs: true,
    joins: true,
    about: 'keeps a picture',
  },
  release: {
    object: step,
    fields: [may('remark', 'text', 'what was seen'), may('remote', 'yes', 'looked at from elsewhere')],
    brought: [
      may('person', 'person', 'who looked, where another carries it in'),
      may('answer', 'document', 'the signed answer'),
      may('answer-sig', 'document', 'its signature'),
    ],
    derived: [may('self', 'yes', 'the performer looked again')],
    scope: 'job',
    builder: false,
    untilComplete: true,
    about: 'releases a hold, with your own key',
  },
  refuse: {
    object: step,
    fields: [must('findings', 'list', 'what must be put right, one by one')],
    brought: [
      may('person', 'person', 'who looked, where another carries it in'),
      may('answer', 'document', 'the signed answer'),
      may('answer-sig', 'document', 'its signature'),
    ],
    derived: [must('numbers', 'wholes', 'the numbers of the findings')],
    scope: 'job',
    builder: false,
    untilComplete: true,
    about: 'refuses a hold, with numbered findings',
  },
  answer: {
    object: must('finding', 'whole', 'the finding'),
    fields: [must('remark', 'text', 'what was done about it')],
    scope: 'job',
    builder: false,
    performs: true,
    about: 'answers a finding',
  },
  reinspect: {
    object: step,
    fields: [must('remark', 'text', 'what was seen')],
    brought: [
      may('person', 'person', 'who looked, where another carries it in'),
      may('answer', 'document', 'the signed answer'),
      may('answer-sig', 'document', 'its signature'),
    ],
    derived: [may('self', 'yes', 'the performer looked again')],
    scope: 'job',
    builder: false,
    untilComplete: true,
    about: 'records a look that does not yet release',
  },
  invite: {
    object: step,
    fields: [must('who', 'text', 'who was asked'), must('how', 'text', 'by telephone, in person …')],
    scope: 'job',
    builder: false,
    about: 'invites to a witness point',
  },
  dispose: {
    object: must('on', 'text', 'the reading, result, step, sample or batch'),
    fields: [
      must('as-what', 'text', 'the disposition', ['rework', 'repair', 'use-as-is', 'scrap', 'ask']),
      must('reason', 'text', 'why'),
      may('accepted-by', 'person', 'the designer who accepts, with their own key'),
      may('letter', 'file', 'their letter, kept by its hash'),
    ],
    brought: [may('letter-sha256', 'text', 'SHA-256 of the letter')],
    derived: [must('covers', 'texts', 'what it covers'), must('step', 'text', 'the step that it is about')],
    scope: 'job',
    builder: true,
    about: 'decides what becomes of work outside its limits',
  },
  depart: {
    object: must('code', 'text', 'the refusal it overrules, or `manual` for none'),
    fields: [
      must('says', 'text', 'the manual says'),
      must('did', 'text', 'I did'),
      because,
      may('agreed', 'text', 'who agreed'),
    ],
    scope: 'job',
    builder: true,
    about: 'departs from the manual, on paper',
  },
  skip: {
    object: step,
    fields: [because, must('before', 'text', 'the gate before which it is done')],
    derived: [must('tag', 'text', 'the number of the tag')],
    scope: 'job',
    builder: true,
    untilComplete: true,
    about: 'leaves a step for later; it becomes a loose item',
  },
  undo: {
    object: step,
    fields: [because],
    scope: 'job',
    builder: true,
    performs: true,
    about: 'takes finished work apart again',
  },
  loose: {
    object: must('item', 'text', 'what'),
    fields: [
      must('count', 'whole', 'how many'),
      must('left', 'text', 'the state it is left in'),
      because,
      must('before', 'text', 'the gate before which it is closed'),
    ],
    derived: [must('tag', 'text', 'the number of the tag'), may('step', 'text', 'the step that it belongs to')],
    scope: 'job',
    builder: false,
    about: 'leaves something loose on purpose, with a tag',
  },
  close: {
    object: must('tag', 'text', 'the tag, or the item'),
    fields: [must('count', 'whole', 'how many')],
    derived: [must('item', 'text', 'what was left loose'), must('left', 'whole', 'how many are still open')],
    scope: 'job',
    builder: false,
    about: 'closes a loose item, counted',
  },
  park: {
    fields: [
      because,
      must('waits-for', 'text', 'what it waits for'),
      must('state', 'text', 'the physical state, in one sentence'),
      must('where', 'text', 'where the parts lie'),
    ],
    scope: 'job',
    builder: false,
    untilComplete: true,
    about: 'parks the job',
  },
  unpark: {
    fields: [may('arrived', 'text', 'what has come')],
    scope: 'job',
    builder: false,
    untilComplete: true,
    about: 'takes a parked job up again',
  },
  remark: { object: must('text', 'text', 'the remark'), fields: [], scope: 'job', builder: false, about: 'notes' },
  advise: {
    object: must('text', 'text', 'their words'),
    fields: [must('from', 'text', 'who said it')],
    scope: 'job',
    builder: false,
    about: 'keeps advice; it unlocks nothing',
  },
  move: {
    object: must('revision', 'text', 'of the procedure, or of its manual'),
    fields: [may('renamed', 'map', 'the new id of each step or reading that has another name now')],
    brought: [must('sha256', 'text', 'SHA-256 of the exact text')],
    derived: [may('reopens', 'texts', 'finished steps that are open again')],
    scope: 'job',
    builder: true,
    about: 'follows another revision from here on; what still stands is carried over',
  },
  resolve: {
    object: must('change', 'text', 'the step, reading or bulletin'),
    fields: [
      must('as-what', 'text', 'the decision', ['comply', 'not-applicable', 'record-only']),
      may('reason', 'text', 'why; wanted unless it is comply'),
      may('revision', 'text', 'which revision; else the one that lies among the procedures'),
    ],
    brought: [must('sha256', 'text', 'SHA-256 of the exact text')],
    derived: [
      may('step', 'text', 'the step that changes'),
      must('covers', 'texts', 'what it covers'),
      may('reopens', 'texts', 'finished steps that are open again'),
      may('lays-aside', 'texts', 'new steps that are not done here'),
    ],
    scope: 'job',
    builder: true,
    about: 'decides about what a revision or a bulletin changes',
  },
  settle: {
    object: must('entry', 'text', 'WRITER:SEQ of the contradiction'),
    fields: [must('keep', 'text', 'yes where it stands, no where it does not')],
    scope: 'build',
    builder: true,
    about: 'settles what contradicts what was done elsewhere at the same time',
  },
  clock: {
    object: must('time', 'instant', 'the true time'),
    fields: [],
    scope: 'build',
    builder: false,
    about: 'enters the true time after clock trouble',
  },
} as const satisfies Record<string, VerbSpec>;

export type Verb = keyof typeof verbs;

export const verbNames = Object.keys(verbs) as readonly Verb[];

export const isVerb = (text: string): text is Verb => Object.hasOwn(verbs, text);

export const verbSpec = (verb: Verb): VerbSpec => verbs[verb];

/** The fields that a person gives, the bare object first. */
export const givenFields = (verb: Verb): readonly Field[] => {
  const { object, fields } = verbSpec(verb);
  return object ? [object, ...fields] : fields;
};

/** Verbs of one job, and those of the whole build. */
export type JobVerb = { readonly [V in Verb]: (typeof verbs)[V]['scope'] extends 'job' ? V : never }[Verb];
export type BuildVerb = Exclude<Verb, JobVerb>;

export const isJobVerb = (text: string): text is JobVerb => isVerb(text) && verbs[text].scope === 'job';

/** True for what makes whoever does it a performer of its step. */
export const performs = (type: string): boolean => isVerb(type) && verbSpec(type).performs === true;

/** True for work that makes a joint where the glue is wet. */
export const joins = (type: string): boolean => isVerb(type) && verbSpec(type).joins === true;
