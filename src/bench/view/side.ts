import { curingJobs } from '../../aircraft/status-now.ts';
import { countedWords } from '../../job/stage-words.ts';
import type { JobState } from '../../job/state.ts';
import { spanWords, spokenTime } from '../drawing/clock.ts';
import { progressBar } from '../drawing/curve.ts';
import type { Marks } from '../drawing/marks.ts';
import { mark, span, type Row, type Style } from '../drawing/rows.ts';
import { allValues } from '../parts/parts.ts';
import { jobNow, type JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { stepsNow } from '../steps-now.ts';
import { clocksOf } from './clocks.ts';
import { jobName } from './job.ts';
import type { PageBlock, Canvas } from './page.ts';

/** The step before, the open one, and the next five. */
const nextSteps = ({ job }: JobNow, marks: Marks): readonly Row[] => {
  const { steps, at } = stepsNow(job);
  const here = at === -1 ? steps.length : at;
  return steps.slice(Math.max(0, here - 1), here + 6).map(({ step, is }) => {
    const sign =
      is === 'done'
        ? marks.driven
        : is === 'open'
          ? marks.open
          : step.hold
            ? marks.holdShut
            : step.permanent
              ? marks.permanentOpen
              : marks.todo;
    const style: Style = is === 'open' ? 'strong' : is === 'done' ? 'quiet' : 'plain';
    return [mark(`${sign} `, style), span(step.title, style)];
  });
};

const cureRows = (facts: BenchFacts, marks: Marks, width: number): readonly Row[] =>
  curingJobs(facts.build).flatMap((job) =>
    jobNow(facts, job)
      .cures()
      .flatMap(({ now }) => {
        const stage = now.stages.find((one) => !one.reached);
        if (!stage) return [];
        return [
          [span(`${jobName(job)}: ${stage.stage}`, 'person')] as Row,
          progressBar(stage, marks, Math.min(30, width)),
          [mark(`counted ${countedWords(stage, spanWords)}, clock ${spanWords(now.clockMs)}`, 'quiet')] as Row,
          ...(stage.forecast === undefined
            ? []
            : [[mark(`about ${spokenTime(stage.forecast, facts.now.ms, facts.now.offset)}`, 'quiet')] as Row]),
        ];
      }),
  );

/** The desk view's column: next steps, timers, what was entered. */
export const sideOf = (facts: BenchFacts, job: JobState | undefined, canvas: Canvas): readonly PageBlock[] => {
  if (!canvas.desk) return [];
  const here = job && jobNow(facts, job);
  const clocks = clocksOf(facts, job).filter(({ words }) => words.startsWith('pot life'));
  return [
    ...(here ? [{ title: 'Steps', rows: nextSteps(here, canvas.marks) }] : []),
    {
      title: 'What runs',
      rows: [
        ...clocks.map((clock): Row => [span(clock.words, clock.style)]),
        ...cureRows(facts, canvas.marks, canvas.side),
      ],
    },
    ...(here
      ? [
          {
            title: 'Entered, latest first',
            rows: allValues(here, { marks: canvas.marks, width: canvas.side }).toReversed(),
          },
        ]
      : []),
  ];
};
