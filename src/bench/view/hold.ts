import type { Step } from '../../procedure/model.ts';
import { isNotDone, isSkipped, stepApplies, stepStateOf } from '../../job/step-state.ts';
import { inspectedSteps, looksAt } from '../../job/hold.ts';
import { mark, paragraphRows, span, type Row } from '../drawing/rows.ts';
import { personName } from './job.ts';
import { valuesOfStep } from '../parts/parts.ts';
import type { JobNow } from '../job-now.ts';
import { labelled, marked, type Canvas } from './page.ts';

const numbered = (texts: readonly string[], width: number): readonly Row[] =>
  texts.flatMap((text, index) =>
    paragraphRows(`${index + 1} ${text}`, width - 2, 'plain', 2).map((line): Row => [mark('  '), ...line]),
  );

const findingRows = ({ job, facts }: JobNow, step: Step, width: number): readonly Row[] => {
  const findings = job.findings.filter((finding) => finding.step === step.step);
  return findings.flatMap((finding) => [
    ...paragraphRows(`Finding ${finding.number}: ${finding.text}`, width, finding.closed ? 'quiet' : 'person', 2),
    ...finding.answers.flatMap((answer) =>
      paragraphRows(`  answered by ${personName(facts, answer.by)}: ${answer.remark}`, width, 'plain', 4),
    ),
    ...(finding.closed ? [[mark('  closed', 'order')] as Row] : []),
  ]);
};

const departureRows = ({ job }: JobNow, width: number): readonly Row[] =>
  job.departures.length === 0
    ? [[mark('Departures: none')]]
    : [
        [mark('Departures:', 'person')],
        ...job.departures.flatMap((one) =>
          [`the manual says ${one.says}`, `I did ${one.did}`, `because ${one.because}`].flatMap((text) =>
            paragraphRows(`  ${text}`, width, 'plain', 2),
          ),
        ),
      ];

/** Steps that were left for later, or are entered as not done: nobody inspects them, and the inspector must know. */
const notDoneRows = ({ job }: JobNow, seen: readonly Step[], { width, marks }: Canvas): readonly Row[] => {
  const left = seen.filter((one) => stepApplies(job, one) && isSkipped(job, one));
  return left.flatMap((one) => {
    const skip = stepStateOf(job, one.step).skip;
    const why = isNotDone(job, one)
      ? `never to be done: ${skip?.notDone?.because ?? ''}`
      : `left for later, ${skip?.tag ?? ''}, before ${skip?.before ?? ''}: ${skip?.because ?? ''}`;
    return marked(marks.not, `Not done: ${one.title} (${why})`, width, 'outside');
  });
};

/** What the second person inspects: what to look for, then everything entered, departed from and photographed. */
export const holdText = (here: JobNow, step: Step, canvas: Canvas): readonly Row[] => {
  const { width } = canvas;
  const hold = step.hold;
  const seen = inspectedSteps(here.job.plan, step);
  const values = seen.flatMap((one) => valuesOfStep(here, one, canvas));
  const photos = here.job.photos.filter((photo) => seen.some((one) => one.step === photo.step));
  const earlier = looksAt(here.job, step.step).filter((look) => look.kind === 'refuse' || look.kind === 'reinspect');
  return [
    ...(hold && hold.lookFor.length > 0
      ? [[mark('Look for', 'strong')] as Row, ...numbered(hold.lookFor, width)]
      : paragraphRows(step.do ?? step.title, width, 'strong')),
    ...notDoneRows(here, seen, canvas),
    ...findingRows(here, step, width),
    [mark('Entered', 'strong')],
    ...(values.length === 0 ? [[mark('  nothing', 'quiet')] as Row] : values),
    ...departureRows(here, width),
    [mark(`Photos: ${photos.length === 0 ? 'none' : photos.map((photo) => photo.photo).join(', ')}`)],
    ...earlier.flatMap((look) =>
      labelled('looked', `${personName(here.facts, look.person)}: ${look.remark ?? look.kind}`, width, 'quiet'),
    ),
    ...(hold?.remote === false ? [[span('Not from elsewhere: the inspector is here in person.', 'quiet')] as Row] : []),
  ];
};
