import { calculatedOf, mapOf, textOf, wholeOf, type Data } from '../../job/entry.ts';
import type { Verb } from '../../job/verbs.ts';
import type { JobState } from '../../job/state.ts';
import type { Act } from '../ports.ts';

const text = (data: Data, key: string): string => textOf(data, key) ?? '';

const fastener = (data: Data): string => {
  const values = ['drag', 'torque', 'finger-tight', 'past'].flatMap((name) => {
    const value = textOf(data, name);
    return value === undefined ? [] : [`${name} ${value}`];
  });
  const number = wholeOf(data, 'fastener') ?? 0;
  return values.length > 0 ? `fastener ${number}, ${values.join(', ')}` : `the mark is on fastener ${number}`;
};

const words: Readonly<Partial<Record<Verb, (data: Data) => string>>> = {
  begin: () => 'begun',
  finish: (data) => `${text(data, 'step')} finished`,
  read: (data) =>
    [text(data, 'reading'), text(data, 'position'), text(data, 'value'), calculatedOf(data) ? 'calculated' : '']
      .filter((part) => part !== '')
      .join(' '),
  tighten: fastener,
  mix: (data) =>
    Object.entries(mapOf(data, 'weights'))
      .map(([part, weight]) => `${part} ${weight}`)
      .join(', '),
  correct: (data) =>
    data['value'] === 'none'
      ? 'struck'
      : `corrected${textOf(data, 'value') === undefined ? '' : ` to ${text(data, 'value')}`}`,
  break: (data) => `${text(data, 'sample')} ${text(data, 'result')}`,
  lot: (data) => `lot ${text(data, 'number')}`,
  use: (data) => `${text(data, 'tool')} in use`,
  tool: (data) => `${text(data, 'tool')} ${text(data, 'found')}`,
  shop: () => 'the shop is entered',
  temperature: (data) => `${text(data, 'temperature')} entered`,
  temperatures: () => 'the log is kept',
  photo: (data) => `picture ${text(data, 'photo')} kept`,
  release: () => 'hold released',
  refuse: () => 'hold refused, with findings',
  reinspect: () => 'the look is recorded',
  answer: (data) => `finding ${wholeOf(data, 'finding') ?? ''} answered`,
  invite: (data) => `${text(data, 'who')} invited`,
  dispose: (data) => `${text(data, 'as-what')}: ${text(data, 'on')}`,
  depart: () => 'departure entered',
  skip: (data) => `${text(data, 'step')} left for later`,
  undo: (data) => `${text(data, 'step')} undone`,
  loose: (data) => `${text(data, 'item')} left loose`,
  close: () => 'counted',
  park: () => 'parked',
  unpark: () => 'taken up again',
  interrupt: () => 'interrupted',
  resume: () => 'taken up again',
  remark: () => 'remark kept',
  advise: () => 'kept as advice',
  discard: (data) => `${text(data, 'batch')} discarded`,
  clock: () => 'the time is entered',
  complete: () => 'complete',
};

/** What was taken, in the design's words, for the line beneath the next thing that is asked. */
export const takenWords = (act: Act, job: JobState | undefined): readonly string[] => {
  const step = job?.plan.steps.find((one) => one.step === act.data['step']);
  if (act.verb === 'release' && step?.hold?.kind === 'witness') return ['they came, and saw it'];
  const said = words[act.verb]?.(act.data);
  return said === undefined ? [] : [said];
};
