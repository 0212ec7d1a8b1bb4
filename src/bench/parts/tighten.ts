import { own } from '../../fault/own.ts';
import type { JobState } from '../../job/state.ts';
import { currentActs, fastenerNow } from '../../job/parts/tighten.ts';
import { limitsNow } from '../../job/values.ts';
import type { Step, Tighten } from '../../procedure/model.ts';
import type { Form, Question } from '../session/form.ts';
import { correctItem, type MenuItem } from '../session/menu/item.ts';
import { limitsUnit } from './limits-unit.ts';
import type { BenchPart } from './part.ts';
import { tightenSaid, tightenWork } from './tighten-rows.ts';

const ask = (name: string, words: string, unit: string): Question => ({
  name,
  ask: words,
  kind: 'quantity',
  required: true,
  unit,
});

const reasonQuestion: Question = { name: 'reason', ask: 'Why is it tightened again?', kind: 'text', required: true };

/** The values of one fastener. From the second try on its reason is asked too. Its mark is not among them: that is an act of its own, once they are entered. */
export const tightenForm = (job: JobState, step: Step, tighten: Tighten, fastener: number): Form => {
  const fixed = tighten.torque && limitsNow(job, tighten.torque);
  const torqueUnit = (fixed?.low ?? fixed?.high)?.at.unit.name ?? limitsUnit(tighten.torque, 'N·m');
  const tries = currentActs(job, step.step, fastener);
  const now = fastenerNow(job, step.step, fastener);
  const isAgain = now?.torque !== undefined || now?.past !== undefined;
  return {
    key: `tighten ${job.id} ${step.step} ${fastener} ${tries.length}`,
    title: tighten.fasteners === 1 ? step.title : `Fastener ${fastener}`,
    about: tighten.never === undefined ? [] : [`Never ${tighten.never}`],
    verb: 'tighten',
    job: job.id,
    fixed: { step: step.step, fastener },
    questions: [
      ...(tighten.drag === 'measured' ? [ask('drag', 'Drag, as the wrench shows it', torqueUnit)] : []),
      ...(tighten.torque ? [ask('torque', 'Torque, as the wrench shows it', torqueUnit)] : []),
      ...(tighten.fingerTight ? [ask('finger-tight', 'Turns by hand', limitsUnit(tighten.fingerTight, 'turns'))] : []),
      ...(tighten.past ? [ask('past', 'Turns past finger-tight', limitsUnit(tighten.past, 'turns'))] : []),
      ...(isAgain ? [reasonQuestion] : []),
    ],
    subject: { part: 'tighten', step, tighten, fastener },
  };
};

/** The values of a fastener: as entries name them, and as the state does. */
const fields = [
  ['torque', 'torque'],
  ['finger-tight', 'fingerTight'],
  ['past', 'past'],
  ['drag', 'drag'],
] as const;

const corrections = (job: JobState): readonly MenuItem[] =>
  Object.entries(job.fasteners).flatMap(([step, acts]) =>
    acts
      .filter((act) => act.superseded === undefined)
      .flatMap((act) =>
        fields.flatMap(([name, key]) => {
          const value = act[key];
          return value === undefined
            ? []
            : [correctItem(job, act.entry, `${step} ${act.fastener} ${name}`, value, undefined, name)];
        }),
      ),
  );

export const tightenPart = {
  ask: (job, step, { tighten, fastener, missing }) =>
    missing.length === 1 && missing[0] === 'mark'
      ? { kind: 'mark', step, fastener }
      : { kind: 'question', step, form: tightenForm(job, step, tighten, fastener), beneath: 'step' },
  work: tightenWork,
  said: tightenSaid,
  again: (job, step, trouble) => {
    const act = (own(job.fasteners, step.step) ?? []).find(({ entry }) => trouble.key.startsWith(`${entry}=`));
    return act && step.tighten && trouble.isFinal !== true
      ? tightenForm(job, step, step.tighten, act.fastener)
      : undefined;
  },
  corrections,
} satisfies BenchPart<'tighten'>;
