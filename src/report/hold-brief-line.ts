import type { RecordStep } from '../record/document-step.ts';
import type { RecordStamp } from '../record/shapes.ts';
import type { Naming } from './people.ts';

/** What a line means; the bench has a mark and a colour for each. */
export type BriefTone = 'plain' | 'quiet' | 'strong' | 'good' | 'bad' | 'open';

export interface BriefLine {
  readonly text: string;
  readonly tone: BriefTone;
}

export const line = (text: string, tone: BriefTone = 'plain'): BriefLine => ({ text, tone });

export const joinedText = (...parts: readonly (string | undefined)[]): string =>
  parts.filter((part) => part !== undefined && part !== '').join(', ');

/** `3 Mar 07:01`, in the person's own time; the year is in the record. */
export const instantWords = (instant: string): string => {
  const [, month = '', day = '', time = ''] = /^\d{4}-(\d\d)-(\d\d)T(\d\d:\d\d)/.exec(instant) ?? [];
  const names = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
  return `${Number(day)} ${names[Number(month) - 1] ?? ''} ${time}`;
};

/** When something happened; where it was entered at another time, both. */
export const timeOf = ({ at, when }: Pick<RecordStamp, 'at' | 'when'>): string =>
  when === undefined ? instantWords(at) : `${instantWords(when)}, entered ${instantWords(at)}`;

/** From when to when a step was done: `2 Mar 09:00 to 09:12`. */
export const stepTimes = ({ begun, finished }: RecordStep): string => {
  const [from, to] = [begun && timeOf(begun), finished && timeOf(finished)];
  if (from === undefined || to === undefined || from === to) return from ?? to ?? '';
  const day = /^\S+ \S+ /.exec(from)?.[0] ?? '';
  return `${from} to ${to.startsWith(day) ? to.slice(day.length) : to}`;
};

/** Who did a step, where it was not everybody who did the inspected work; and what they said at its end. */
export const otherPeople = (
  { performers, with: helpers, finished }: RecordStep,
  all: readonly string[],
  naming: Naming,
): string | undefined => {
  const people = [...new Set([...performers, ...helpers])];
  const isAll = people.length === all.length && people.every((person) => all.includes(person));
  return joinedText(isAll ? undefined : people.map(naming).join(', '), finished?.reason);
};
