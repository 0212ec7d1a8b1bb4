import type { RecordStep } from './document-step.ts';
import type { RecordDocument } from './document.ts';
import { looseOpen, samplesOwed } from './open.ts';
import { unique } from './plain.ts';

/** One line at the head of a record: everything of one kind that ever was, with what of it is still open. */
export interface Glance {
  readonly label: string;
  /** Each by name: what was decided, closed or done about it. */
  readonly decided: readonly string[];
  /** Absent for what cannot be open: it happened, and stays. */
  readonly open?: readonly string[];
}

const past = (label: string, decided: readonly string[]): Glance => ({ label, decided });

/** The nonconformances of now, and those that a rework or a scrapping ended: they are no longer among those of now. */
const nonconformancesEver = ({ nonconformances, dispositions }: RecordDocument): Glance => {
  const now = new Set(nonconformances.map(({ on }) => on));
  const ended = dispositions.filter(({ on }) => !now.has(on)).map(({ on, as }) => `${on}: ${as}`);
  return {
    label: 'Nonconformances',
    open: nonconformances.filter(({ open }) => open).map(({ what }) => what),
    decided: [...nonconformances.filter(({ open }) => !open).map(({ what }) => what), ...unique(ended)],
  };
};

const isBad = (verdict: string | undefined): boolean => verdict === 'outside' || verdict === 'undecided';

/** Every try that was outside or undecided by the page of its time, whatever was entered after it. */
const valuesOutside = ({ readings = [], tighten, step }: RecordStep): readonly string[] => [
  ...readings.flatMap(({ reading, entered }) =>
    entered.filter(({ verdict }) => isBad(verdict)).map(({ value, verdict }) => `${reading} ${value} ${verdict ?? ''}`),
  ),
  ...(tighten?.entered ?? [])
    .filter(({ verdict }) => isBad(verdict))
    .map(({ fastener, torque, verdict }) => `${step} fastener ${fastener} ${torque ?? ''} ${verdict ?? ''}`),
];

const ofKind = ({ dispositions }: RecordDocument, kind: string): readonly string[] =>
  dispositions.filter(({ as }) => as === kind).map(({ on, reason }) => `${on}: ${reason}`);

const looksWhere = (
  { steps }: RecordDocument,
  is: (look: NonNullable<RecordStep['hold']>['looks'][number]) => boolean,
): readonly string[] =>
  steps.flatMap(({ step, hold }) => (hold?.looks ?? []).filter(is).map(({ person }) => `${step} by ${person}`));

const findings = ({ steps }: RecordDocument): Glance => {
  const all = steps.flatMap(({ hold }) => hold?.findings ?? []);
  const named = (isOpen: boolean): readonly string[] =>
    all.filter(({ closed }) => (closed === undefined) === isOpen).map(({ finding, text }) => `${finding} ${text}`);
  return { label: 'Findings', decided: named(false), open: named(true) };
};

const isWaiting = ({ state }: RecordStep): boolean => state === 'left for later' || state === 'not done';

const skips = ({ steps, loose }: RecordDocument): Glance => {
  const waiting = new Set(steps.filter(isWaiting).map(({ step }) => step));
  const items = loose
    .filter(({ skipped }) => skipped)
    .map(({ item, because }) => [item, `${item}: ${because}`] as const);
  return {
    label: 'Left for later',
    decided: items.flatMap(([item, text]) => (waiting.has(item) ? [] : [text])),
    open: items.flatMap(([item, text]) => (waiting.has(item) ? [text] : [])),
  };
};

const looseItems = (document: RecordDocument): Glance => {
  const open = looseOpen(document).filter(({ skipped }) => !skipped);
  const named = ({ tag, item }: { readonly tag: string; readonly item: string }): string => `${tag} ${item}`;
  return {
    label: 'Loose items',
    open: open.map(named),
    decided: document.loose.filter((one) => !one.skipped && !open.includes(one)).map(named),
  };
};

const batches = ({ steps }: RecordDocument) => steps.flatMap(({ mix }) => mix?.batches ?? []);

const samples = (document: RecordDocument): Glance => ({
  label: 'Samples',
  decided: batches(document).flatMap(({ batch, sample }) =>
    sample?.broken?.result === 'failed' ? [`${sample.sample} of ${batch} failed`] : [],
  ),
  open: samplesOwed(document).map(({ batch, sample }) => `${sample?.sample ?? ''} of ${batch} not broken`),
});

/** Stretches of a cure that counted nothing: a cold night, hours without a reading. */
const coldHours = ({ steps }: RecordDocument): readonly string[] =>
  steps.flatMap(({ step, cure }) =>
    (cure?.intervals ?? [])
      .filter(({ counted }) => !counted)
      .map(
        ({ from, temperature, why }) =>
          `${step} from ${from.slice(0, 16).replace('T', ' ')}, ${temperature}: ${why ?? ''}`,
      ),
  );

/** Everything that was said and put right, of whatever entry. */
const corrected = ({ corrections = [] }: RecordDocument): readonly string[] =>
  corrections.map(({ was, reason }) => `${was}: ${reason}`);

/** Work that a rule refused and that was done all the same. It is among the nonconformances, and decided as they are. */
const doneAllTheSame = ({ nonconformances }: RecordDocument): Glance => {
  const all = nonconformances.filter(({ refused }) => refused === true);
  return {
    label: 'Refused, yet done',
    decided: all.filter(({ open }) => !open).map(({ what }) => what),
    open: all.filter(({ open }) => open).map(({ what }) => what),
  };
};

/** All that did not go to plan in a job. Nothing disappears from it because it was put right. */
export const glanceOf = (document: RecordDocument): readonly Glance[] => [
  past(
    'Departures',
    document.departures.map(({ code, did }) => `${code}: ${did}`),
  ),
  nonconformancesEver(document),
  past('Outside or undecided', document.steps.flatMap(valuesOutside)),
  doneAllTheSame(document),
  past('Rework', ofKind(document, 'rework')),
  past('Repair', ofKind(document, 'repair')),
  past('Used as is', ofKind(document, 'use-as-is')),
  past('Scrap', ofKind(document, 'scrap')),
  past(
    'Opened again',
    document.steps.flatMap(({ step, reopened = [] }) => reopened.map(({ because }) => `${step}: ${because}`)),
  ),
  past(
    'Holds refused',
    looksWhere(document, ({ kind }) => kind === 'refuse'),
  ),
  findings(document),
  past(
    'Releases voided',
    looksWhere(document, ({ voided }) => voided !== undefined),
  ),
  past(
    'Remote looks',
    looksWhere(document, ({ as }) => as === 'remote'),
  ),
  past(
    'Looks at own work',
    looksWhere(document, ({ as }) => as === 're-inspection by the performer'),
  ),
  skips(document),
  looseItems(document),
  past(
    'Batches discarded',
    batches(document).flatMap(({ batch, discarded }) => (discarded ? [`${batch}: ${discarded.because}`] : [])),
  ),
  samples(document),
  past('Cure not counted', coldHours(document)),
  past('Corrections', corrected(document)),
];
