import type { JobState } from '../../../job/state.ts';
import type { GatheredTool } from '../../../procedure/model.ts';
import type { Form, Question } from '../form.ts';
import { askText, choice, item, type MenuItem } from './item.ts';

const bookForm = (
  verb: Form['verb'],
  title: string,
  about: readonly string[],
  fixed: Form['fixed'],
  questions: readonly Question[],
): Form => ({
  key: `book ${verb} ${JSON.stringify(fixed)}`,
  title,
  about,
  verb,
  job: '',
  fixed,
  questions,
});

const inDateUntil = (required: boolean): Question => ({
  name: 'in-date-until',
  ask: 'In date until (2027-03-04), from its certificate',
  kind: 'day',
  required,
});

const toolQuestion = askText('tool', 'Number or name on the tool');

/** Takes an individual tool of a kind into the build. */
const takeInKind = ({ tool, title, inDate }: GatheredTool): MenuItem =>
  item(`take in: ${title ?? tool}`, {
    kind: 'form',
    form: bookForm('take-in-tool', `Take in: ${title ?? tool}`, [], { kind: tool }, [
      toolQuestion,
      inDateUntil(inDate),
    ]),
  });

/** Takes in an individual tool of each kind that the job asks for by its date. */
export const takeInItems = (job: JobState): readonly MenuItem[] =>
  job.plan.gather.tools.filter(({ inDate }) => inDate).map(takeInKind);

/** Takes in a tool of any kind. */
export const takeInAnyTool: MenuItem = item('take in a tool', {
  kind: 'form',
  form: bookForm('take-in-tool', 'Take in a tool', [], {}, [
    askText('kind', 'What kind, as procedures name it: torque-wrench'),
    toolQuestion,
    inDateUntil(false),
  ]),
});

const powers = [
  { value: 'inspector', label: 'inspector', aside: 'releases holds' },
  { value: 'witness', label: 'witness', aside: 'saw it' },
  { value: 'designer', label: 'designer', aside: 'accepts departures' },
  { value: 'builder', label: 'builder', aside: 'performs the work' },
  { value: 'helper', label: 'helper', aside: 'hands only, no key' },
  { value: 'adviser', label: 'adviser', aside: 'an opinion, no key' },
];

/** Introduces somebody to the build. Whoever signs makes their own key here, under a passphrase that they choose. */
export const introduceItem: MenuItem = item(
  'introduce a person',
  {
    kind: 'form',
    form: bookForm(
      'introduce-person',
      'Introduce a person',
      ['Whoever signs chooses a passphrase for a key of their own. A helper or adviser leaves it empty.'],
      {},
      [
        askText('name', 'Name of the newcomer'),
        choice('power', 'What do they do?', powers),
        { name: 'passphrase', ask: 'Newcomer: a passphrase of your own', kind: 'secret', required: false },
        { name: 'again', ask: 'The passphrase again', kind: 'secret', required: false },
      ],
    ),
  },
  'they make their own key',
);
