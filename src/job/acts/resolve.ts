import { castDraft } from 'immer';
import { err, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Change } from '../../procedure/compare/change.ts';
import type { Procedure } from '../../procedure/model.ts';
import { stepOf, type Plan } from '../../procedure/plan.ts';
import type { TakenOf } from '../entry.ts';
import { stampOf } from '../draft.ts';
import { powerRefusals } from '../refusals/power.ts';
import { changeKey, changeName, changesFor, mustRedo } from '../revised.ts';
import type { JobState } from '../state.ts';
import type { Resolution } from '../judged.ts';
import { stepStateOf } from '../step-state.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import { openAgain, planIn, textNamed } from './revision-asked.ts';
import { correctsItem } from './correctable.ts';

/** The plan with which the revision is compared. For a revision that the job already follows, that is the plan from before the move. */
const planBefore = (job: JobState, sha256: string): Plan =>
  sha256 === job.sha256 ? (job.moves.findLast((move) => move.sha256 === sha256)?.before ?? job.plan) : job.plan;

const namesFor = (job: JobState, sha256: string): Readonly<Record<string, string>> =>
  job.moves.findLast((move) => move.sha256 === sha256)?.renamed ?? {};

const meant = (changes: readonly Change[], on: string): readonly Change[] => {
  const exact = changes.filter((change) => changeKey(change) === on);
  if (exact.length > 0) return exact;
  return changes.filter(({ step, reading }) => (step === '' ? 'head' : step) === on || reading === on);
};

const decidingRefusals = ({ command, data, moment }: Ask<'resolve'>): readonly Refusal[] => [
  ...powerRefusals(command.by, ['builder'], 'decide this', moment),
  ...(data['as-what'] === 'comply' || data.reason !== undefined
    ? []
    : [refusal('reason-missing', 'only to comply needs no reason', 'give reason')]),
];

/** A decision cannot drop another person's look, and cannot leave out a step of a strict procedure. */
const leavingRefusals = (plan: Plan, aside: readonly string[]): readonly Refusal[] => [
  ...aside
    .filter((step) => stepOf(plan, step)?.hold?.kind === 'hold')
    .map((step) =>
      refusal('hold-closed', `${step} is a hold point; it is not decided away`, 'have it looked at and released'),
    ),
  ...(plan.strict && aside.length > 0
    ? [refusal('strict', `${plan.procedure} is strict: no step of it is left out`, 'comply')]
    : []),
];

interface Effects {
  readonly reopens: readonly string[];
  readonly aside: readonly string[];
}

/**
 * What a decision changes at once.
 * @param follows whether the job already follows the revision. Before the move nothing needs to be reopened, and the move itself applies
 * the decision.
 */
const effectsOf = ({ job, data }: Ask<'resolve'>, covered: readonly Change[], follows: boolean): Effects => {
  const isLeft = data['as-what'] !== 'comply';
  const added = covered.filter(({ kind, what }) => kind === 'added' && what === 'step').map(({ step }) => step);
  const redone = covered.filter((change) => mustRedo(job, change)).map(({ step }) => step);
  return {
    reopens: follows && !isLeft ? [...new Set(redone)] : [],
    aside: isLeft ? added.filter((step) => stepStateOf(job, step).state === 'todo') : [],
  };
};

const told = (
  { job, data }: Ask<'resolve'>,
  covered: readonly string[],
  { reopens, aside }: Effects,
  follows: boolean,
): readonly string[] => [
  `decided: ${covered.join('; ')}`,
  ...reopens.map((step) => `${step} is open again`),
  ...aside.map((step) => `${step} is not done here`),
  ...(!follows && data['as-what'] === 'comply' ? [`${job.id} follows revision ${job.revision} until it is moved`] : []),
];

const decideBulletin = (ask: Ask<'resolve'>, bulletin: string, named: Procedure): Outcome<TakenOf<'resolve'>> => {
  if (named.answers?.of !== ask.job.procedure)
    return err(
      usage(
        'bulletin-elsewhere',
        `the bulletin ${bulletin} is of ${named.answers?.of ?? 'nothing'}, not of ${ask.job.procedure}`,
        'decide it at a job that it is of',
      ),
    );
  const isComplied = ask.data['as-what'] === 'comply';
  return takeUnless(ask, undefined, decidingRefusals(ask), {
    data: { covers: [`bulletin ${bulletin}`], 'answered-by': named.procedure },
    told: [isComplied ? `carry it out: start ${named.procedure}` : `the bulletin ${bulletin} is decided`],
  });
};

/** The builder's decision about a change or a bulletin, with the reason. */
export const resolveAct: Act<'resolve'> = {
  decide: (ask) => {
    const { job, data } = ask;
    const { change: on, sha256 } = data;
    const named = textNamed(ask);
    if (!named.ok) return named;
    if (named.value.answers?.bulletin === on) return decideBulletin(ask, on, named.value);
    const plan = planIn(job, named.value);
    if (!plan.ok) return plan;
    const changes = changesFor(planBefore(job, sha256), plan.value, namesFor(job, sha256));
    const covered = meant(changes, on);
    const [first] = covered;
    if (first === undefined) {
      const known = [...new Set(changes.map(({ step }) => (step === '' ? 'head' : step)))];
      return err(unknownId(`revision ${named.value.revision} changes nothing called '${on}'`, on, known));
    }
    const follows = sha256 === job.sha256;
    const effects = effectsOf(ask, covered, follows);
    const { reopens, aside } = effects;
    return takeUnless(ask, undefined, [...decidingRefusals(ask), ...leavingRefusals(plan.value, aside)], {
      data: {
        covers: [...new Set(covered.map(changeKey))],
        ...(first.step === '' ? {} : { step: first.step }),
        ...(reopens.length > 0 ? { reopens } : {}),
        ...(aside.length > 0 ? { 'lays-aside': aside } : {}),
      },
      told: told(ask, [...new Set(covered.map(changeName))], effects, follows),
    });
  },
  evolve: (draft, entry, job) => {
    const { change, 'as-what': kind, revision = '', sha256, covers, step, reason, reopens = [] } = entry.data;
    const answeredBy = entry.data['answered-by'];
    const resolution: Resolution = {
      ...stampOf(entry),
      on: change,
      kind,
      revision,
      sha256,
      covers,
      ...(step === undefined ? {} : { step }),
      ...(reason === undefined ? {} : { reason }),
      ...(answeredBy === undefined ? {} : { answeredBy }),
    };
    draft.resolutions.push(castDraft(resolution));
    const aside = (entry.data['lays-aside'] ?? []).filter((id) => job.plan.steps.some((one) => one.step === id));
    draft.laidAside = [...new Set([...draft.laidAside, ...aside])].filter((id) => kind !== 'comply' || id !== step);
    openAgain(draft, job.plan, reopens, entry, `to comply with ${covers.join('; ')}`);
  },
  words: () => undefined,
  correct: correctsItem<'resolve', Resolution>(
    { items: ({ resolutions }) => resolutions, names: { reason: 'reason' }, steps: ({ step }) => [step] },
    { bare: () => 'reason', otherwise: 'decide it again (resolve): the latest decision counts' },
  ),
};
