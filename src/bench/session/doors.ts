import { nameOf, peopleOf, powersOf } from '../../aircraft/state.ts';
import type { JobState } from '../../job/state.ts';
import { whichOf } from '../../job/breach.ts';
import type { Trouble, Which } from '../../job/parts/part.ts';
import type { Step } from '../../procedure/model.ts';
import { troubleWords } from '../../job/trouble-words.ts';
import { reworkStart } from '../../job/rework.ts';
import { jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import type { Choice, Form, Question } from './form.ts';
import { own } from '../../fault/own.ts';
import { correctItem, type MenuItem } from './menu/item.ts';
import { anotherTry } from '../parts/parts.ts';

export const reason: Question = { name: 'reason', ask: 'Reason', kind: 'text', required: true };

const designers = (facts: BenchFacts): readonly Choice[] =>
  peopleOf(facts.build)
    .filter((person) => powersOf(facts.build, person).includes('designer'))
    .map((person) => ({ value: person, label: nameOf(facts.build, person) ?? person, aside: 'signs here' }));

/** Who accepts a value outside its limits: a designer who signs here, or their letter, whose hash is stored. */
export const acceptance = (facts: BenchFacts): readonly Question[] => {
  const here = designers(facts);
  const letter: Question = {
    name: 'letter',
    ask: 'Their letter: the file, its path',
    kind: 'text',
    required: here.length === 0,
  };
  const author: Question = { name: 'author', ask: 'Who wrote the letter', kind: 'text', required: here.length === 0 };
  return here.length === 0
    ? [letter, author]
    : [
        {
          name: 'accepted-by',
          ask: 'Who accepts it',
          kind: 'choice',
          required: true,
          choices: [...here, { value: '', label: 'by letter', aside: 'not signed here' }],
        },
        { ...letter, ask: 'Their letter, where it is by letter: the file, its path' },
        { ...author, ask: 'Who wrote the letter, where it is by letter' },
      ];
};

/** A fastener, and a value that a rule refused, are decided alone; any other value with all of its step. */
const oneOf = (trouble: Trouble): Which =>
  trouble.verdict === 'refused' || trouble.fastener !== undefined ? whichOf(trouble) : {};

const disposeForm = (
  job: JobState,
  trouble: Trouble,
  as: string,
  title: string,
  questions: readonly Question[],
  about: string,
): Form => ({
  key: `dispose ${job.id} ${trouble.key} ${as}`,
  title,
  about: [about],
  verb: 'dispose',
  job: job.id,
  fixed: { on: trouble.on, ...oneOf(trouble), 'as-what': as },
  questions,
});

const titleOf = (job: JobState, step: string): string => job.plan.steps.find((one) => one.step === step)?.title ?? step;

/** A slip of the finger is corrected, where the trouble is about a typed value. */
const slip = (job: JobState, { key, on, step, fastener }: Trouble): readonly MenuItem[] => {
  const isOf = ({ entry }: { readonly entry: string }): boolean =>
    key.startsWith(`${entry}=`) || key.startsWith(`done ${entry} `);
  const taken = own(job.tries, on)?.find(isOf);
  const act = fastener === undefined ? undefined : own(job.fasteners, step)?.find(isOf);
  const [entry, field, value] = taken
    ? [taken.entry, undefined, taken.value]
    : act?.torque === undefined
      ? [act?.entry, 'past', act?.past]
      : [act.entry, 'torque', act.torque];
  if (entry === undefined || value === undefined) return [];
  const { opens } = correctItem(job, entry, on, value, undefined, field);
  return [{ label: 'a typing slip', aside: 'correct it', opens }];
};

/** The ways on from a value outside its limits (the doors), in the order in which one would try them. */
export const doors = (facts: BenchFacts, job: JobState, step: Step, trouble: Trouble): readonly MenuItem[] => {
  const words = troubleWords(job, trouble, jobNow(facts, job).around);
  const isRefused = trouble.verdict === 'refused';
  const again = isRefused ? undefined : anotherTry(job, step, trouble);
  const isAlone = Object.keys(oneOf(trouble)).length > 0;
  const back = reworkStart(job, trouble.step, 'rework');
  const scrapped = reworkStart(job, trouble.step, 'scrap');
  const door = (label: string, aside: string, as: string, questions: readonly Question[]): MenuItem => ({
    label,
    aside,
    opens: {
      kind: 'form',
      form: disposeForm(
        job,
        trouble,
        as,
        `${label[0]?.toUpperCase() ?? ''}${label.slice(1)}`,
        questions,
        `${words.title}: ${words.what}`,
      ),
    },
  });
  return [
    ...(again
      ? [
          {
            label: 'another try',
            aside: 'with its reason; this one stays',
            opens: { kind: 'form', form: { ...again, key: `again ${again.key}` } },
          } as const,
        ]
      : slip(job, trouble)),
    door(
      'rework',
      isAlone
        ? 'make it right: this one alone'
        : `make it right: back to ${back ? titleOf(job, back.step) : 'this step'}`,
      'rework',
      [reason],
    ),
    ...(isRefused && job.plan.strict
      ? []
      : [
          door('repair', 'fit for use, not to the drawing', 'repair', [reason, ...acceptance(facts)]),
          door('use as is', 'accepted as it stands', 'use-as-is', [reason, ...acceptance(facts)]),
        ]),
    door(
      'scrap',
      trouble.fastener === undefined
        ? `a new part: back to ${scrapped ? titleOf(job, scrapped.step) : 'the first step'}`
        : 'a new fastener',
      'scrap',
      [reason],
    ),
    door('ask the designer', 'the job waits', 'ask', [reason]),
  ];
};
