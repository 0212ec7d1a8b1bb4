import { nameOf, peopleOf } from '../../aircraft/state.ts';
import { isOwnWork, lookRefusals } from '../../job/acts/hold-asked.ts';
import { openFindings } from '../../job/hold.ts';
import type { JobState } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import type { JobNow } from '../job-now.ts';
import type { Choice, Form, Question } from './form.ts';
import { introduceItem } from './menu/book.ts';
import type { MenuItem } from './menu/item.ts';

/** Who may answer here, as the rules have it; a performer of the inspected work only where the procedure allows it. */
const lookers = ({ facts, job, moment }: JobNow, step: Step): readonly Choice[] => {
  const { hold } = step;
  if (!hold) return [];
  return peopleOf(facts.build).flatMap((person): readonly Choice[] => {
    const asked = { step, hold, looker: person };
    const refused = lookRefusals({ job, moment }, asked).some(({ code }) => code === 'power' || code === 'own-work');
    if (refused) return [];
    const label = nameOf(facts.build, person) ?? person;
    return isOwnWork({ job, moment }, asked)
      ? [{ value: person, label, aside: 're-inspection by the performer' }]
      : [{ value: person, label }];
  });
};

const by = (here: JobNow, step: Step): Question => ({
  name: 'by',
  ask: 'Who are you?',
  kind: 'choice',
  required: true,
  choices: lookers(here, step),
});

/** Where nobody of the build may look, whoever is here is introduced before the first question. */
const unlessNobody = (here: JobNow, step: Step, items: readonly MenuItem[]): readonly MenuItem[] => {
  const isNobody = lookers(here, step).length === 0;
  const isAsked = ({ opens }: MenuItem): boolean => opens.kind === 'form';
  return isNobody ? items.map((one) => (isAsked(one) ? { ...one, opens: introduceItem.opens } : one)) : items;
};

const formOf = (
  job: JobState,
  step: Step,
  verb: Form['verb'],
  title: string,
  fixed: Form['fixed'],
  questions: readonly Question[],
): MenuItem['opens'] => ({
  kind: 'form',
  form: {
    key: `${title} ${job.id} ${step.step}`,
    title,
    about: ['Your own key signs this; its passphrase is asked next.'],
    verb,
    job: job.id,
    fixed: { step: step.step, ...fixed },
    questions,
  },
});

/** Asked where a performer may look at the work again: the release needs it then. */
const ownReason = (here: JobNow, step: Step): readonly Question[] => {
  const own = lookers(here, step).map(({ aside }) => aside !== undefined);
  if (!own.includes(true)) return [];
  const ask = own.includes(false) ? 'Only the performer: why nobody else looks' : 'Why nobody else looks';
  return [{ name: 'reason', ask, kind: 'text', required: !own.includes(false) }];
};

const remark = (required: boolean): Question => ({ name: 'remark', ask: 'What was seen', kind: 'text', required });

const lookItems = (here: JobNow, step: Step): readonly MenuItem[] => {
  const { job } = here;
  const who = by(here, step);
  const reason = ownReason(here, step);
  const open = openFindings(job, step.step);
  const again =
    open.length > 0
      ? [
          {
            label: 'not yet',
            aside: 'a look that does not release',
            opens: formOf(job, step, 'reinspect', 'Looked again', {}, [who, remark(true)]),
          },
        ]
      : [];
  return [
    {
      label: 'release',
      aside: 'here, in person',
      opens: formOf(job, step, 'release', 'Release the hold', {}, [who, ...reason, remark(false)]),
    },
    {
      label: 'refuse',
      aside: 'with findings',
      opens: formOf(job, step, 'refuse', 'Refuse, with findings', {}, [
        who,
        { name: 'findings', ask: 'Finding, one by one', kind: 'lines', required: true },
      ]),
    },
    ...(step.hold?.remote === false
      ? []
      : [
          {
            label: 'remote',
            aside: 'from elsewhere; shown as remote',
            opens: formOf(job, step, 'release', 'Release from elsewhere', { remote: true }, [
              who,
              { name: 'shown', ask: 'What was shown', kind: 'text', required: true },
              { name: 'not-judged', ask: 'What could not be judged from there', kind: 'text', required: true },
              ...reason,
              remark(false),
            ]),
          },
        ]),
    ...again,
    { label: 'hand back', aside: 'no answer yet', opens: { kind: 'jobs' } },
  ];
};

/** The answers that the second person can give; somebody who is not known yet is introduced here. */
export const holdItems = (here: JobNow, step: Step): readonly MenuItem[] => [
  ...unlessNobody(here, step, lookItems(here, step)),
  { label: 'somebody new', aside: 'introduce them', opens: introduceItem.opens },
];

/** The answers at a witness point, once the witness is invited: they came, or they did not. */
export const witnessItems = (here: JobNow, step: Step): readonly MenuItem[] => [
  ...unlessNobody(here, step, [
    {
      label: 'they came, and saw it',
      aside: 'they sign',
      opens: formOf(here.job, step, 'release', 'Witnessed', {}, [by(here, step), remark(false)]),
    },
  ]),
  {
    label: 'nobody came: go on',
    aside: 'the record says so',
    opens: { kind: 'act', act: { verb: 'finish', job: here.job.id, data: { step: step.step } } },
  },
];
