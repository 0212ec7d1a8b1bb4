import { nameOf, peopleOf, powersOf } from '../../aircraft/state.ts';
import { areOne, performersOf, inspectedSteps, openFindings, powersToLook } from '../../job/hold.ts';
import type { JobState } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import type { BenchFacts } from '../ports.ts';
import type { Choice, Form, Question } from './form.ts';
import type { MenuItem } from './menu/item.ts';

/** Who may answer here: people with the power, and a performer of the inspected work only where the procedure allows it. */
const lookers = (facts: BenchFacts, job: JobState, step: Step): readonly Choice[] => {
  const hold = step.hold;
  if (!hold) return [];
  const performers = performersOf(job, inspectedSteps(job.plan, step));
  const ids = Object.entries(facts.build.following).map(([person, { person: follows }]) => ({ person, follows }));
  const performed = (person: string): boolean => performers.some((one) => areOne(ids, one, person));
  const may = (person: string): boolean =>
    performed(person)
      ? hold.self !== undefined
      : powersOf(facts.build, person).some((power) => powersToLook(hold).includes(power));
  return peopleOf(facts.build)
    .filter(may)
    .map((person) => ({
      value: person,
      label: nameOf(facts.build, person) ?? person,
      ...(performed(person) ? { aside: 're-inspection by the performer' } : {}),
    }));
};

const by = (facts: BenchFacts, job: JobState, step: Step): Question => {
  const choices = lookers(facts, job, step);
  return choices.length > 0
    ? { name: 'by', ask: 'Who are you?', kind: 'choice', required: true, choices }
    : { name: 'by', ask: 'Who are you? Your id in the build', kind: 'text', required: true };
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

const remark = (required: boolean): Question => ({ name: 'remark', ask: 'What was seen', kind: 'text', required });

/** The answers that the second person can give. */
export const holdItems = (facts: BenchFacts, job: JobState, step: Step): readonly MenuItem[] => {
  const who = by(facts, job, step);
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
      opens: formOf(job, step, 'release', 'Release the hold', {}, [who, remark(false)]),
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
              {
                name: 'remark',
                ask: 'What was shown, and what could not be judged',
                kind: 'text',
                required: true,
              } as const,
            ]),
          },
        ]),
    ...again,
    { label: 'hand back', aside: 'no answer yet', opens: { kind: 'jobs' } },
  ];
};

/** The answers at a witness point, once the witness is invited: they came, or they did not. */
export const witnessItems = (facts: BenchFacts, job: JobState, step: Step): readonly MenuItem[] => [
  {
    label: 'they came, and saw it',
    aside: 'they sign',
    opens: formOf(job, step, 'release', 'Witnessed', {}, [by(facts, job, step), remark(false)]),
  },
  {
    label: 'nobody came: go on',
    aside: 'the record says so',
    opens: { kind: 'act', act: { verb: 'finish', job: job.id, data: { step: step.step } } },
  },
];
