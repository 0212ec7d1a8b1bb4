import { writtenParts } from './parts/parts.ts';

/**
 * What an editor shows beside a key of a procedure file, by the path of keys that leads to it, lists left out. `*` stands for any path. The
 * keys of a step part stand with the part.
 */
const head = {
  procedure: 'The id: lower-case letters, digits and hyphens; the same as the file’s name.',
  title: 'What the work is called.',
  revision: 'The issue mark of this procedure.',
  manual: 'Where in the manual the work is described.',
  'manual.document': 'The manual’s number or name.',
  'manual.section': 'Chapter or section, as the manual prints it.',
  'manual.revision': 'The issue mark of the manual.',
  'manual.date': 'The manual’s day of issue: 2026-03-01.',
  purpose: 'One or two sentences on what the work is for.',
  each: 'One job for each of these, such as [left, right]; <each> stands for it in any text.',
  after: 'Procedures that come before this one.',
  'after.procedure': 'The id of the procedure that comes before.',
  'after.not-older': 'How long ago it may have been completed at most: 6 months.',
  'after.same-lot': 'true: it must have been done with the same lot of material.',
  answers: 'The bulletin that this procedure answers.',
  'answers.bulletin': 'The bulletin’s number.',
  'answers.of': 'The id of the procedure whose work it concerns.',
  strict: 'true: no departure may overrule what this procedure refuses.',
  takes: 'Hands-on time, without cures: 3 h.',
  people: 'How many people it needs, the performer included.',
  gather: 'What is fetched before the start.',
  'gather.tools': 'Kinds of tools; the build names the individual.',
  'gather.tools.tool': 'The kind, as readings and tightening name it.',
  'gather.materials': 'What is used up.',
  'gather.materials.material': 'The material, as a mix names it.',
  'gather.materials.lot':
    'true: the maker’s lot must be named before the mix, or before the first step whose materials name it.',
  'gather.parts': 'What is built in.',
  'gather.parts.part': 'The part’s number.',
  'gather.parts.quantity': 'How many.',
  'gather.parts.serial': 'true: each is named by its serial number at the step whose parts name it.',
  'gather.shop': 'What the air in the shop must be like.',
  'gather.shop.temperature': 'Limits: 18 to 28 °C.',
  'gather.shop.humidity': 'Limits: at most 70 %.',
  'gather.shop.above-dew-point': 'How far the surface must be above the dew point: at least 3 °C.',
  'gather.shop.not-older': 'For how long an entered condition counts: 2 h, where nothing is said.',
  charts: 'Curves to read values from: straight lines between points, refused outside.',
  'charts.chart': 'The id of the chart.',
  'charts.of': 'Pairs, the first of each rising: [0 °C, 140 N, 10 °C, 160 N].',
  warnings: 'What may hurt a person, for the whole of the work.',
  steps: 'The steps in order; each is finished and signed for by itself.',
} as const;

const step = {
  'steps.step': 'The id, stable across revisions: records and comparisons hang on it.',
  'steps.title': 'What the step is called.',
  'steps.for': 'The step once for each of these: [bay-1, bay-2].',
  'steps.do': 'What to do, in the imperative, in at most 60 words.',
  'steps.why': 'What it is for.',
  'steps.warning': 'What may hurt a person. An instruction belongs to do.',
  'steps.caution': 'What may damage the work.',
  'steps.note': 'What helps.',
  'steps.say': 'Spoken aloud while pointing; shown large.',
  'steps.takes': 'Hands-on time: 15 min.',
  'steps.people': 'How many people it needs, the performer included.',
  'steps.materials': 'Materials taken in hand here, besides those of a mix, as gather names them.',
  'steps.parts': 'Parts that go in here, by the numbers that gather has.',
  'steps.place': 'Where it is done; temperatures belong to a place.',
  'steps.critical': 'true: wants a typed value or its own key, never the common one.',
  'steps.only-if': 'The step is done only if a reading above is so.',
  'steps.only-if.reading': 'The id of the reading that decides.',
  'steps.only-if.is': 'Limits: more than 0.2 mm.',
  'steps.permanent': 'true: it cannot be undone without damage.',
  'steps.sets': 'Features that this step makes permanent.',
  'steps.proves': 'Features that this dry trial shows to be right.',
  'steps.relies-on': 'Features that this step’s outcome depends on.',
  'steps.covers': 'Areas that become unreachable.',
  'steps.uncovers': 'Areas that can be reached again.',
  'steps.reaches': 'Areas that this step must be able to get at.',
  'steps.gate': 'Passing this step passes this gate of the build.',
  'steps.in-pot-life-of': 'To be finished inside the pot life of the batches of this mix step.',
  'steps.no-later-than': 'The longest interval, as wait is the shortest.',
  'steps.no-later-than.after': 'The id of an earlier step: the time runs from its finish.',
  'steps.no-later-than.time': 'Within this time the step is begun: 24 h.',
  'steps.after-stage': 'Waits for a stage of a cure.',
  'steps.after-stage.cure': 'The id of the cure step.',
  'steps.after-stage.stage': 'The stage, as the cure names it.',
  'steps.back-to': 'The step to go back to when a reading is outside.',
  'steps.again': 'A follow-up after the build.',
  'steps.again.at': 'When: [1 h, 10 h].',
  'steps.again.every': 'How often: 50 h.',
  'steps.again.count': 'What counts the hours: engine hours.',
  'steps.closes': 'Loose items that this step closes.',
} as const;

const anywhere = {
  '*.title': 'What it is called.',
  '*.in-date': 'true: refused when its date has passed, or is not known.',
  '*.limits': 'What it must lie within: 12.5 ± 0.1 mm, at most 0.2 mm, 35 to 40 in·lb.',
  '*.tool': 'The kind of tool, as gather names it.',
  '*.source': 'Where the limits come from: manual 5.3.',
} as const;

const parts = Object.values(writtenParts).flatMap(({ key, about, hints: below }) => [
  [`steps.${key}`, about] as const,
  ...Object.entries(below).map(([inner, hint]) => [`steps.${key}.${inner}`, hint] as const),
]);

const hints: ReadonlyMap<string, string> = new Map([...Object.entries({ ...head, ...step, ...anywhere }), ...parts]);

/** What an editor shows beside the key at a path, such as `['steps', 'readings', 'limits']`. */
export const hintFor = (path: readonly string[]): string | undefined =>
  hints.get(path.join('.')) ?? hints.get(`*.${path.at(-1)}`);
