import type { BuildStatus, CureStatus, JobStatus } from '../aircraft/status.ts';
import { stageStatusWords } from '../aircraft/status-words.ts';
import { parseInstant, printDuration } from '../quantity/time.ts';
import { icalInstant, icalText, printIcal, type IcalComponent, type IcalProperty } from './ical.ts';
import { withSide } from './side.ts';

const forecastOnly =
  'Forecast only: if it stays as warm as last entered. Log the temperature; the end is your own act, and never early.';

/** The same cure stage has the same UID in every calendar, so that importing a later one moves its event and adds no second one. */
const uidOf = (build: string, ...parts: readonly string[]): string =>
  icalText(`${parts.join('.')}@${build === '' ? 'not-begun' : build.slice(0, 16)}.dryfit`);

/** `stamp`: when the calendar was written, ms since 1970. */
const head = (uid: string, stamp: number, summary: string, description: string): readonly IcalProperty[] => [
  ['UID', uid],
  ['DTSTAMP', icalInstant(stamp)],
  ['SUMMARY', icalText(summary)],
  ['DESCRIPTION', icalText(description)],
];

const stageEvent = (
  build: string,
  job: JobStatus,
  cure: CureStatus,
  stage: CureStatus['stages'][number],
  stamp: number,
): readonly IcalComponent[] => {
  const forecast = stage.forecast === undefined ? undefined : parseInstant(stage.forecast);
  if (stage.reached || forecast?.ok !== true) return [];
  const summary = `${withSide(job.title, job.side)}: ${stage.stage} about now`;
  const description = `${job.id}, ${cure.step}: counted ${stageStatusWords(stage, printDuration)} by now.\n${forecastOnly}`;
  const alarm: IcalComponent = {
    name: 'VALARM',
    properties: [
      ['ACTION', 'DISPLAY'],
      ['TRIGGER', 'PT0S'],
      ['DESCRIPTION', icalText(summary)],
    ],
  };
  return [
    {
      name: 'VEVENT',
      properties: [
        ...head(uidOf(build, job.id, cure.step, stage.stage), stamp, summary, description),
        ['DTSTART', icalInstant(forecast.value.ms)],
        ['STATUS', 'TENTATIVE'],
        ['TRANSP', 'TRANSPARENT'],
      ],
      components: [alarm],
    },
  ];
};

/** A calendar must have a component (RFC 5545, 3.6): where nothing is forecast, it is a note that says so. */
const nothingForecast = (build: string, jobs: readonly JobStatus[], stamp: number): IcalComponent => {
  const [only, ...others] = jobs;
  const of = only !== undefined && others.length === 0 ? only.id : 'the build';
  return { name: 'VJOURNAL', properties: head(uidOf(build, of, 'none'), stamp, `${of}: no cure is forecast`, of) };
};

/**
 * The cures that run in these jobs as an iCalendar (RFC 5545): one event at each forecast, with an alarm there.
 * `stamp` is when it was written, ms since 1970. A cure whose last temperature counts nothing has no forecast and no event.
 */
export const cureCalendar = ({ build, jobs }: Pick<BuildStatus, 'build' | 'jobs'>, stamp: number): string => {
  const events = jobs.flatMap((job) =>
    job.cures.flatMap((cure) => cure.stages.flatMap((stage) => stageEvent(build, job, cure, stage, stamp))),
  );
  return printIcal({
    name: 'VCALENDAR',
    properties: [
      ['VERSION', '2.0'],
      ['PRODID', '-//dryfit//cures//EN'],
      ['CALSCALE', 'GREGORIAN'],
    ],
    components: events.length > 0 ? events : [nothingForecast(build, jobs, stamp)],
  });
};
