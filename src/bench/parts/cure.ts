import { cureNow } from '../../job/cure.ts';
import type { Step } from '../../procedure/model.ts';
import { mark, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import type { Form } from '../session/form.ts';
import { plainWork } from '../view/question.ts';
import { cureWork } from './cure-rows.ts';
import type { BenchPart } from './part.ts';

/** The temperature of a place now, from which cures are counted. `job` only keeps apart what is typed; the entry is the build's. */
export const temperatureForm = (job: string, place: string | undefined): Form => ({
  key: `temperature ${job}`,
  title: place === undefined ? 'Temperature' : `Temperature, ${place}`,
  about: [],
  verb: 'temperature',
  job: '',
  fixed: place === undefined ? {} : { place },
  questions: [
    { name: 'temperature', ask: 'Temperature now', kind: 'quantity', required: true, unit: '°C' },
    {
      name: 'lowest',
      ask: 'Lowest since the last one, if the thermometer keeps it',
      kind: 'quantity',
      required: false,
      unit: '°C',
    },
  ],
});

/** The stages with what each needs, and the floor. */
const stageRows = ({ job, around, facts }: JobNow, step: Step): readonly Row[] => {
  const now = cureNow(job, step, around, facts.now.ms);
  if (!step.cure || !now) return [];
  const stages = step.cure.stages.map((stage): Row => {
    const points = stage.points.map(({ time, at }) => `${time.text} at ${at.text}`).join(', ');
    const reached = now.stages.find((one) => one.stage === stage.stage)?.reached === true;
    return [span(`${stage.stage}: ${points}`), ...(reached ? [mark(' reached', 'order')] : [])];
  });
  const every = step.cure.readingEvery;
  return [
    ...stages,
    [
      span(
        `nothing counts below ${step.cure.floor.text}${every ? `, or over ${every.text} without a temperature` : ''}`,
        'quiet',
      ),
    ],
  ];
};

export const curePart = {
  ask: (job, step) => ({
    kind: 'question',
    step,
    form: { ...temperatureForm(job.id, step.place), subject: { part: 'cure', step } },
    beneath: 'step',
  }),
  text: stageRows,
  work: ({ here, subject, form, filled }, canvas) => [
    ...(filled.at === 0 ? cureWork(here, subject.step, canvas) : []),
    ...plainWork(form, filled, canvas),
  ],
} satisfies BenchPart<'cure'>;
