import { counted } from '../fault/counted.ts';
import type { Change, ChangeKind } from '../procedure/compare/change.ts';
import { changeKinds } from '../procedure/compare/change.ts';
import type { Comparison } from '../procedure/compare/compare.ts';
import { alike, tokensOf } from '../procedure/compare/likeness.ts';
import { compareWords } from '../procedure/compare/words.ts';
import type { Procedure } from '../procedure/model.ts';

/** A piece of a line, and what it is. The words say it too: the tone is never all there is. */
export interface Toned {
  readonly text: string;
  readonly tone: 'plain' | 'quiet' | 'strong' | 'gone' | 'come' | 'order' | 'person' | 'outside';
}

export type TonedLine = readonly Toned[];

export const toned = (text: string, tone: Toned['tone'] = 'plain'): Toned => ({ text, tone });

type Known = Pick<Procedure, 'procedure' | 'title' | 'revision' | 'manual' | 'steps'>;

/** The kinds that there are, each with its number: `1 shifted, 2 text`. */
const kindCounts = (changes: readonly Change[]): string =>
  changeKinds
    .map((kind) => [kind, changes.filter((change) => change.kind === kind).length] as const)
    .filter(([, count]) => count > 0)
    .map(([kind, count]) => `${count} ${kind}`)
    .join(', ');

const revisionOf = ({ revision, manual }: Known): string =>
  manual?.revision === undefined ? revision : `${revision} (manual ${manual.revision})`;

const where = (changes: readonly Change[], steps: number): string => {
  const inSteps = new Set(changes.flatMap(({ step }) => (step === '' ? [] : [step]))).size;
  const inHead = changes.some(({ step }) => step === '');
  return [...(inHead ? ['the head'] : []), ...(inSteps > 0 ? [`${inSteps} of ${counted(steps, 'step')}`] : [])].join(
    ' and ',
  );
};

/** All steps that either has. */
const stepCount = (changes: readonly Change[], now: Known): number =>
  now.steps.length + changes.filter(({ kind, what }) => kind === 'removed' && what === 'step').length;

/** The whole comparison in one line: which procedure, from which revision to which, how many changes of which kind, and where. */
export const summaryText = ({ changes, sameProcedure }: Comparison, before: Known, now: Known): string => {
  const name = sameProcedure
    ? `${now.procedure} ${revisionOf(before)} → ${revisionOf(now)}`
    : `two different procedures, ${before.procedure} ${revisionOf(before)} and ${now.procedure} ${revisionOf(now)}`;
  if (changes.length === 0) return `${name}: nothing has changed`;
  return `${name}: ${counted(changes.length, 'change')} in ${where(changes, stepCount(changes, now))}: ${kindCounts(changes)}`;
};

/** Share of words in common (0 to 1) below which two texts are shown as one gone and one come, not word by word. */
const likeEnough = 0.4;

/** How many unchanged words are shown before and after a change. */
const around = 6;

const cutRun = (text: string, isFirst: boolean, isLast: boolean): string => {
  const words = text.split(' ');
  if (words.length <= 2 * around) return text;
  if (isFirst) return `… ${words.slice(-around).join(' ')}`;
  if (isLast) return `${words.slice(0, around).join(' ')} …`;
  return `${words.slice(0, around).join(' ')} … ${words.slice(-around).join(' ')}`;
};

/** Removed words between minus signs, new words between plus signs; long unchanged passages are shortened. */
const wordSpans = (before: string, now: string): TonedLine => {
  if (alike(tokensOf(before), tokensOf(now)) < likeEnough)
    return [
      toned(`-${cutRun(before, false, false)}-`, 'gone'),
      toned(' '),
      toned(`+${cutRun(now, false, false)}+`, 'come'),
    ];
  const runs = compareWords(before, now);
  return runs.flatMap((run, index) => {
    const gap = index === 0 ? [] : [toned(' ')];
    if (run.in === 'old') return [...gap, toned(`-${run.text}-`, 'gone')];
    if (run.in === 'new') return [...gap, toned(`+${run.text}+`, 'come')];
    return [...gap, toned(cutRun(run.text, index === 0, index === runs.length - 1))];
  });
};

const tones: Readonly<Record<ChangeKind, Toned['tone']>> = {
  added: 'come',
  removed: 'gone',
  moved: 'order',
  renamed: 'order',
  text: 'plain',
  tighter: 'person',
  looser: 'order',
  shifted: 'person',
  'same-in-other-unit': 'quiet',
  changed: 'person',
};

const bothSpans = (change: Change): TonedLine => {
  if (change.kind === 'text' && change.old !== undefined && change.new !== undefined)
    return wordSpans(change.old, change.new);
  if (change.old !== undefined && change.new !== undefined)
    return [toned(change.old, 'gone'), toned(' → '), toned(change.new, 'come')];
  if (change.new !== undefined)
    return change.kind === 'tighter' ? [toned('none → '), toned(change.new, 'come')] : [toned(change.new, 'come')];
  if (change.old === undefined) return [];
  return change.kind === 'looser' ? [toned(change.old, 'gone'), toned(' → none')] : [toned(change.old, 'gone')];
};

const likely = (change: Change): TonedLine =>
  change.kind === 'renamed' ? [toned('  (by likeness, unless you said so)', 'quiet')] : [];

/** `down limits  shifted: 14 ± 1 ° → 15 ± 1 °` */
export const changeLine = (change: Change): TonedLine => {
  const { reading, what } = change;
  const name = reading === undefined || what === reading ? what : `${reading} ${what}`;
  return [
    toned(`${name}: `),
    toned(change.kind, tones[change.kind]),
    toned(': '),
    ...bothSpans(change),
    ...likely(change),
  ];
};

/** A step that was added or removed is one line; of any other the changes are listed beneath it. */
const stepLines = (
  step: string,
  changes: readonly Change[],
  titles: ReadonlyMap<string, string>,
): readonly TonedLine[] => {
  const [whole] = changes.filter(({ what, kind }) => what === 'step' && (kind === 'added' || kind === 'removed'));
  if (whole !== undefined) {
    const title = whole.new ?? whole.old ?? '';
    return [[toned(whole.kind, tones[whole.kind]), toned(`  ${step}  `, 'strong'), toned(title)]];
  }
  return [
    [toned(step, 'strong'), toned(`  ${titles.get(step) ?? ''}`)],
    ...changes.map((change): TonedLine => [toned('  '), ...changeLine(change)]),
  ];
};

/** The details, place by place. */
export const changeLines = ({ changes }: Comparison, before: Known, now: Known): readonly TonedLine[] => {
  const titles = new Map([...before.steps, ...now.steps].map(({ step, title }) => [step, title]));
  const lines: TonedLine[] = [];
  for (let from = 0; from < changes.length;) {
    const step = changes[from]!.step;
    const end = changes.findIndex((change, index) => index > from && change.step !== step);
    const here = changes.slice(from, end === -1 ? changes.length : end);
    lines.push(
      ...(step === ''
        ? [[toned('head', 'strong')], ...here.map((change): TonedLine => [toned('  '), ...changeLine(change)])]
        : stepLines(step, here, titles)),
    );
    from += here.length;
  }
  return lines;
};
